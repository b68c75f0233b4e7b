"""Ideal weight and the way there, against the published formulas."""

import pytest

from nutrition.errors import InputError, UnknownKeyError
from nutrition.weight_plan import ideal_masses, weight_plan


@pytest.mark.parametrize(
    ("score", "points", "fat"),
    # AAHA 2014, both formulas worked by hand for 30 kg.
    [(6, 27.27, 28.13), (7, 25.00, 26.25), (8, 23.08, 24.38), (9, 21.43, 22.50)],
)
def test_ideal_weight_of_thirty_kilograms(score: int, points: float, fat: float) -> None:
    found = ideal_masses(30, condition_score=score)
    assert [each.mass_kg for each in found] == pytest.approx([points, fat], abs=0.006)
    assert 1.03 <= found[1].mass_kg / found[0].mass_kg <= 1.06


def test_five_is_ideal() -> None:
    assert [each.mass_kg for each in ideal_masses(20, condition_score=5)] == [20, 20]


def test_what_is_below_ideal_is_marked_as_remembered() -> None:
    """Scores under 5 as 10 % a point below ideal: from memory."""
    found = ideal_masses(16, condition_score=3)
    assert found[0].mass_kg == pytest.approx(20)
    assert {each.verified for each in found} == {"memory"}


def test_the_safe_rate_is_one_to_two_percent_a_week() -> None:
    """AAHA 2014 and 2021; SACN5 p. 540 calls 2 % the maximum."""
    plan = weight_plan(30, condition_score=7, maintenance_kcal=1400)
    assert (plan.rate_low_pct, plan.rate_high_pct) == (1, 2)
    assert plan.weeks_low is not None
    assert plan.weeks_high is not None
    assert 30 * 0.98**plan.weeks_low == pytest.approx(26.25)
    assert 30 * 0.99**plan.weeks_high == pytest.approx(25)


def test_what_dogs_ate_that_lost_weight_carries_its_spread() -> None:
    """AAHA 2021: 63 +- 10.2 kcal per kg^0.75 of ideal weight over twelve weeks."""
    plan = weight_plan(30, condition_score=7, maintenance_kcal=1400)
    measured = plan.starts[-1]
    size = 25**0.75
    assert (measured.low_kcal, measured.high_kcal) == pytest.approx((52.8 * size, 73.2 * size))


def test_without_an_intake_there_is_no_start_from_it() -> None:
    plan = weight_plan(30, condition_score=7, maintenance_kcal=1400)
    assert "intake" not in {each.method for each in plan.starts}


@pytest.mark.parametrize(
    ("facts", "why_not"),
    [
        ({"age_band": "puppy", "is_agreed_with_vet": True}, "growing"),
        ({"is_breeding": True, "is_agreed_with_vet": True}, "breeding"),
        ({"age_band": "senior"}, "old"),
        ({"muscle": "marked"}, "muscle"),
    ],
)
def test_some_dogs_get_no_figures(facts: dict[str, object], why_not: str) -> None:
    plan = weight_plan(30, condition_score=8, maintenance_kcal=1400, **facts)  # type: ignore[arg-type]  # Words of a test.
    assert (plan.why_not, plan.starts, plan.rate_high_pct) == (why_not, (), None)


def test_an_old_dog_gets_figures_once_a_vet_has_agreed() -> None:
    plan = weight_plan(
        30, condition_score=8, maintenance_kcal=1400, age_band="senior", is_agreed_with_vet=True
    )
    assert (plan.goal, plan.why_not) == ("lose", "")
    assert plan.starts


def test_a_very_thin_dog_is_for_the_vet_first() -> None:
    assert weight_plan(10, condition_score=2, maintenance_kcal=700).why_not == "thin"
    gain = weight_plan(10, condition_score=3, maintenance_kcal=700)
    assert (gain.goal, gain.why_not, gain.rate_low_pct) == ("gain", "", None)
    assert [each.verified for each in gain.starts] == ["memory"]


def test_four_and_five_hold_their_weight() -> None:
    for score in (4, 5):
        plan = weight_plan(20, condition_score=score, maintenance_kcal=1000)
        assert (plan.goal, plan.starts) == ("hold", ())


def test_no_score_no_plan() -> None:
    assert weight_plan(20, condition_score=None, maintenance_kcal=1000).why_not == "no score"


def test_figures_out_of_range_are_refused() -> None:
    with pytest.raises(InputError, match="condition_score is 10"):
        weight_plan(20, condition_score=10, maintenance_kcal=1000)
    with pytest.raises(UnknownKeyError, match="no muscle called"):
        weight_plan(20, condition_score=7, maintenance_kcal=1000, muscle="big")
