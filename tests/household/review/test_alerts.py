"""When an alert is given and when it is not; each threshold with its source."""

from datetime import date, timedelta

import pytest

from household.dogs.models import Dog
from household.review.queries.alerts import Alert, alerts
from household.review.queries.appetite import chance_of_at_least
from household.review.queries.pantry import Pantry
from household.review.queries.records import DogRecords, Kitchen, Observation, Serving, Weighing
from household.review.queries.weeks import parse_week
from household.review.queries.weight import trend
from nutrition.composition import Food
from tests.household.review.conftest import MONDAY, at

WEEK = parse_week("2026-W47")
RESTING = 400.0  # [kcal/day] A made-up dog, so that 75 % is 300.
FOOD = Food("meal", "Meal", "own", "raw", 100.0, "label", {})  # 1 kcal to the gram.


def raised(**records: object) -> list[Alert]:
    dog = Dog(name="Morag", sex="female")
    known = DogRecords(dog=dog, **records)  # type: ignore[arg-type]  # Of each test's own making.
    return alerts(known, WEEK, Pantry(Kitchen(foods={"meal": FOOD})), RESTING)


def keys(**records: object) -> list[str]:
    return [alert["key"] for alert in raised(**records)]


def weighed(*masses_g: float, every_days: int = 7) -> list[Weighing]:
    """Weighings at even steps, the last one on Sunday of the week."""
    days = [WEEK.sunday - timedelta(days=every_days * n) for n in range(len(masses_g))]
    return [
        Weighing(at(day), day, mass_g, "ines")
        for day, mass_g in zip(reversed(days), masses_g, strict=True)
    ]


def served(day: date, *, eaten_g: float, offered_g: float = 400, **more: object) -> Serving:
    values: dict[str, object] = {"left_noted": True, "appetite": None, "food": "meal", **more}
    return Serving(
        meal=f"{day}", day=day, time="07:00", offered_g=offered_g, eaten_g=eaten_g, by="ines",
        **values,  # type: ignore[arg-type]  # Of each test's own making.
    )  # fmt: skip


def seen(day: date, topic: str, *flags: str, clock: str = "09:00") -> Observation:
    return Observation(at(day, clock), day, topic, None, flags, "callum")


# Weight. Jergens 2003, J Vet Intern Med 17:291-297: under 5 % mild, 5 to 10 % moderate, over 10 %
# severe (item wording from memory).


@pytest.mark.parametrize(
    ("earlier_g", "latest_g", "grade"),
    [(10_000, 9_500, "moderate"), (10_000, 9_000, "moderate"), (10_000, 8_990, "severe")],
)
def test_a_loss_is_graded_by_the_published_bounds(
    earlier_g: float, latest_g: float, grade: str
) -> None:
    (alert,) = raised(weighings=weighed(earlier_g, latest_g))
    assert alert["key"] == "weight_loss"
    assert f"a {grade} loss" in alert["text"]
    assert ("today" in alert["next"]) == (grade == "severe")
    assert "Jergens" in alert["source"]
    assert "Not sure: two weighings" in alert["certainty"]


def test_under_five_percent_between_two_weighings_is_no_alert() -> None:
    # Divol and Priymenko 2017, J Nutr Sci: within 5 % counts as weight-stable.
    assert keys(weighings=weighed(10_000, 9_510)) == []


def test_a_small_loss_is_told_when_the_slope_is_clear() -> None:
    (alert,) = raised(weighings=weighed(10_000, 9_960, 9_920, 9_880, 9_840, 9_800))
    # Medians of the first and last three: 9960 and 9840, so 1.2 %; 40 g a week is 0.4 %.
    assert alert["text"] == (
        "1.2 % less than five weeks ago, a mild loss; −0.4 % a week over the last six."
    )
    assert alert["certainty"].startswith("Sure of the weight: six weighings")
    assert alert["since"] == "2026-10-25"  # The last Sunday at 9960 g or more.
    assert alert["next"].startswith("weigh her twice a week")


def test_two_weights_of_one_day_are_one_day_of_the_trend() -> None:
    first, last = MONDAY - timedelta(days=14), MONDAY
    twice = [Weighing(at(first, "08:00"), first, 9_900, "ines")]
    twice.append(Weighing(at(first, "08:05"), first, 10_000, "ines"))
    twice.append(Weighing(at(last), last, 9_950, "ines"))
    assert trend(twice, WEEK).word == "too_few"


def test_two_weights_of_one_day_are_no_loss() -> None:
    twice = [
        Weighing(at(MONDAY, "08:00"), MONDAY, 10_000, "ines"),
        Weighing(at(MONDAY, "08:05"), MONDAY, 9_400, "ines"),
    ]
    assert keys(weighings=twice) == []


def test_noise_without_a_slope_is_no_alert() -> None:
    assert keys(weighings=weighed(10_000, 9_940, 10_040, 9_960, 10_020, 9_970)) == []


