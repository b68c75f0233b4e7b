"""Collects what the people of the story wrote down, as operations with a time and an author."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from random import Random
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

Values = Mapping[str, Any]  # Any: register values as the wire carries them.


@dataclass(frozen=True)
class Entry:
    """One thing written down: a new record, or a change of one whose values were on screen."""

    op_id: UUID
    at: datetime
    by: str
    entity: str
    rid: UUID
    is_new: bool
    values: Values
    seen: Mapping[str, list[str]]


class Book:
    """The story's entries. Nothing is entered that would lie after the moment of loading.

    Ids come from a generator seeded with the household's id: the same household loaded for the same
    day gets the same records, and two demo households never share one.
    """

    def __init__(
        self,
        *,
        household_id: UUID,
        members: Mapping[str, UUID],
        today: date,
        zone: ZoneInfo,
        now: datetime,
    ) -> None:
        self.household_id = household_id
        self.members = members
        self._today, self._zone, self._now = today, zone, now
        self._random = Random(household_id.int)
        self._written: dict[tuple[UUID, str], str] = {}
        self.entries: list[Entry] = []

    def day(self, offset: int) -> date:
        """The calendar day a number of days after today."""
        return self._today + timedelta(days=offset)

    def at(self, offset: int, clock: str, plus_minutes: int = 0) -> datetime:
        """The instant of a clock time on a day of the story, in UTC."""
        local = datetime.combine(self.day(offset), time.fromisoformat(clock), tzinfo=self._zone)
        return local.astimezone(UTC) + timedelta(minutes=plus_minutes)

    def has_happened(self, at: datetime) -> bool:
        return at <= self._now

    def create(
        self, entity: str, values: Values, *, by: str, at: datetime, rid: UUID | None = None
    ) -> UUID:
        """Enter a new record; unknown values are left out. Returns its id."""
        rid = rid or self._uuid7(at)
        known = {name: value for name, value in values.items() if value is not None}
        self._enter(Entry(self._uuid7(at), at, by, entity, rid, True, known, {}))
        return rid

    def edit(self, entity: str, rid: UUID, values: Values, *, by: str, at: datetime) -> None:
        """Enter a change of a record, made with its last values on screen."""
        seen = {name: [self._written[rid, name]] for name in values if (rid, name) in self._written}
        self._enter(Entry(self._uuid7(at), at, by, entity, rid, False, values, seen))

    def in_order(self) -> list[Entry]:
        """The entries by time, a record's own before what hangs on it."""
        return sorted(self.entries, key=lambda entry: entry.at)

    def _enter(self, entry: Entry) -> None:
        if not self.has_happened(entry.at):
            return
        self.entries.append(entry)
        for name in entry.values:
            self._written[entry.rid, name] = str(entry.op_id)

    def _uuid7(self, at: datetime) -> UUID:
        millis = int(at.timestamp() * 1000)
        bits = millis << 80 | 0x7 << 76 | self._random.getrandbits(12) << 64
        return UUID(int=bits | 0b10 << 62 | self._random.getrandbits(62))


def iso(at: datetime) -> str:
    """An instant as a register carries it."""
    return at.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")
