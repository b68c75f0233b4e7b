"""The staged solver against an outside optimum, against trying everything, and its properties."""

import csv
from itertools import product
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.sparse import csr_array

from nutrition.proposal_stages import Programme, ProgrammeError, Stage, solve_staged

# Nutritive values of 77 foods per dollar spent, August 1939: Stigler 1945, "The Cost of
# Subsistence", Journal of Farm Economics 27:303, table A, as reprinted with the OR-Tools
# documentation ("The Stigler diet problem"). Daily allowances: National Research Council 1943.
STIGLER = Path(__file__).with_name("stigler-1945.csv")
ALLOWANCES = (3, 70, 0.8, 12, 5, 1.8, 2.7, 18, 75)
DAYS_PER_YEAR = 365


def _bounded(rows: object, low: object, high: object, *, most: object, whole: object) -> Programme:
    matrix = csr_array(np.asarray(rows, dtype=float))
    return Programme(
        matrix,
        np.asarray(low, dtype=float),
        np.asarray(high, dtype=float),
        np.zeros(matrix.shape[1]),
        np.asarray(most, dtype=float),
        np.asarray(whole, dtype=bool),
    )


def test_the_classical_minimum_cost_diet_costs_39_dollars_66() -> None:
    """Stigler found 39.93 dollars a year by hand; the least of the programme is 39.66."""
    with STIGLER.open(encoding="utf-8") as file:
        foods = list(csv.reader(file))[1:]
    per_dollar = np.array([[float(amount) for amount in food[1:]] for food in foods]).T
    assert per_dollar.shape == (9, 77)
    programme = _bounded(
        per_dollar, ALLOWANCES, [np.inf] * 9, most=[np.inf] * 77, whole=[False] * 77
    )
    found = solve_staged(programme, [Stage("dollars", np.ones(77))])
    assert round(found.least[0] * DAYS_PER_YEAR, 2) == 39.66
    bought = {foods[index][0] for index in np.flatnonzero(found.values > 1e-9)}
    assert bought == {
        "Wheat flour, enriched",
        "Liver, beef",
        "Cabbage",
        "Spinach",
        "Navy beans, dried",
    }


def test_what_cannot_be_fulfilled_says_so() -> None:
    programme = _bounded([[1.0]], [2], [np.inf], most=[1], whole=[False])
    with pytest.raises(ProgrammeError, match="has no solution"):
        solve_staged(programme, [Stage("any", np.ones(1))])


SMALL = st.integers(min_value=-3, max_value=4)


@st.composite
def _cases(draw: st.DrawFn) -> tuple[Programme, list[Stage], list[list[int]]]:
    count = draw(st.integers(2, 4))
    rows = draw(st.lists(st.lists(SMALL, min_size=count, max_size=count), min_size=1, max_size=3))
    high = [draw(st.integers(0, 8)) for _ in rows]
    aims = draw(st.lists(st.lists(SMALL, min_size=count, max_size=count), min_size=1, max_size=3))
    programme = _bounded(rows, [-np.inf] * len(rows), high, most=[3] * count, whole=[True] * count)
    stages = [
        Stage(str(index), np.array(aim, dtype=float), needs_whole=True)
        for index, aim in enumerate(aims)
    ]
    return programme, stages, rows


@settings(max_examples=40, deadline=None)
@given(_cases())
def test_whole_numbers_are_as_good_as_trying_every_one(
    case: tuple[Programme, list[Stage], list[list[int]]],
) -> None:
    programme, stages, rows = case
    tried = [
        point
        for point in product(range(4), repeat=len(programme.low))
        if all(
            sum(a * x for a, x in zip(row, point, strict=True)) <= high
            for row, high in zip(rows, programme.rows_high, strict=True)
        )
    ]
    best = min(tuple(stage.objective @ np.array(point) for stage in stages) for point in tried)
    assert solve_staged(programme, stages).least == pytest.approx(best, abs=1e-6)


@settings(max_examples=20, deadline=None)
@given(st.integers(3, 50), st.integers(0, 3))
def test_a_slack_gives_the_next_aim_just_so_much_room(need: int, slack: int) -> None:
    programme = _bounded([[1, 1]], [need], [np.inf], most=[100, 100], whole=[False, False])
    stages = [
        Stage("first", np.array([1.0, 2.0]), slack=float(slack)),
        Stage("second", np.array([1.0, -1.0])),
    ]
    found = solve_staged(programme, stages)
    # A unit moved from the first to the second variable costs one more of the first aim.
    assert found.least == pytest.approx((need, need - 2 * slack), abs=1e-5)
