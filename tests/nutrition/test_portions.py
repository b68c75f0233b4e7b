"""Portions, meals and left-overs."""

import pytest

from nutrition.errors import InputError
from nutrition.portions import Eater, share_out


def test_a_dog_gets_its_energy() -> None:
    """Worked by hand: 2 kcal/g, 1000 kcal a day in two meals is 250 g each; 5 kg makes 20."""
    plan = share_out([Eater("morag", 1000, 2)], energy_kcal=10_000, yield_g=5_000)
    assert plan.portions[0].mass_g_per_meal == 250
    assert plan.portions[0].energy_kcal_per_meal == 500
    assert (plan.meals, plan.days, plan.left_over_g) == (20, 10, 0)


def test_several_dogs_share_by_need() -> None:
    eaters = [Eater("morag", 650, 2), Eater("pascoe", 1200, 2), Eater("tansy", 980, 3)]
    plan = share_out(eaters, energy_kcal=9_000, yield_g=5_000, step_g=5)
    assert [portion.mass_g_per_meal for portion in plan.portions] == [180, 335, 180]
    assert plan.meals == 7
    assert plan.left_over_g == 5_000 - 7 * 695


def test_a_batch_may_be_part_of_the_day() -> None:
    whole = share_out([Eater("a", 800, 2)], energy_kcal=4_000, yield_g=2_000)
    half = share_out([Eater("a", 800, 2, share=0.5)], energy_kcal=4_000, yield_g=2_000)
    assert half.portions[0].mass_g_per_meal == whole.portions[0].mass_g_per_meal / 2


def test_what_is_lost_in_cooking_makes_food_denser() -> None:
    raw = share_out([Eater("a", 800, 2)], energy_kcal=4_000, yield_g=2_000)
    cooked = share_out([Eater("a", 800, 2)], energy_kcal=4_000, yield_g=1_600)
    assert cooked.portions[0].mass_g_per_meal < raw.portions[0].mass_g_per_meal
    assert cooked.days == raw.days


def test_a_portion_is_never_rounded_away() -> None:
    plan = share_out([Eater("a", 1, 2)], energy_kcal=3_000, yield_g=1_000, step_g=10)
    assert plan.portions[0].mass_g_per_meal == 10


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"energy_kcal": 0.0}, "energy_kcal"),
        ({"yield_g": -5.0}, "yield_g"),
        ({"step_g": 0.0}, "step_g"),
        ({"yield_g": float("nan")}, "yield_g"),
    ],
)
def test_a_batch_without_substance_is_refused(changes: dict[str, float], field: str) -> None:
    amounts = {"energy_kcal": 1_000.0, "yield_g": 500.0, "step_g": 1.0} | changes
    with pytest.raises(InputError, match="must be over zero") as caught:
        share_out([Eater("a", 800, 2)], **amounts)
    assert caught.value.fields == (field,)


@pytest.mark.parametrize(
    "eater", [Eater("a", 0, 2), Eater("a", 800, 0), Eater("a", 800, 2, 0), Eater("a", 800, 2, 1.5)]
)
def test_an_eater_must_eat(eater: Eater) -> None:
    with pytest.raises(InputError, match=r"a: .* were given"):
        share_out([eater], energy_kcal=1_000, yield_g=500)


def test_somebody_must_eat() -> None:
    with pytest.raises(InputError, match="Choose at least one"):
        share_out([], energy_kcal=1_000, yield_g=500)
