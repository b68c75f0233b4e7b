from typing import Any

from django.apps import AppConfig
from django.db import connections
from django.db.models.signals import post_migrate, pre_migrate


class SyncConfig(AppConfig):
    name = "household.sync"
    label = "sync"

    def ready(self) -> None:
        pre_migrate.connect(_drop_guards, sender=self)
        post_migrate.connect(_create_guards, sender=self)


def _drop_guards(*, using: str, **kwargs: Any) -> None:
    from household.sync import guards

    guards.drop(connections[using])


def _create_guards(*, using: str, **kwargs: Any) -> None:
    from household.sync import guards

    guards.create(connections[using])
