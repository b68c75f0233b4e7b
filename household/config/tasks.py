"""Background work that belongs to no single app."""

from celery import shared_task
from django.core.management import call_command
from django.utils import timezone

from household.config.models import Heartbeat


@shared_task
def heartbeat() -> None:
    """Proves that beat, broker, worker and database work together."""
    Heartbeat.objects.update_or_create(name="worker", defaults={"at": timezone.now()})


@shared_task
def clear_old_sessions() -> None:
    """Deletes the sessions that have run out."""
    call_command("clearsessions")
