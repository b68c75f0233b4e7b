"""What a member has to do in the days ahead: duties, the days of the rotas, packs to pull."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db.models import Q

from household.accounts.models import Member
from household.dogs.models import Dog
from household.dogs.queries import today_of
from household.prep.models import Duty, Rota, Travel
from household.prep.pull_times import packs_to_pull
from household.prep.rota import Repetition, turns_between
from household.sync.envelope import slot_id

WORDS: Mapping[str, str] = {
    "pull": "Pull from the freezer",
    "grind": "Grind",
    "feed": "Feed",
    "weigh": "Weigh",
    "shop": "Shop",
    "ring_vet": "Ring the vet",
    "other": "To do",
}


RAW = ("pull", "grind")
"""Duties with raw food, which a household that travels on dry food may want to put off."""


@dataclass(frozen=True)
class Due:
    """Something to be done by a moment; ``rid`` is its id on every phone."""

    rid: UUID
    title: str
    due_at: datetime
    note: str
    changed_at: datetime
    is_raw: bool


@dataclass(frozen=True)
class Span:
    """Days of the household, first to last, and the instants at which they begin and end."""

    first: date
    last: date
    zone: ZoneInfo

    @property
    def start(self) -> datetime:
        return datetime.combine(self.first, time.min, tzinfo=self.zone)

    @property
    def end(self) -> datetime:
        return datetime.combine(self.last + timedelta(days=1), time.min, tzinfo=self.zone)


def agenda(member: Member, *, days: int, now: datetime) -> list[Due]:
    """What is this member's and still open, from today on for so many days, by time."""
    today = today_of(member.household, now)
    span = Span(today, today + timedelta(days=days - 1), ZoneInfo(member.household.time_zone))
    pulls = [
        Due(each.rid, each.title, each.move_by, each.note, each.changed_at, is_raw=True)
        for each in packs_to_pull(member, start=span.start, end=span.end)
    ]
    travels = list(Travel.living(member.household_id))
    dues = [_said_of(due, travels, span.zone) for due in [*_duties(member, span), *pulls]]
    return sorted(dues, key=lambda due: (due.due_at, due.rid))


def _said_of(due: Due, travels: Sequence[Travel], zone: ZoneInfo) -> Due:
    """A duty with raw food says so when it falls into days of travelling; it is never hidden."""
    day = due.due_at.astimezone(zone).date()
    is_away = any(each.days_first <= day <= each.days_last for each in travels)
    return replace(due, title=f"{due.title} (you travel then)") if due.is_raw and is_away else due


def _duties(member: Member, span: Span) -> list[Due]:
    household_id = member.household_id
    names = dict(Dog.living(household_id).values_list("rid", "name"))
    worked = _occurrences(household_id, span, names)
    # Struck-off ones are read too, since their rota would bring them back.
    stored = Duty._default_manager.filter(household_id=household_id).filter(
        Q(rid__in=worked) | Q(due_at__gte=span.start, due_at__lt=span.end, assignee=member.pk)
    )
    found = []
    for duty in stored:
        turn, _ = worked.pop(duty.rid, (None, None))
        # Where nobody was named for it, it is whose turn it is.
        whose = str(duty.assignee) if duty.assignee else turn
        if duty.gone or duty.done_at or whose != str(member.pk) or duty.due_at is None:
            continue
        if span.start <= duty.due_at < span.end:
            found.append(_due(duty.rid, duty, duty.due_at, names))
    return found + [due for turn, due in worked.values() if turn == str(member.pk)]


def _occurrences(
    household_id: UUID, span: Span, names: Mapping[UUID, str]
) -> dict[UUID, tuple[str | None, Due]]:
    """The days of all rotas in the span, with whose turn each is."""
    worked = {}
    for rota in Rota.living(household_id):
        repetition = Repetition(
            starts_on=rota.starts_on,
            ends_on=rota.ends_on,
            every_days=rota.repeats_every_days,
            weekdays=rota.repeats_weekdays or (),
            turns=rota.turns or (),
        )
        for turn in turns_between(repetition, span.first, span.last):
            rid = slot_id("duty", rota.rid, turn.day.isoformat())
            due_at = datetime.combine(turn.day, rota.time, tzinfo=span.zone)
            worked[rid] = (turn.assignee, _due(rid, rota, due_at, names))
    return worked


def _due(rid: UUID, duty: Duty | Rota, due_at: datetime, names: Mapping[UUID, str]) -> Due:
    return Due(rid, _title(duty, names), due_at, duty.note, duty.op_at, duty.what in RAW)


def _title(duty: Duty | Rota, names: Mapping[UUID, str]) -> str:
    """As the phone calls it."""
    if title := duty.title.strip():
        return title
    words = WORDS.get(duty.what, duty.what)
    name = names.get(duty.dog) if duty.dog else None
    return f"{words}: {name}" if name else words
