"""Rotas: on which days they fall, whose turn it is, and that two phones make a duty once."""

from datetime import date, datetime, timedelta
from typing import Any

import pytest
from dateutil import rrule  # type: ignore[import-untyped]  # It carries no types.
from hypothesis import given
from hypothesis import strategies as st

from household.prep.models import Duty, Rota
from household.prep.rota import WEEK, Repetition, turns_between
from household.sync.envelope import slot_id
from tests.household.conftest import Phone
from tests.household.prep import rota_vectors

WEIGH = {
    "what": "weigh",
    "starts_on": "2026-11-02",
    "time": "08:00",
    "repeats": {"every_days": 7},
}
DAYS = st.dates(date(2000, 1, 1), date(2040, 1, 1))


def test_the_phone_is_proved_with_what_python_says_now() -> None:
    assert rota_vectors.PATH.read_text(encoding="utf-8") == rota_vectors.rendered()


@given(
    starts_on=DAYS,
    after_days=st.integers(-40, 4000),
    span_days=st.integers(0, 60),
    every_days=st.integers(1, 366),
    weekdays=st.lists(st.sampled_from(WEEK), min_size=1, max_size=7),
    is_weekly=st.booleans(),
)
def test_a_rota_falls_on_the_days_that_dateutil_gives(
    starts_on: date,
    after_days: int,
    span_days: int,
    every_days: int,
    weekdays: list[str],
    is_weekly: bool,
) -> None:
    """python-dateutil's recurrence rules (RFC 5545) are an implementation apart from ours."""
    first = starts_on + timedelta(days=after_days)
    last = first + timedelta(days=span_days)
    people = ("ines", "callum", "bettrys")
    start = datetime.combine(starts_on, datetime.min.time())
    end = datetime.combine(last, datetime.min.time())
    if is_weekly:
        own = Repetition(starts_on, weekdays=weekdays, turns=people)
        days = [WEEK.index(each) for each in weekdays]
        rule = rrule.rrule(rrule.WEEKLY, dtstart=start, until=end, byweekday=days)
    else:
        own = Repetition(starts_on, every_days=every_days, turns=people)
        rule = rrule.rrule(rrule.DAILY, dtstart=start, until=end, interval=every_days)
    wanted = [
        (at.date(), people[number % 3]) for number, at in enumerate(rule) if at.date() >= first
    ]
    found = [(turn.day, turn.assignee) for turn in turns_between(own, first, last)]
    assert found == wanted


@pytest.mark.django_db
def test_a_rota_is_kept_with_its_days_and_turns(ines: Phone, callum: Phone) -> None:
    turns = [str(ines.member.pk), str(callum.member.pk)]
    ines.make("rota", {**WEIGH, "repeats": {"weekdays": ["tue", "sat"]}, "turns": turns})
    kept = Rota.living(ines.member.household_id).get()
    assert (kept.repeats_every_days, kept.repeats_weekdays) == (None, ["tue", "sat"])
    assert (f"{kept.time:%H:%M}", kept.starts_on, kept.turns) == (
        "08:00",
        date(2026, 11, 2),
        turns,
    )


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("wrong", "message"),
    [
        ({"repeats": {}}, "exactly one"),
        ({"repeats": {"every_days": 2, "weekdays": ["mon"]}}, "exactly one"),
        ({"repeats": {"every_days": 0}}, "outside the allowed 1 to 366"),
        ({"repeats": {"weekdays": []}}, "Weekdays"),
        ({"repeats": {"weekdays": ["someday"]}}, "“someday” is not known"),
        ({"turns": ["Ines"]}, "must be the id of a member"),
    ],
)
def test_a_rota_that_never_comes_is_refused(
    ines: Phone, wrong: dict[str, Any], message: str
) -> None:
    (result,) = ines.results(ines.op("rota", {**WEIGH, **wrong}))
    assert (result["status"], result["code"]) == ("rejected", "invalid")
    assert message in str(result)


@pytest.mark.django_db
def test_two_phones_that_do_the_same_occurrence_make_one_duty(ines: Phone, callum: Phone) -> None:
    rota = ines.make("rota", WEIGH)
    rid = str(slot_id("duty", rota["rid"], "2026-11-23"))
    duty = {"what": "weigh", "due_at": "2026-11-23T08:00:00Z"}
    for phone, minute in ((ines, 5), (callum, 40)):
        done = {"at": f"2026-11-23T08:{minute:02d}:00Z", "by": str(phone.member.pk)}
        phone.results(phone.op("duty", {**duty, "done": done}, rid=rid, new=True))
    kept = Duty.living(ines.member.household_id).get()
    assert (str(kept.rid), kept.what) == (rid, "weigh")
    row = ines.row(rid)
    assert {each["value"]["by"] for each in row["also"]["done"]} == {
        str(ines.member.pk),
        str(callum.member.pk),
    }
    assert set(row["also"]) == {"done"}


@pytest.mark.django_db
def test_a_sitter_sees_neither_duties_nor_rotas(ines: Phone, sitter: Phone) -> None:
    hidden = {
        ines.make("rota", WEIGH)["rid"],
        ines.make("duty", {"what": "shop", "title": "Ox heart"})["rid"],
    }
    assert not hidden & set(sitter.pull())
    refused = sitter.results(sitter.op("rota", WEIGH), sitter.op("duty", {"what": "shop"}))
    assert [each["code"] for each in refused] == ["forbidden", "forbidden"]
