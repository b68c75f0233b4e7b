"""Weeks as a household lives them: ISO 8601 weeks, Monday to Sunday, in its own time zone.

Days are calendar days of the household's zone. A week that holds a change of the clocks is an hour
shorter or longer, so its ends are two local midnights and never "start plus 168 hours".
"""

import re
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

# By Monday at 04:00 the week is over, a late Sunday supper included: a choice of this project.
DUE_AT = time(4, 0)
WEEK_TEXT = re.compile(r"^(2\d{3})-W(\d{2})$", re.ASCII)


class WeekError(ValueError):
    """The text does not name a week."""

    def __init__(self, given: str) -> None:
        self.given = given
        super().__init__(
            f"There is no week {given!r}. A week is an ISO 8601 year and week number, such as"
            " 2026-W47: a year from 2000 to 2999, and 01 to 52 (53 in a long year). Give one of"
            " those."
        )


@dataclass(frozen=True, order=True)
class Week:
    """One ISO 8601 week: its year is the one that holds its Thursday."""

    year: int
    number: int

    def __str__(self) -> str:
        return f"{self.year:04d}-W{self.number:02d}"

    @property
    def monday(self) -> date:
        return date.fromisocalendar(self.year, self.number, 1)

    @property
    def sunday(self) -> date:
        return self.monday + timedelta(days=6)

    @property
    def days(self) -> tuple[date, ...]:
        return tuple(self.monday + timedelta(days=n) for n in range(7))

    @property
    def next(self) -> "Week":
        return week_of(self.monday + timedelta(days=7))

    @property
    def previous(self) -> "Week":
        return week_of(self.monday - timedelta(days=7))


def week_of(day: date) -> Week:
    """The week that holds a day."""
    year, number, _ = day.isocalendar()
    return Week(year, number)


def parse_week(text: str) -> Week:
    """The week a text such as 2026-W47 names.

    Raises
    ------
    WeekError
        When the text has another form, or its year has no such week.
    """
    match = WEEK_TEXT.match(text)
    if match is None:
        raise WeekError(text)
    week = Week(int(match[1]), int(match[2]))
    try:
        date.fromisocalendar(week.year, week.number, 1)
    except ValueError as error:
        raise WeekError(text) from error
    return week


def zone_of(name: str) -> ZoneInfo:
    """The time zone of that name; UTC when this machine's tables no longer know it.

    Zone names are checked when a household sets them; one withdrawn since must not stop the review
    of every other household in the chunk.
    """
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError):
        return ZoneInfo("UTC")


def start_of(day: date, zone: ZoneInfo) -> datetime:
    """The instant a day begins in a zone, in UTC."""
    return datetime.combine(day, time.min, tzinfo=zone).astimezone(UTC)


def local_day(instant: datetime, zone: ZoneInfo) -> date:
    """The calendar day an instant falls on in a zone; the last there is for what lies beyond."""
    try:
        return instant.astimezone(zone).date()
    except OverflowError:
        # One phone's slip of a year must not stop the review of every other household.
        return date.max


def due_at(week: Week, zone: ZoneInfo) -> datetime:
    """The instant, in UTC, from which a week can be summed up: 04:00 on the Monday after it."""
    return datetime.combine(week.next.monday, DUE_AT, tzinfo=zone).astimezone(UTC)


def latest_due(now: datetime, zone: ZoneInfo) -> Week:
    """The newest week whose summary is due at an instant."""
    week = week_of(local_day(now, zone)).previous
    return week if due_at(week, zone) <= now else week.previous
