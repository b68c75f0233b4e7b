"""The weekly summaries, as background work. Both tasks may be lost, repeated or run side by side:
what is due is found in the database, and what says nothing new is not written."""

import logging
from collections.abc import Iterator, Sequence
from uuid import UUID

from celery import shared_task
from django.db.models import QuerySet
from django.utils import timezone

from household.accounts.models import Household
from household.review import actions
from household.review.queries.due import due

logger = logging.getLogger(__name__)
HOUSEHOLDS_A_CHUNK = 200  # [-] looked at in one go
HOUSEHOLDS_A_TASK = 50  # [-] summed up by one task
SOFT_LIMIT = 5 * 60  # [s]
# The beat comes again after half an hour, so what still waits by then is found anew.
EXPIRES = 25 * 60  # [s]


@shared_task(soft_time_limit=SOFT_LIMIT)
def write_weekly_summaries() -> int:
    """Finds the households with a week to sum up and hands them on; returns how many.

    Goes through all households by id, a chunk at a time, each by its own clock.
    """
    found = 0
    for chunk in _chunks():
        waiting = due(chunk, now=timezone.now())
        actions.note_progress([one for one in waiting if not one.weeks], now=timezone.now())
        ids = [str(one.household.pk) for one in waiting if one.weeks]
        found += len(ids)
        for start in range(0, len(ids), HOUSEHOLDS_A_TASK):
            part = ids[start : start + HOUSEHOLDS_A_TASK]
            write_summaries_for.apply_async(args=(part,), expires=EXPIRES)
    return found


@shared_task(soft_time_limit=SOFT_LIMIT)
def write_summaries_for(household_ids: Sequence[str]) -> int:
    """Sums up what is due in these households; returns how many summaries were written."""
    households = _households().filter(pk__in=household_ids)
    now = timezone.now()
    written = actions.write_due(
        [one for one in due(list(households), now=now) if one.weeks], now=now
    )
    logger.info("Wrote %d weekly summaries for %d households", written, len(household_ids))
    return written


def _households() -> QuerySet[Household]:
    return Household.objects.select_related("review_progress").order_by("pk")


def _chunks() -> Iterator[list[Household]]:
    """All households by id, a bounded number at a time; a new one may come in the middle."""
    last: UUID | None = None
    while True:
        after = _households() if last is None else _households().filter(pk__gt=last)
        chunk = list(after[:HOUSEHOLDS_A_CHUNK])
        if not chunk:
            return
        yield chunk
        last = chunk[-1].pk