def test_a_slope_flatter_than_five_percent_a_year_is_steady() -> None:
    # Freeman 2012, J Vet Intern Med 26:3-17, quotes 5 % in 12 months for human cachexia (from
    # memory): 0.096 % a week. Here 5 g a week of 10 kg is 0.05 %.
    assert keys(weighings=weighed(10_000, 9_995, 9_990, 9_985, 9_980, 9_975)) == []


def test_more_than_two_percent_a_week_is_too_fast_even_when_planned() -> None:
    # Small Animal Clinical Nutrition, 5th ed., p. 540: about 2 % a week is the maximum.
    losing = weighed(10_000, 9_750, 9_500, 9_250)
    (alert,) = raised(weighings=losing, bcs=7)
    assert alert["title"] == "Morag is losing weight fast"
    assert "p. 540" in alert["source"]


def test_a_slow_loss_of_an_overweight_dog_is_taken_as_meant() -> None:
    # 2014 AAHA weight management guidelines: 1 to 2 % a week is the aim above the ideal score.
    losing = weighed(10_000, 9_880, 9_760, 9_640, 9_520, 9_400)
    assert keys(weighings=losing, bcs=7) == []
    assert keys(weighings=losing, bcs=5) == ["weight_loss"]


def test_weighings_after_the_week_say_nothing_about_it() -> None:
    later = WEEK.sunday + timedelta(days=1)
    heavy = weighed(10_000, 10_000)
    assert keys(weighings=[*heavy, Weighing(at(later), later, 8_000, "ines")]) == []


# Intake. Usual veterinary rule (from memory): under 75 % of resting for three days, or nothing for
# a day.


@pytest.mark.parametrize(("eaten_g", "expected"), [(299, ["low_intake"]), (300, [])])
def test_three_days_under_three_quarters_of_resting_is_a_call(
    eaten_g: float, expected: list[str]
) -> None:
    servings = [served(MONDAY + timedelta(days=n), eaten_g=eaten_g) for n in range(3)]
    assert keys(servings=servings) == expected


def test_two_low_days_are_not_three() -> None:
    servings = [served(MONDAY + timedelta(days=n), eaten_g=200) for n in range(2)]
    assert keys(servings=servings) == []


def test_a_run_that_began_before_the_week_counts() -> None:
    servings = [served(MONDAY + timedelta(days=n), eaten_g=200) for n in (-2, -1, 0)]
    (alert,) = raised(servings=servings)
    assert alert["since"] == "2026-11-14"
    assert alert["text"] == (
        "Three days in a row under 75 % of the resting requirement, about 50 % of it."
    )


def test_a_day_with_a_meal_not_written_down_breaks_the_run() -> None:
    servings = [served(MONDAY + timedelta(days=n), eaten_g=200) for n in range(3)]
    assert keys(servings=servings, meals_a_day=2) == []


def test_an_extra_does_not_stand_in_for_a_meal_not_written_down() -> None:
    servings = [
        served(MONDAY + timedelta(days=n), eaten_g=eaten_g, offered_g=eaten_g, mealtime=mealtime)
        for n in range(3)
        for eaten_g, mealtime in ((180, "breakfast"), (20, None))
    ]
    assert keys(servings=servings, meals_a_day=2) == []
    # With one mealtime a day it is all the dog had.
    assert keys(servings=servings, meals_a_day=1) == ["low_intake"]


def test_an_untouched_day_is_told_though_nobody_knows_what_was_in_the_bowl() -> None:
    (alert,) = raised(servings=[served(MONDAY, eaten_g=0, food="not in any table")])
    assert alert["title"] == "Morag ate nothing for a day"


def test_food_of_unknown_energy_is_not_counted_as_none() -> None:
    servings = [
        served(MONDAY + timedelta(days=n), eaten_g=200, food="not in any table") for n in range(3)
    ]
    assert keys(servings=servings) == []


def test_what_nobody_noted_is_assumed_eaten_and_raises_nothing() -> None:
    servings = [served(MONDAY + timedelta(days=n), eaten_g=400, left_noted=False) for n in range(3)]
    assert keys(servings=servings) == []


def test_a_whole_day_of_nothing_is_a_call() -> None:
    (alert,) = raised(servings=[served(MONDAY, eaten_g=0)])
    assert alert["title"] == "Morag ate nothing for a day"
    assert "today" in alert["next"]


# Appetite. Trencher's own rule: poor meals on three days, and more than chance deals (5 %).


def words(day: date, *said: str) -> list[Serving]:
    return [served(day, eaten_g=400, appetite=word) for word in said]


def eight_keen_weeks() -> list[Serving]:
    return [s for n in range(1, 57) for s in words(MONDAY - timedelta(days=n), "keen", "keen")]


