"""Moments as the wire writes them: milliseconds since 1970, or ISO 8601 in UTC."""

import re
import time
from datetime import UTC, date, datetime, timedelta

LATEST_MILLIS = 253_402_300_799_999  # The end of the year 9999, the last a datetime can hold.
EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_DATE = re.compile(r"\d{4}-\d\d-\d\d")
_INSTANT = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d{1,3})?Z")
_EARLIEST_YEAR = 1900


def now_millis() -> int:
    """The server's clock [ms since 1970]."""
    return time.time_ns() // 1_000_000


def from_millis(millis: int) -> datetime:
    return EPOCH + timedelta(milliseconds=millis)


def to_millis(moment: datetime) -> int:
    return (moment - EPOCH) // timedelta(milliseconds=1)


def to_iso(moment: datetime) -> str:
    """The instant as a register holds it."""
    return moment.astimezone(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")


def parse_date(value: object) -> date | None:
    if not isinstance(value, str) or _DATE.fullmatch(value) is None:
        return None
    try:
        day = date.fromisoformat(value)
    except ValueError:
        return None
    return day if day.year >= _EARLIEST_YEAR else None


def parse_instant(value: object) -> datetime | None:
    if not isinstance(value, str) or _INSTANT.fullmatch(value) is None:
        return None
    try:
        moment = datetime.fromisoformat(value)
    except ValueError:
        return None
    return moment if moment.year >= _EARLIEST_YEAR else None
