"""The fast way to every window comes to what the plain definition says."""

from collections.abc import Sequence

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from nutrition.composition import Food, Totals, combined, totals
from nutrition.errors import InputError
from nutrition.tables import load
from nutrition.windows import food_matrix, sums, table_matrix, windows

ALL = tuple(load().foods.values())
DOGS, DAYS = 2, 30

servings = st.lists(
    st.tuples(
        st.integers(0, DOGS - 1),
        st.integers(0, DAYS - 1),
        st.lists(st.tuples(st.sampled_from(ALL), st.floats(0.001, 20_000)), max_size=4),
    ),
    max_size=8,
)
Serving = tuple[int, int, list[tuple[Food, float]]]


def same(left: Totals, right: Totals) -> None:
    assert left.mass_g == pytest.approx(right.mass_g, rel=1e-9)
    assert left.energy_kcal == pytest.approx(right.energy_kcal, rel=1e-9)
    for nutrient in load().nutrients:
        for one, other in (
            (left.known[nutrient], right.known[nutrient]),
            (left.best[nutrient], right.best[nutrient]),
            (left.unknown_energy_share[nutrient], right.unknown_energy_share[nutrient]),
        ):
            assert (one is None) == (other is None), nutrient
            if one is not None:
                assert one == pytest.approx(other, rel=1e-9, abs=1e-15), nutrient


def masses_of(given: Sequence[Serving], foods: Sequence[Food]) -> np.ndarray:
    column = {food.key: index for index, food in enumerate(foods)}
    masses_g = np.zeros((len(given), len(foods)))
    for row, (_, _, portions) in enumerate(given):
        for food, mass_g in portions:
            masses_g[row, column[food.key]] += mass_g
    return masses_g


@given(servings, st.sets(st.integers(1, 40), min_size=1, max_size=3))
def test_windows_are_the_servings_in_them_put_together(
    given: list[Serving], lengths: set[int]
) -> None:
    found = windows(
        food_matrix(ALL),
        masses_of(given, ALL),
        dog=np.array([dog for dog, _, _ in given], dtype=np.intp),
        day=np.array([day for _, day, _ in given], dtype=np.intp),
        shape=(DOGS, DAYS),
        lengths_days=sorted(lengths),
    )
    for length in lengths:
        for dog in range(DOGS):
            for last in (0, 6, 13, DAYS - 1):
                inside = [
                    totals(portions)
                    for whose, day, portions in given
                    if whose == dog and last - length < day <= last
                ]
                same(found.totals(dog, last=last, length_days=length), combined(inside))


@given(
    st.lists(st.tuples(st.sampled_from(ALL), st.just(0.0) | st.floats(0.001, 20_000)), max_size=6)
)
def test_a_row_is_its_portions_put_together(portions: list[tuple[Food, float]]) -> None:
    matrix = food_matrix(ALL)
    found = sums(masses_of([(0, 0, portions)], matrix.foods), matrix)
    same(found.totals(0), totals(portions))


def test_a_food_comes_once_into_the_matrix() -> None:
    beef = load().food("usda-23562")
    matrix = food_matrix([beef, beef])
    assert len(matrix.foods) == 1
    assert matrix.row == {"usda-23562": 0}


def test_a_households_own_foods_stand_below_those_of_the_tables() -> None:
    beef, own = load().food("usda-23562"), Food("own", "Own", "own", "dry", 350, "label", {})
    matrix = table_matrix().joined([beef, own])
    assert len(matrix.foods) == len(load().foods) + 1
    portions = [(beef, 200.0), (own, 50.0)]
    same(sums(masses_of([(0, 0, portions)], matrix.foods), matrix).totals(0), totals(portions))


@pytest.mark.parametrize("wrong", [-1.0, float("nan"), float("inf")])
def test_a_mass_that_is_none_is_refused(wrong: float) -> None:
    matrix = food_matrix([load().food("usda-23562")])
    with pytest.raises(InputError, match="zero or more"):
        sums(np.array([[wrong]]), matrix)


def test_columns_days_and_lengths_must_fit() -> None:
    matrix = food_matrix([load().food("usda-23562")])
    with pytest.raises(InputError, match="a column is needed"):
        sums(np.zeros((1, 2)), matrix)
    one = np.zeros(1, dtype=np.intp)
    with pytest.raises(InputError, match="outside 1 dogs and 1 days"):
        windows(matrix, np.zeros((1, 1)), dog=one, day=one + 1, shape=(1, 1))
    with pytest.raises(InputError, match="one day or more"):
        windows(matrix, np.zeros((1, 1)), dog=one, day=one, shape=(1, 1), lengths_days=(0,))
