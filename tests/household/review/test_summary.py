"""A week worked out by hand, and weeks with little or nothing in them."""

from collections.abc import Callable
from datetime import date, timedelta
from typing import Any

import pytest

from household.accounts.models import Household
from household.review.models import Summary
from household.review.queries.loading import load_week
from household.review.queries.weeks import parse_week
from tests.household.conftest import Phone
from tests.household.review.conftest import MONDAY, W47, Diary, biscuit, days, stamp

pytestmark = pytest.mark.django_db
SummedUp = Callable[..., dict[str, Any]]


def write_worked_week(diary: Diary) -> str:
    """Six days of two meals of biscuit, 4 kcal to the gram, for a dog whose vet says 1000 kcal."""
    dog = diary.dog(energy_vet={"kcal_per_day": 1000})
    # Per 1000 kcal, 250 g: calcium 1000 mg (NRC 2006 recommends 1000), phosphorus 375 (750).
    food = diary.write("food", biscuit(nutrients_per_100g={"calcium": 400, "phosphorus": 150}))
    what = {"food": food}
    for day in days(5):
        diary.feed(dog, day, "07:00", what=what, offered_g=125, left={"g": 0}, appetite="keen")
        diary.feed(dog, day, "18:00", what=what, offered_g=125, left={"g": 0}, appetite="slow")
    saturday = MONDAY + timedelta(days=5)
    diary.feed(
        dog, saturday, "07:00", what=what, offered_g=125, left={"share": 0.2}, appetite="picked"
    )
    diary.feed(dog, saturday, "18:00", what=what, offered_g=125)
    diary.weigh(dog, date(2026, 11, 10), 19_900)
    diary.weigh(dog, date(2026, 11, 17), 20_000)
    diary.note(dog, MONDAY, "stool", word="firm", flags=["mucus"])
    diary.note(dog, saturday, "stool", word="liquid")
    diary.push()
    return dog


def worked_body(diary: Diary, summed_up: SummedUp) -> Any:
    dog = write_worked_week(diary)
    return summed_up()[dog]


def test_energy_is_the_mean_of_the_days_with_meals(diary: Diary, summed_up: SummedUp) -> None:
    dog = write_worked_week(diary)
    energy = summed_up()[dog]["energy"]
    # Five days of 250 g; on Saturday 125 - 25 g left, and 125 g of which nothing was noted.
    assert energy["offered_g"] == 12 * 125
    assert energy["eaten_g"] == 5 * 250 + 100 + 125  # 1475 g
    # 1475 g x 4 kcal/g = 5900 kcal over six days = 983.3 a day; Sunday is not counted as a fast.
    assert energy["eaten_kcal_per_day"] == 983
    assert energy["required_kcal_per_day"] == 1000
    assert energy["share"] == 0.983
    assert energy["assumed_share"] == pytest.approx(125 / 1500, abs=0.0005)
    assert energy["unknown_share"] == 0
    assert energy["sentence"] == (
        "983 kcal a day, 98 % of the 1000 the vet gives, over six of seven days."
        " 8 % is assumed eaten: nothing was noted."
    )


def test_appetite_and_stool_are_counted_in_words(diary: Diary, summed_up: SummedUp) -> None:
    body = worked_body(diary, summed_up)
    appetite = body["appetite"]
    assert appetite["counts"] == {"keen": 5, "slow": 5, "picked": 1, "left_it": 0, "not_said": 1}
    assert appetite["meals"][0] == {"day": "2026-11-16", "time": "07:00", "word": "keen"}
    assert appetite["meals"][-1] == {"day": "2026-11-21", "time": "18:00", "word": None}
    assert appetite["sentence"] == (
        "Keen at five, slow at five and picked at one of 11 meals. One with no word."
    )
    assert body["stool"]["counts"] == {
        "dry_pellets": 0,
        "firm": 1,
        "shaped_moist": 0,
        "soft_shaped": 0,
        "soft_heap": 0,
        "liquid": 1,
    }
    assert body["stool"]["flags"] == {"mucus": 1}
    assert body["stool"]["sentence"] == "Two notes: firm one and liquid one. With mucus one."


