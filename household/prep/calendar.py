"""A member's calendar as other programs read it: RFC 5545, one event for each thing to do.

Times are in UTC, so that no program needs tables of time zones. An event keeps its UID across
fetches: the id that the duty has, or will have, on every phone. Its DTSTAMP is when the duty was
last changed, so that nothing is new where nothing has changed.
"""

from collections.abc import Iterable
from datetime import UTC, datetime, timedelta

from icalendar import Alarm, Calendar, Event

from household.prep.agenda import Due

DAYS_AHEAD = 60
REMIND_BEFORE = timedelta(minutes=15)  # A choice of this project.
SHOWN_FOR = timedelta(minutes=15)  # A duty has a moment; calendars draw a moment badly.
ASK_EVERY = timedelta(hours=1)


def as_ical(name: str, dues: Iterable[Due]) -> bytes:
    """The calendar of this name."""
    calendar = Calendar()
    calendar.add("prodid", "-//Trencher//Duties//EN")
    calendar.add("version", "2.0")
    calendar.add("method", "PUBLISH")
    calendar.add("name", name)  # RFC 7986; the next is what older programs read.
    calendar.add("x-wr-calname", name)
    calendar.add("refresh-interval", ASK_EVERY, parameters={"VALUE": "DURATION"})
    calendar.add("x-published-ttl", ASK_EVERY)
    for due in dues:
        calendar.add_component(_event(due))
    return bytes(calendar.to_ical())


def _event(due: Due) -> Event:
    event = Event()
    event.add("uid", f"{due.rid}@trencher")
    event.add("dtstamp", _to_the_second(due.changed_at))
    event.add("last-modified", _to_the_second(due.changed_at))
    event.add("dtstart", due.due_at.astimezone(UTC))
    event.add("duration", SHOWN_FOR)
    event.add("summary", due.title)
    if due.note:
        event.add("description", due.note)
    event.add("transp", "TRANSPARENT")  # It is a reminder; nobody is busy because of it.
    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("description", due.title)
    alarm.add("trigger", -REMIND_BEFORE)
    event.add_component(alarm)
    return event


def _to_the_second(instant: datetime) -> datetime:
    return instant.astimezone(UTC).replace(microsecond=0)
