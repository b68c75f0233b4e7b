from pathlib import Path

from django.conf import settings

from household.sync import registry
from household.sync.management.commands import export_kinds


def test_the_exported_kinds_are_fresh() -> None:
    path = Path(settings.BASE) / export_kinds.TARGET
    assert path.read_text(encoding="utf-8") == export_kinds.rendered(), (
        "frontend/src/domain/kinds.gen.json is stale: run manage.py export_kinds"
    )


def test_every_owner_register_names_kinds_that_exist() -> None:
    kinds = registry.all_kinds()
    for kind in kinds.values():
        assert set(kind.owner_kinds) <= set(kinds), kind.entity
        assert bool(kind.owner) == bool(kind.owner_kinds), kind.entity