def test_two_weighings_are_a_change_but_no_trend(diary: Diary, summed_up: SummedUp) -> None:
    weight = worked_body(diary, summed_up)["weight"]
    assert weight["latest_g"] == 20_000
    assert weight["latest_at"] == "2026-11-17T08:00:00Z"
    assert weight["change_g"] == 100
    assert weight["points"] == [["2026-11-10", 19_900], ["2026-11-17", 20_000]]
    assert (weight["slope_pct_per_week"], weight["low"], weight["high"]) == (None, None, None)
    assert weight["sentence"] == "Weighed twice in ten weeks: too few for a trend."


@pytest.mark.parametrize(
    ("facts", "word"),
    [
        ({"born": {"date": "2026-06-01"}, "adult_weight_g": 20_000}, "Growing"),
        # Mated on 10 October, so in the seventh week of whelp: she gains, and grows no more.
        (
            {"sex": "female", "neutered": False, "reproduction": {"mated_on": "2026-10-10"}},
            "Rising",
        ),
    ],
)
def test_only_a_young_dog_grows(
    diary: Diary, summed_up: SummedUp, facts: dict[str, Any], word: str
) -> None:
    dog = diary.write("dog", {"name": "Fern", **facts})
    for weeks in range(5):
        diary.weigh(dog, MONDAY - timedelta(weeks=weeks), 10_000 - 200 * weeks)
    diary.push()
    assert summed_up()[dog]["weight"]["sentence"].startswith(word)


def test_the_balance_says_met_short_or_unknown(diary: Diary, summed_up: SummedUp) -> None:
    adequacy = worked_body(diary, summed_up)["adequacy"]
    assert (adequacy["edition"], adequacy["stage"], adequacy["days"]) == ("nrc-2006", "adult", 28)
    not_met = {one["nutrient"]: one for one in adequacy["not_met"]}
    # NRC takes 130 kcal per kg^0.75; this dog of 20 kg ate 983.3, so its food must hold 1.25 times
    # the table: 1000 mg of calcium for each 1000 kcal would do by the table, and do not for it.
    factor = 130 / (5900 / 6 / 20**0.75)
    calcium = not_met["calcium"]
    assert (calcium["word"], calcium["known"]) == ("short", 1000)
    assert calcium["minimum"] == pytest.approx(1000 * factor, rel=1e-3)
    assert f"{factor:.2f} times what the table says" in adequacy["sentence"]
    phosphorus = not_met["phosphorus"]
    assert (phosphorus["word"], phosphorus["unit"]) == ("short", "mg")
    assert (phosphorus["known"], phosphorus["best"]) == (375, 375)
    assert phosphorus["minimum"] == pytest.approx(750 * factor, rel=1e-3)
    # The label says nothing of zinc: that is unknown, and no figure.
    zinc = not_met["zinc"]
    assert (zinc["word"], zinc["known"], zinc["best"]) == ("unknown", None, None)
    assert adequacy["calcium_to_phosphorus"] == pytest.approx(400 / 150, abs=0.005)
    assert sum(adequacy["counts"].values()) == adequacy["counts"]["met"] + len(not_met)


def test_batches_and_work_are_the_households(
    diary: Diary, callum: Phone, cast: Any, summed_up: SummedUp
) -> None:
    dog = write_worked_week(diary)
    other = Diary(callum)
    tuesday = date(2026, 11, 17)
    batch = other.write(
        "batch",
        {"number": 12, "method": "cooked", "stage": "done", "made_at": stamp(tuesday, "15:00")},
    )
    for food, mass_g in (("usda-23567", 600), ("usda-13325", 400)):
        values = {"batch": batch, "food": food, "mass_g": mass_g, "at": stamp(tuesday, "14:00")}
        other.write("weigh_in", values)
    bag = {"batch": batch, "mass_g": 250, "count": 4, "place": "freezer"}
    other.write("bag", {**bag, "packed_at": stamp(tuesday, "15:30")})
    other.note(dog, tuesday, "behaviour", word="bright")
    other.push()
    body = summed_up()[dog]
    assert body["batches"] == [
        {
            "rid": batch,
            "number": 12,
            "method": "cooked",
            "mass_g": 1000,
            "made_at": "2026-11-17T15:00:00Z",
        }
    ]
    nothing = {"fed": 0, "batches": 0, "bags": 0, "weighings": 0, "notes": 0}
    assert body["work"] == {
        str(cast.ines.pk): {**nothing, "fed": 12, "weighings": 1, "notes": 2},
        str(cast.callum.pk): {**nothing, "batches": 1, "bags": 1, "notes": 1},
    }


