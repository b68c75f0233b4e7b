from django.apps import AppConfig


class ConfigConfig(AppConfig):
    name = "household.config"
    label = "config"

    def ready(self) -> None:
        # Makes the Celery application the default one, and the system checks known. Imported here:
        # manage.py reads this package before Django and Celery are installed.
        from household.config import celery, checks  # noqa: F401
