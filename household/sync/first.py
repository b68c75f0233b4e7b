"""What a new phone shows first, while it fetches the rest: a few rows of the kinds that say so."""

from datetime import datetime, timedelta
from typing import cast
from uuid import UUID

from django.apps import apps
from django.db.models import QuerySet

from household.accounts.models import Member
from household.sync import registry
from household.sync.models import Projected, Record
from household.sync.vocabulary import First, Kind


def first_look(member: Member, *, now: datetime) -> list[str]:
    """Living rows of what the first screen shows. Call it inside :func:`queries.snapshot`.

    The rows are as :func:`queries.changes` gives them, so entries made upon them are sound; they
    are no part of any page, and the phone fetches everything all the same.
    """
    visible = set(registry.visible_to(member.role))
    kinds = [kind for entity, kind in registry.all_kinds().items() if entity in visible]
    given: set[UUID] = set()
    records: list[Record] = []
    # Owners before what belongs to them.
    for kind in sorted(kinds, key=lambda kind: registry.level(kind.entity)):
        if kind.first is not None:
            chosen = list(_chosen(kind, kind.first, member.household_id, given, now))
            records += chosen
            given.update(record.rid for record in chosen)
    return [record.as_sent() for record in records]


def _chosen(
    kind: Kind, first: First, household_id: UUID, given: set[UUID], now: datetime
) -> QuerySet[Record]:
    living = Record.objects.filter(household_id=household_id, entity=kind.entity, gone=False)
    if first.with_owner:
        return living.filter(owner__in=given)
    if first.days is None:
        return living
    typed = cast(type[Projected], apps.get_model(kind.model))
    since = now - timedelta(days=first.days)
    lately = typed.living(household_id).filter(op_at__gte=since).values_list("rid", flat=True)
    # Read apart: of a household that its statistics do not know yet, PostgreSQL takes one row for
    # granted, and joins ten thousand by comparing each with each.
    return living.filter(rid__in=list(lately))
