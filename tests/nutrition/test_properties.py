"""What must hold for any foods: mass balance, scaling, order, and holes that stay holes."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nutrition.adequacy import judge, word_for
from nutrition.composition import Food, combined, cut_with_bone, scaled, totals
from nutrition.portions import Eater, share_out
from nutrition.standards import targets
from nutrition.tables import load

FOODS = tuple(load().foods.values())
NUTRIENTS = tuple(load().nutrients)

foods = st.sampled_from(FOODS)
masses = st.floats(0.1, 20_000)
portions = st.lists(st.tuples(foods, masses), max_size=6)


def close(left: float | None, right: float | None) -> bool:
    """Both unknown, or equal but for rounding."""
    if left is None or right is None:
        return left is right
    return left == pytest.approx(right, rel=1e-9, abs=1e-12)


@given(portions)
def test_mass_and_energy_are_the_sums_of_the_parts(eaten: list[tuple[Food, float]]) -> None:
    found = totals(eaten)
    assert found.mass_g == pytest.approx(sum(mass_g for _, mass_g in eaten))
    energy = sum(food.energy_kcal_per_100g * mass_g / 100 for food, mass_g in eaten)
    assert found.energy_kcal == pytest.approx(energy)


@given(portions)
def test_proximates_never_weigh_more_than_the_food(eaten: list[tuple[Food, float]]) -> None:
    found = totals(eaten)
    parts = ("water", "protein", "fat", "carbohydrate", "fibre", "ash")
    assert sum(found.known[part] or 0 for part in parts) <= found.mass_g * 1.03 + 1e-9


@given(portions, st.floats(0.001, 1000))
def test_totals_scale(eaten: list[tuple[Food, float]], factor: float) -> None:
    larger = totals([(food, mass_g * factor) for food, mass_g in eaten])
    by_scaling = scaled(totals(eaten), share=factor)
    for nutrient in NUTRIENTS:
        assert close(larger.known[nutrient], by_scaling.known[nutrient])
        assert close(larger.best[nutrient], by_scaling.best[nutrient])


@given(portions.flatmap(lambda eaten: st.tuples(st.just(eaten), st.permutations(eaten))))
def test_order_does_not_matter(
    pair: tuple[list[tuple[Food, float]], list[tuple[Food, float]]],
) -> None:
    first, second = totals(pair[0]), totals(pair[1])
    for nutrient in NUTRIENTS:
        assert close(first.known[nutrient], second.known[nutrient])
        assert close(first.best[nutrient], second.best[nutrient])
        shares = first.unknown_energy_share[nutrient], second.unknown_energy_share[nutrient]
        assert close(*shares)


@given(portions, foods, masses)
def test_adding_a_food_never_lowers_a_known_amount(
    eaten: list[tuple[Food, float]], food: Food, mass_g: float
) -> None:
    before, after = totals(eaten), totals([*eaten, (food, mass_g)])
    for nutrient in NUTRIENTS:
        added = after.known[nutrient]
        if before.known[nutrient] and added is not None:
            assert added >= (before.known[nutrient] or 0) * (1 - 1e-12)
        if eaten and before.known[nutrient] is not None:
            assert added is not None


@given(portions)
def test_unknown_never_becomes_zero(eaten: list[tuple[Food, float]]) -> None:
    found = totals(eaten)
    for nutrient in NUTRIENTS:
        figures = [food.least(nutrient) for food, _ in eaten]
        if eaten and all(figure is None for figure in figures):
            assert found.known[nutrient] is None
        if any(food.most(nutrient) is None for food, _ in eaten):
            assert found.best[nutrient] is None


@given(portions)
def test_the_best_case_is_at_least_the_known_part(eaten: list[tuple[Food, float]]) -> None:
    found = totals(eaten)
    for nutrient in NUTRIENTS:
        known, best = found.known[nutrient], found.best[nutrient]
        if known is not None and best is not None:
            assert best >= known * (1 - 1e-9)


@given(portions)
def test_unknown_shares_are_shares(eaten: list[tuple[Food, float]]) -> None:
    for share in totals(eaten).unknown_energy_share.values():
        assert -1e-12 <= share <= 1 + 1e-12


@given(st.lists(portions, max_size=4))
def test_a_window_is_one_large_meal(meals: list[list[tuple[Food, float]]]) -> None:
    apart = combined([totals(meal) for meal in meals])
    together = totals([portion for meal in meals for portion in meal])
    assert close(apart.energy_kcal, together.energy_kcal)
    for nutrient in NUTRIENTS:
        assert close(apart.known[nutrient], together.known[nutrient])
        assert close(apart.best[nutrient], together.best[nutrient])


@given(foods, foods, st.floats(0, 1))
def test_a_cut_lies_between_its_parts(boneless: Food, bone: Food, share: float) -> None:
    cut = cut_with_bone(key="c", name="Cut", boneless=boneless, bone=bone, bone_share=share)
    for nutrient, amount in cut.values.items():
        ends = sorted((boneless.values[nutrient], bone.values[nutrient]))
        assert ends[0] * (1 - 1e-9) - 1e-9 <= amount <= ends[1] * (1 + 1e-9) + 1e-9


@given(portions)
def test_short_is_said_only_when_the_best_case_is_short(
    eaten: list[tuple[Food, float]],
) -> None:
    for found in judge(totals(eaten), targets("nrc-2006", "adult")):
        if found.word == "short":
            assert found.best is not None
            assert found.minimum is not None
            assert found.best < found.minimum
        if found.word == "over":
            assert found.known is not None
            assert found.maximum is not None
            assert found.known > found.maximum


amounts = st.none() | st.floats(0, 1000)


@given(amounts, amounts, amounts, amounts)
def test_more_known_never_turns_met_into_short(
    known: float | None, more: float | None, minimum: float | None, maximum: float | None
) -> None:
    if known is None or more is None:
        return
    before = word_for(known, known, minimum=minimum, maximum=maximum)
    after = word_for(known + more, known + more, minimum=minimum, maximum=maximum)
    assert not (before in ("met", "over") and after == "short")


@given(
    st.lists(
        st.builds(
            Eater,
            st.just("dog"),
            st.floats(50, 5000),
            st.integers(1, 4),
            st.floats(0.05, 1),
        ),
        min_size=1,
        max_size=5,
    ),
    st.floats(100, 100_000),
    st.floats(50, 50_000),
    st.sampled_from([0.1, 1.0, 5.0, 10.0]),
)
def test_meals_and_left_overs_are_the_whole_batch(
    eaters: list[Eater], energy_kcal: float, yield_g: float, step_g: float
) -> None:
    plan = share_out(eaters, energy_kcal=energy_kcal, yield_g=yield_g, step_g=step_g)
    assert plan.meals * plan.meal_g + plan.left_over_g == pytest.approx(yield_g, rel=1e-6)
    assert plan.left_over_g < plan.meal_g * (1 + 1e-6)
    for eater, portion in zip(eaters, plan.portions, strict=True):
        exact_g = eater.energy_kcal_per_day * eater.share / eater.meals_per_day
        exact_g /= plan.energy_kcal_per_g
        assert abs(portion.mass_g_per_meal - exact_g) <= max(step_g / 2, step_g) + 1e-6
