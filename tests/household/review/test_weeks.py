"""Weeks: ISO 8601 numbering, the household's own zone, the change of the clocks."""

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from household.review.queries.weeks import (
    Week,
    WeekError,
    due_at,
    latest_due,
    local_day,
    parse_week,
    start_of,
    week_of,
    zone_of,
)

LISBON = ZoneInfo("Europe/Lisbon")
NEW_YORK = ZoneInfo("America/New_York")
AUCKLAND = ZoneInfo("Pacific/Auckland")
UTC_ZONE = ZoneInfo("UTC")


@pytest.mark.parametrize(
    ("day", "expected"),
    [
        # ISO 8601: week 1 is the one that holds the first Thursday of the year. Worked out by hand
        # from the weekday of each day.
        (date(2024, 12, 29), "2024-W52"),
        (date(2024, 12, 30), "2025-W01"),
        (date(2021, 1, 3), "2020-W53"),
        (date(2021, 1, 4), "2021-W01"),
        (date(2027, 1, 3), "2026-W53"),
        (date(2022, 1, 1), "2021-W52"),
        (date(2019, 12, 30), "2020-W01"),
    ],
)
def test_a_day_near_new_year_belongs_to_the_week_of_its_thursday(day: date, expected: str) -> None:
    assert str(week_of(day)) == expected
    assert day in parse_week(expected).days


def test_the_week_after_the_last_of_a_long_year_is_week_one() -> None:
    assert str(parse_week("2026-W53").next) == "2027-W01"
    assert str(parse_week("2027-W01").previous) == "2026-W53"
    assert str(parse_week("2025-W52").next) == "2026-W01"


@pytest.mark.parametrize(
    "text",
    [
        "2025-W53",
        "2026-W00",
        "2026-W54",
        "2026W10",
        "W10",
        "",
        "9999-W01",
        "2026-W1",
        "２０２６-W10",
    ],
)
def test_a_text_that_names_no_week_is_refused_with_what_is_allowed(text: str) -> None:
    with pytest.raises(WeekError, match="such as 2026-W47") as raised:
        parse_week(text)
    assert repr(text) in str(raised.value)


def test_weeks_sort_by_time() -> None:
    assert sorted([Week(2027, 1), Week(2026, 53), Week(2026, 9)]) == [
        Week(2026, 9),
        Week(2026, 53),
        Week(2027, 1),
    ]


@pytest.mark.parametrize(
    ("week", "zone", "hours"),
    [
        # Europe changes on the last Sundays of March and October, the United States on the second
        # of March and the first of November (IANA tz database).
        ("2026-W13", LISBON, 167),
        ("2026-W43", LISBON, 169),
        ("2026-W10", NEW_YORK, 167),
        ("2026-W44", NEW_YORK, 169),
        ("2026-W14", LISBON, 168),
    ],
)
def test_a_week_with_a_change_of_the_clocks_is_an_hour_off(
    week: str, zone: ZoneInfo, hours: int
) -> None:
    one = parse_week(week)
    length = start_of(one.next.monday, zone) - start_of(one.monday, zone)
    assert length == timedelta(hours=hours)


def test_the_last_minute_of_sunday_is_this_week_and_the_next_is_not() -> None:
    end = start_of(date(2026, 10, 26), LISBON)  # After the change: midnight is 00:00 UTC.
    assert end == datetime(2026, 10, 26, 0, 0, tzinfo=UTC)
    assert local_day(end - timedelta(seconds=1), LISBON) == date(2026, 10, 25)
    assert local_day(end, LISBON) == date(2026, 10, 26)


def test_a_week_is_due_at_four_on_monday_in_the_households_own_zone() -> None:
    week = parse_week("2026-W47")  # 16 to 22 November.
    assert due_at(week, UTC_ZONE) == datetime(2026, 11, 23, 4, tzinfo=UTC)
    assert due_at(week, AUCKLAND) == datetime(2026, 11, 22, 15, tzinfo=UTC)  # UTC+13 in summer.
    assert due_at(week, NEW_YORK) == datetime(2026, 11, 23, 9, tzinfo=UTC)


def test_four_on_the_monday_after_the_change_is_four_by_the_new_clock() -> None:
    assert due_at(parse_week("2026-W13"), LISBON) == datetime(2026, 3, 30, 3, tzinfo=UTC)
    assert due_at(parse_week("2026-W43"), LISBON) == datetime(2026, 10, 26, 4, tzinfo=UTC)


def test_until_four_on_monday_the_newest_due_week_is_the_one_before() -> None:
    before = datetime(2026, 11, 23, 3, 59, tzinfo=UTC)
    assert str(latest_due(before, UTC_ZONE)) == "2026-W46"
    assert str(latest_due(before + timedelta(minutes=1), UTC_ZONE)) == "2026-W47"
    # It is already Monday evening in Auckland, and still Sunday in New York.
    assert str(latest_due(before, AUCKLAND)) == "2026-W47"
    assert str(latest_due(before, NEW_YORK)) == "2026-W46"


def test_a_zone_that_was_withdrawn_falls_back_to_utc() -> None:
    assert zone_of("Mars/Olympus") == ZoneInfo("UTC")
    assert zone_of("../etc/passwd") == ZoneInfo("UTC")
    assert zone_of("Europe/Lisbon") == LISBON
