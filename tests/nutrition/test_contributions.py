"""What is behind a figure: foods, grams and sources, and nothing lost on the way."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nutrition.composition import Food, totals
from nutrition.contributions import contributions
from nutrition.errors import InputError, UnknownKeyError
from nutrition.tables import load

NUTRIENTS = tuple(load().nutrients)
portions = st.lists(
    st.tuples(st.sampled_from(tuple(load().foods.values())), st.floats(0.1, 20_000)), max_size=6
)


def test_the_largest_share_comes_first_with_its_source() -> None:
    beef, liver = load().food("usda-23562"), load().food("usda-13325")
    found = contributions([(beef, 1000.0), (liver, 100.0)], "copper")
    assert [row.food for row in found.rows] == ["usda-13325", "usda-23562"]
    first = found.rows[0]
    least = liver.least("copper")
    assert least is not None
    assert first.least == pytest.approx(least)
    assert first.share == pytest.approx(least / (found.known or 0))
    assert first.source == "usda-sr28"
    assert "NDB 13325" in first.locator


def test_a_figure_names_the_table_that_gave_it() -> None:
    """Of a loan, a computed or a second table's figure the sheet must not name the first."""
    named = [(food, nutrient) for food in load().foods.values() for nutrient in food.provenance]
    food, nutrient = named[0]
    row = contributions([(food, 100.0)], nutrient).rows[0]
    said = food.provenance[nutrient]
    assert (row.source, row.locator, row.verified) == (said.source, said.locator, said.verified)


def test_a_food_without_a_figure_stands_last_and_has_no_share() -> None:
    known = Food("a", "A", "own", "raw", 100, "atwater", {"zinc": 2.0})
    light = Food("b", "B", "own", "raw", 100, "atwater", {})
    heavy = Food("c", "C", "own", "raw", 100, "atwater", {})
    found = contributions([(light, 10), (heavy, 500), (known, 1)], "zinc")
    assert [row.food for row in found.rows] == ["a", "c", "b"]
    assert [row.least for row in found.rows[1:]] == [None, None]
    assert [row.share for row in found.rows] == [1.0, None, None]


def test_a_range_is_told_with_both_ends() -> None:
    found = contributions([(load().food("cut-turkey-neck"), 100.0)], "calcium").rows[0]
    assert found.least is not None
    assert found.most is not None
    assert found.most > found.least


def test_what_nobody_holds_any_of_has_no_share_to_divide() -> None:
    none = Food("a", "A", "own", "raw", 100, "atwater", {"zinc": 0.0})
    assert contributions([(none, 100)], "zinc").rows[0].share == 0.0


@given(portions, st.sampled_from(NUTRIENTS))
def test_contributions_add_up_to_the_total(eaten: list[tuple[Food, float]], nutrient: str) -> None:
    found = contributions(eaten, nutrient)
    whole = totals(eaten)
    least = [row.least for row in found.rows if row.least is not None]
    assert found.known == whole.known[nutrient]
    assert sum(least) == pytest.approx(whole.known[nutrient] or 0.0, rel=1e-9)
    if whole.best[nutrient] is not None:
        most = sum(row.most or 0.0 for row in found.rows)
        assert most == pytest.approx(whole.best[nutrient], rel=1e-9)
    assert sum(row.mass_g for row in found.rows) == pytest.approx(whole.mass_g)
    shares = [row.share for row in found.rows if row.share is not None]
    if whole.known[nutrient]:
        assert sum(shares) == pytest.approx(1)


def test_a_nutrient_or_a_mass_that_is_none_is_refused() -> None:
    with pytest.raises(UnknownKeyError, match="no nutrient called 'sparkle'"):
        contributions([], "sparkle")
    with pytest.raises(InputError, match="zero or more"):
        contributions([(load().food("usda-23562"), -1.0)], "zinc")