def test_a_food_nobody_described_makes_the_energy_unknown(
    diary: Diary, summed_up: SummedUp
) -> None:
    dog = diary.dog(energy_vet={"kcal_per_day": 1000})
    food = diary.write("food", biscuit())
    nameless = diary.write("food", {"name": "What the neighbour gives"})
    for day in days(3):
        diary.feed(dog, day, what={"food": food}, offered_g=90, left={"g": 0})
        diary.feed(dog, day, "18:00", what={"food": nameless}, offered_g=10, left={"g": 0})
    diary.weigh(dog, MONDAY, 20_000)
    diary.push()
    energy = summed_up()[dog]["energy"]
    assert energy["eaten_kcal_per_day"] is None
    assert energy["share"] is None
    assert energy["unknown_share"] == 0.1
    assert energy["sentence"].startswith("At least 360 kcal a day; ")  # 90 g x 4 kcal/g.


def test_a_dog_without_a_weight_has_no_need_and_no_share(diary: Diary, summed_up: SummedUp) -> None:
    dog = diary.dog()
    food = diary.write("food", biscuit())
    diary.feed(dog, MONDAY, what={"food": food}, left={"g": 0})
    diary.push()
    body = summed_up()[dog]
    assert body["energy"]["eaten_kcal_per_day"] == 400
    assert body["energy"]["required_kcal_per_day"] is None
    assert body["energy"]["share"] is None
    assert "not known without a weight" in body["energy"]["sentence"]
    assert body["weight"]["latest_g"] is None


def test_a_batch_is_eaten_as_what_was_weighed_in(diary: Diary, summed_up: SummedUp) -> None:
    dog = diary.dog()
    food = diary.write("food", biscuit())
    batch = diary.write("batch", {"method": "cooked", "stage": "done", "yield_g": 500})
    values = {"batch": batch, "food": food, "mass_g": 1000, "at": stamp(MONDAY)}
    diary.write("weigh_in", values)
    diary.feed(dog, MONDAY, what={"batch": batch}, offered_g=50, left={"g": 0})
    diary.push()
    # 1000 g at 4 kcal cooked down to 500 g: 8 kcal to the gram.
    assert summed_up()[dog]["energy"]["eaten_kcal_per_day"] == 400


def test_a_batch_that_was_only_planned_is_of_unknown_content(
    diary: Diary, summed_up: SummedUp
) -> None:
    dog = diary.dog()
    food = diary.write("food", biscuit())
    plan = [{"food": food, "mass_g": 1000}]
    batch = diary.write(
        "batch",
        {"method": "ground", "stage": "done", "plan": plan, "made_at": stamp(MONDAY)},
    )
    diary.feed(dog, MONDAY, what={"batch": batch}, left={"g": 0})
    diary.push()
    body = summed_up()[dog]
    assert (body["energy"]["eaten_kcal_per_day"], body["energy"]["unknown_share"]) == (None, 1)
    assert body["batches"][0]["mass_g"] is None


