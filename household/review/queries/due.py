"""Which weeks of which households are to be summed up: new ones, and those records reach late."""

import json
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from django.db.models import F

from household.accounts.models import Household
from household.review.models import Progress
from household.review.queries.weeks import Week, latest_due, local_day, parse_week, week_of, zone_of
from household.sync.instants import parse_date, parse_instant
from household.sync.models import Op, Record

LOOK_BACK_WEEKS = 8  # Weeks that late records can still change; older ones stay as they were said.
# The kinds a summary reads that belong to a time; a changed dog or food says nothing of the past.
TIMED = (
    "meal",
    "serving",
    "weighing",
    "condition",
    "observation",
    "batch",
    "weigh_in",
    "bag",
)
TIMES = ("day", "at", "made_at", "packed_at")  # Their registers that say when.
IDS_A_QUERY = 500  # SQLite takes a limited number of values in one statement.


@dataclass(frozen=True)
class Due:
    """The weeks one household is to be summed up for, and the log entry that then is the last."""

    household: Household
    weeks: tuple[Week, ...]
    newest: Week
    seq: int

    @property
    def is_news(self) -> bool:
        """Whether there is anything to note down, if only that nothing is due."""
        progress: Progress | None = getattr(self.household, "review_progress", None)
        if progress is None:
            return True
        return progress.seq != self.seq or progress.week != str(self.newest)


def due(households: Sequence[Household], *, now: datetime) -> list[Due]:
    """What is due in a chunk of households; theirs must come with `review_progress`.

    The work of a beat grows with what changed since the last one, not with what is stored: changed
    records come from the index by sequence number, and only their own log entries are opened.
    """
    earliest = _earliest_changed_days([h for h in households if _has_changed(h)])
    return [_due_of(household, earliest.get(household.pk), now) for household in households]


def _progress_of(household: Household) -> Progress | None:
    return getattr(household, "review_progress", None)


def _has_changed(household: Household) -> bool:
    progress = _progress_of(household)
    return household.seq > (progress.seq if progress else 0)


def _due_of(household: Household, earliest: date | None, now: datetime) -> Due:
    newest = latest_due(now, zone_of(household.time_zone))
    progress = _progress_of(household)
    starts = []
    if earliest is not None and week_of(earliest) <= newest:
        starts.append(week_of(earliest))
    if progress is not None and parse_week(progress.week) < newest:
        starts.append(parse_week(progress.week).next)
    weeks = _weeks(min(starts), newest) if starts else ()
    return Due(household, weeks, newest, household.seq)


def _weeks(first: Week, newest: Week) -> tuple[Week, ...]:
    """From the first to the newest, as far as one looks back: a change reaches later windows."""
    found = [newest]
    while found[-1] > first and len(found) < LOOK_BACK_WEEKS:
        found.append(found[-1].previous)
    return tuple(reversed(found))


def _earliest_changed_days(households: Sequence[Household]) -> dict[UUID, date]:
    """The earliest day, per household, that a record changed since the last time is or was about.

    A record moved to another day counts for both, so the days come from all its log entries.
    """
    zones = {household.pk: zone_of(household.time_zone) for household in households}
    earliest: dict[UUID, date] = {}
    for key, body in _entries_of(_changed(households)):
        for value in _times_in(body):
            day = parse_date(value)
            if day is None:
                instant = parse_instant(value)
                day = None if instant is None else local_day(instant, zones[key])
            if day is not None:
                earliest[key] = min(day, earliest.get(key, day))
    return earliest


def _changed(households: Sequence[Household]) -> dict[UUID, set[UUID]]:
    """The records changed since the last time, with the meals that say when servings were."""
    timed = Record.objects.filter(entity__in=TIMED)
    known = [h.pk for h in households if _progress_of(h) is not None]
    new = [h.pk for h in households if _progress_of(h) is None]
    # Two queries: one with "or" would read every record of a household, not only the newest.
    since = timed.filter(household__in=known, seq__gt=F("household__review_progress__seq"))
    found: dict[UUID, set[UUID]] = defaultdict(set)
    for rows in (since, timed.filter(household__in=new)):
        for key, rid, owner, entity in rows.values_list("household_id", "rid", "owner", "entity"):
            found[key].add(rid)
            if entity == "serving" and owner is not None:
                found[key].add(owner)
    return found


def _entries_of(changed: Mapping[UUID, Iterable[UUID]]) -> Iterator[tuple[UUID, str]]:
    """The bodies of the log entries of some records, by household."""
    wanted = [rid for rids in changed.values() for rid in rids]
    for start in range(0, len(wanted), IDS_A_QUERY):
        rids = wanted[start : start + IDS_A_QUERY]
        yield from Op.objects.filter(
            household__in=list(changed), rid__in=rids, applied=True
        ).values_list("household_id", "body")


def _times_in(body: str) -> Iterator[str]:
    values = json.loads(body)["set"] if body else {}
    for name in TIMES:
        if isinstance(values.get(name), str):
            yield values[name]
