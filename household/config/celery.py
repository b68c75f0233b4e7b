"""The Celery application; its settings and schedule are in settings.py."""

import os

from celery import Celery

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "household.config.settings")
app = Celery("household")
app.config_from_object("django.conf:settings", namespace="CELERY")
app.autodiscover_tasks()
