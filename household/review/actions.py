"""Writes weekly summaries: computed here, written through sync, and only where they changed."""

import logging
from collections import defaultdict
from collections.abc import Sequence
from datetime import datetime
from uuid import UUID

from household.accounts.models import Household
from household.review.models import Progress, Summary
from household.review.queries.assembling import household_week
from household.review.queries.due import Due
from household.review.queries.loading import load_week, read_rows
from household.review.queries.records import HouseholdWeek
from household.review.queries.summary import says_the_same, summary_bodies
from household.review.queries.weeks import Week
from household.sync.actions import Write, write_ops
from household.sync.envelope import slot_id
from household.sync.instants import to_millis

logger = logging.getLogger(__name__)
HOUSEHOLDS_A_LOAD = 25  # [-] Ten weeks of 25 households are some 20 000 rows in memory.


def write_week(household: Household, week: Week, *, now: datetime) -> int:
    """Write the summary of each dog's week, where it says something new; returns how many.

    Repeating it writes nothing. A week in which nothing was written down gets no summary, unless
    one was made before its records were deleted.
    """
    return _write(load_week(household, week), now=now)


def write_due(due: Sequence[Due], *, now: datetime) -> int:
    """Write what is due in a few households, and note how far they are; returns how many summaries.

    A household whose records make the computation fail is logged and stays due; the others go on.
    """
    by_week: dict[Week, list[Household]] = defaultdict(list)
    for one in due:
        for week in one.weeks:
            by_week[week].append(one.household)
    written, failed = 0, set()
    for week, households in sorted(by_week.items()):
        for start in range(0, len(households), HOUSEHOLDS_A_LOAD):
            part = households[start : start + HOUSEHOLDS_A_LOAD]
            found = read_rows(part, week)
            for household in part:
                try:
                    written += _write(household_week(household, week, found), now=now)
                # Whatever one household's records do must not keep the others from their week.
                except Exception:
                    logger.exception("Week %s of %s failed", week, household.pk)
                    failed.add(household.pk)
    note_progress([one for one in due if one.household.pk not in failed], now=now)
    return written


def note_progress(due: Sequence[Due], *, now: datetime) -> None:
    """Note how far these households are summed up, where that is new."""
    Progress.objects.bulk_create(
        [
            Progress(household=one.household, week=str(one.newest), seq=one.seq, at=now)
            for one in due
            if one.is_news
        ],
        update_conflicts=True,
        unique_fields=["household"],
        update_fields=["week", "seq", "at"],
    )


def _write(loaded: HouseholdWeek, *, now: datetime) -> int:
    household_id, week = UUID(loaded.household), str(loaded.week)
    known = {
        summary.dog: summary.body
        for summary in Summary.living(household_id).filter(week=week).only("dog", "body")
    }
    if not loaded.is_kept and not known:
        return 0
    bodies = summary_bodies(loaded, now=now)
    writes = [
        Write(
            entity="summary",
            rid=slot_id("summary", household_id, dog, week),
            set={"dog": dog, "week": week, "body": body},
        )
        for dog, body in bodies.items()
        if not says_the_same(known.get(UUID(dog)), body)
    ]
    if not writes:
        return 0
    return write_ops(household_id, writes, now=to_millis(now))