def test_more_poor_meals_than_the_dogs_own_usual_is_told() -> None:
    week = [s for n in range(7) for s in words(MONDAY + timedelta(days=n), "keen")]
    week += [s for n in (1, 3, 5) for s in words(MONDAY + timedelta(days=n), "picked")]
    (alert,) = raised(servings=eight_keen_weeks() + week)
    assert alert["key"] == "appetite"
    assert alert["since"] == "2026-11-17"
    assert "Picked at or left 3 of 10 meals" in alert["text"]
    assert "Trencher's own" in alert["source"]


def test_poor_meals_on_two_days_are_noise() -> None:
    week = [s for n in (1, 3) for s in words(MONDAY + timedelta(days=n), "picked", "left_it")]
    assert keys(servings=eight_keen_weeks() + week) == []


def test_a_picky_dog_is_measured_by_its_own_usual() -> None:
    usual = [s for n in range(1, 57) for s in words(MONDAY - timedelta(days=n), "picked", "keen")]
    week = [s for n in range(7) for s in words(MONDAY + timedelta(days=n), "picked", "keen")]
    assert keys(servings=usual + week) == []


def test_without_two_weeks_of_words_there_is_no_usual() -> None:
    week = [s for n in range(7) for s in words(MONDAY + timedelta(days=n), "picked")]
    assert keys(servings=words(MONDAY - timedelta(days=1), "keen") + week) == []


def test_the_chance_is_that_of_fishers_exact_test() -> None:
    # Fisher's tea tasting: all four of four right by chance is 1 in 70; three or more, 17 in 70.
    # Fisher 1935, The Design of Experiments, ch. 2.
    assert chance_of_at_least(4, 4, 4, 8) == pytest.approx(1 / 70)
    assert chance_of_at_least(3, 4, 4, 8) == pytest.approx(17 / 70)


def test_weight_and_appetite_together_are_one_alert() -> None:
    week = [s for n in range(7) for s in words(MONDAY + timedelta(days=n), "picked", "slow")]
    (alert,) = raised(
        weighings=weighed(10_000, 9_960, 9_920, 9_880, 9_840, 9_800),
        servings=eight_keen_weeks() + week,
    )
    assert alert["key"] == "weight_and_appetite"
    assert alert["title"] == "Morag is losing weight and eating less"
    assert "ring the vet this week" in alert["next"]


# Signs to call the vet about: general veterinary advice (from memory).


@pytest.mark.parametrize("flag", ["fresh_blood", "black_tarry"])
def test_a_sign_of_blood_is_told_once_seen(flag: str) -> None:
    (alert,) = raised(observations=[seen(MONDAY, "stool", flag)])
    assert alert["key"] == "blood_in_stool"
    assert "today" in alert["next"]


@pytest.mark.parametrize("flag", ["mucus", "grass", "bone_bits"])
def test_other_marks_of_stool_raise_nothing(flag: str) -> None:
    assert keys(observations=[seen(MONDAY, "stool", flag)]) == []


def test_vomiting_twice_within_a_day_is_told() -> None:
    late = seen(MONDAY, "vomiting", clock="22:00")
    early = seen(MONDAY + timedelta(days=1), "vomiting", clock="06:00")
    (alert,) = raised(observations=[late, early])
    assert (alert["key"], alert["since"]) == ("repeated_vomiting", "2026-11-16")


def test_vomiting_in_the_night_from_sunday_to_monday_is_told_in_the_second_week() -> None:
    late = seen(MONDAY - timedelta(days=1), "vomiting", clock="22:00")
    early = seen(MONDAY, "vomiting", clock="02:00")
    (alert,) = raised(observations=[late, early])
    assert (alert["key"], alert["since"]) == ("repeated_vomiting", "2026-11-15")
    assert alert["text"] == "From Sunday 15 November; one note in the week."


def test_vomiting_twice_before_the_week_is_not_told_again() -> None:
    sunday = MONDAY - timedelta(days=1)
    before = [seen(sunday, "vomiting", clock=clock) for clock in ("08:00", "12:00")]
    assert keys(observations=before) == []


def test_vomiting_once_and_again_days_later_is_not_repeated() -> None:
    first, second = seen(MONDAY, "vomiting"), seen(MONDAY + timedelta(days=1), "vomiting")
    assert keys(observations=[first, second]) == []  # 24 hours apart to the minute.


def test_every_alert_answers_all_questions_and_never_diagnoses() -> None:
    found = raised(
        weighings=weighed(10_000, 8_900),
        servings=[served(MONDAY, eaten_g=0)],
        observations=[
            seen(MONDAY, "stool", "black_tarry"),
            seen(MONDAY, "vomiting"),
            seen(MONDAY, "vomiting", clock="12:00"),
        ],
    )
    assert len(found) == 4
    for alert in found:
        assert all(alert.values()), alert
        assert "vet" in alert["next"]
        assert not alert["next"].startswith("Next")  # The screen sets the word before it.
