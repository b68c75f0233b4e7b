"""The Celery application; its settings and schedule are in settings.py."""

import os
from typing import Any

from celery import Celery
from celery.beat import Service
from celery.signals import beat_init

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "household.config.settings")
app = Celery("household")
app.config_from_object("django.conf:settings", namespace="CELERY")
app.autodiscover_tasks()


@beat_init.connect
def forget_runs_to_come(sender: Service, **kwargs: Any) -> None:
    """Has what ran by a clock that was ahead, and has been set right since, run again.

    When each last ran is kept on disk; nothing would be due until the clock is there again.
    """
    for entry in sender.scheduler.schedule.values():
        now = entry.default_now()
        if entry.last_run_at is not None and entry.last_run_at > now:
            entry.last_run_at = now


@beat_init.connect
def beat_once_at_start(**kwargs: Any) -> None:
    """Shows within seconds, not after a first interval, that background work is done."""
    app.send_task("household.config.tasks.heartbeat", expires=app.conf.task_time_limit)