@pytest.mark.parametrize(
    ("zone", "judged_at", "is_of_the_week"),
    [
        # Los Angeles is 8 hours behind UTC in November: the week ends on Monday at 08:00 UTC.
        ("America/Los_Angeles", "2026-11-23T03:00:00Z", True),
        ("America/Los_Angeles", "2026-11-23T08:00:00Z", False),
        # Auckland is 13 hours ahead: it ends on Sunday at 11:00 UTC.
        ("Pacific/Auckland", "2026-11-22T10:59:00Z", True),
        ("Pacific/Auckland", "2026-11-22T11:00:00Z", False),
    ],
)
def test_a_condition_counts_in_the_week_of_its_local_day(
    diary: Diary, cast: Any, zone: str, judged_at: str, is_of_the_week: bool
) -> None:
    cast.household.time_zone = zone
    cast.household.save(update_fields=["time_zone"])
    dog = diary.dog()
    diary.write("condition", {"dog": dog, "at": judged_at, "bcs": 7})
    diary.push()
    (records,) = load_week(Household.objects.get(pk=cast.household.pk), W47).dogs
    assert records.bcs == (7 if is_of_the_week else None)


def test_a_mealtime_that_names_no_dog_is_for_all_of_them(diary: Diary, summed_up: SummedUp) -> None:
    dog = diary.dog()
    food = diary.write("food", biscuit())
    diary.weigh(dog, MONDAY, 20_000)
    breakfast, _ = (
        diary.write("mealtime", {"name": name, "time": time, "dogs": []})
        for name, time in (("Breakfast", "07:00"), ("Supper", "18:00"))
    )
    for day in days(3):
        meal = diary.write(
            "meal", {"mealtime": breakfast, "day": day.isoformat(), "at": stamp(day)}
        )
        diary.serve(dog, meal, what={"food": food}, offered_g=100, left={"g": 0})
    diary.push()
    # 400 of the 662 kcal of rest, but nobody wrote the suppers down.
    assert summed_up()[dog]["alerts"] == []


def test_nothing_written_is_said_as_nothing_written(diary: Diary, summed_up: SummedUp) -> None:
    fed, quiet = diary.dog("Pascoe"), diary.dog("Morag")
    food = diary.write("food", biscuit())
    diary.feed(fed, MONDAY, what={"food": food})
    diary.push()
    body = summed_up()[quiet]
    assert body["energy"]["eaten_kcal_per_day"] is None
    assert body["energy"]["sentence"] == "No meals were written down."
    assert body["appetite"]["sentence"] == "No meals were written down."
    assert body["stool"]["sentence"] == "No stool was written down."
    assert body["weight"]["sentence"] == "Not weighed in the last ten weeks."
    assert body["adequacy"]["counts"]["short"] == 0
    assert body["adequacy"]["sentence"] == "Nothing was written down in 28 days."
    assert body["alerts"] == []


def test_a_week_without_any_record_gets_no_summary(diary: Diary, summed_up: SummedUp) -> None:
    diary.dog()
    diary.push()
    assert summed_up() == {}
    assert not Summary.objects.exists()


@pytest.mark.parametrize(
    ("at", "week"),
    [
        # Summer time ends in London on Sunday 25 October 2026: that week begins at 23:00 UTC and
        # ends at 24:00.
        ("2026-10-18T22:59:59Z", "2026-W42"),
        ("2026-10-18T23:00:00Z", "2026-W43"),
        ("2026-10-25T23:59:59Z", "2026-W43"),
        ("2026-10-26T00:00:00Z", "2026-W44"),
        # It begins on Sunday 29 March 2026.
        ("2026-03-29T22:59:59Z", "2026-W13"),
        ("2026-03-29T23:00:00Z", "2026-W14"),
        # The year 2025 ends inside the first week of 2026.
        ("2025-12-28T23:59:59Z", "2025-W52"),
        ("2025-12-29T00:00:00Z", "2026-W01"),
        ("2026-01-04T23:59:59Z", "2026-W01"),
        ("2026-01-05T00:00:00Z", "2026-W02"),
    ],
)
def test_a_record_counts_in_the_week_of_its_local_day(
    diary: Diary, summed_up: SummedUp, at: str, week: str
) -> None:
    dog = diary.dog()
    diary.write("weighing", {"dog": dog, "at": at, "mass_g": 20_000})
    diary.push()
    its_own = parse_week(week)
    assert summed_up(its_own)[dog]["weight"]["latest_at"] == at
    assert summed_up(its_own)[dog]["week"] == week
    # The week before knows nothing of it; in the week after it is old news.
    assert summed_up(its_own.previous) == {}
    assert summed_up(its_own.next) == {}
