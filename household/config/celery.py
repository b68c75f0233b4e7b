"""The Celery application; its settings and schedule are in settings.py."""

import os
from typing import Any

from celery import Celery
from celery.signals import beat_init

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "household.config.settings")
app = Celery("household")
app.config_from_object("django.conf:settings", namespace="CELERY")
app.autodiscover_tasks()


@beat_init.connect
def beat_once_at_start(**kwargs: Any) -> None:
    """Shows within seconds, not after a first interval, that background work is done."""
    app.send_task("household.config.tasks.heartbeat", expires=app.conf.task_time_limit)
