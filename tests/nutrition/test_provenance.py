"""Who says so: provenance, loans and ranges, worked out again from the data."""

import csv

import pytest

from nutrition.completeness import completeness, required_nutrients
from nutrition.export import as_json, food_json
from nutrition.food import Food
from nutrition.nutrients import PARTS
from nutrition.rows import DATA
from nutrition.tables import load


def rows(file: str) -> list[dict[str, str]]:
    with (DATA / file).open(encoding="utf-8", newline="") as handle:
        return list(csv.DictReader(handle))


def exported(key: str) -> dict[str, object]:
    return next(food for food in as_json()["foods"] if food["key"] == key)


def test_a_figure_of_another_table_names_it() -> None:
    egg = exported("usda-01123")
    assert (egg["source"], egg["locator"], egg["verified"]) == ("usda-sr28", "NDB 01123", "read")
    assert egg["from"] == {
        "iodine": ["usda-foundation", "Eggs, Grade A, Large, egg whole", "read"],
        "taurine": ["spitze-2003", "egg", "memory"],
    }


def test_a_figure_of_the_foods_own_record_is_not_named_again() -> None:
    assert "carbohydrate" not in load().food("usda-01123").provenance
    assert "from" not in exported("salt-zinc-gluconate")


def test_a_bound_of_another_table_names_it() -> None:
    liver = load().food("usda-13325")
    assert liver.range_provenance["vitamin_a"].locator == "NDB 23425, nutrient 319"
    assert exported("usda-13325")["range_from"]


def test_every_value_and_bound_has_a_source_that_is_known() -> None:
    sources = load().sources
    for food in load().foods.values():
        assert food.source in sources, food.key
        assert food.locator, food.key
        assert food.verified in ("read", "memory", "computed"), food.key
        for origin in (*food.provenance.values(), *food.range_provenance.values()):
            assert origin.source in sources, food.key
            assert origin.locator, food.key


def test_figures_from_memory_stay_marked() -> None:
    for key in ("prey-rabbit", "prey-quail", "prey-chick", "prey-chicken"):
        food = load().food(key)
        assert (food.source, food.verified) == ("dierenfeld-2002", "memory")
    taurine = [
        food.provenance["taurine"] for food in load().foods.values() if "taurine" in food.low
    ]
    assert {origin.verified for origin in taurine if origin.source == "spitze-2003"} == {"memory"}


def test_bone_names_its_own_source_in_a_cut() -> None:
    neck = load().food("cut-chicken-neck")
    assert neck.provenance["calcium"].source == "dierenfeld-2002"
    assert "protein" not in neck.provenance


def test_completeness_is_the_share_of_what_standards_ask() -> None:
    asked = required_nutrients(load().standards)
    assert {"zinc", "iodine", "choline", "epa_dha"} <= set(asked)
    for food in as_json()["foods"]:
        known = sum(key in food["v"] for key in asked)
        assert food["completeness"] == round(known / len(asked), 2)
    egg, marrow = exported("usda-01123"), exported("usda-35021")
    assert float(str(egg["completeness"])) > 0.95
    assert float(str(marrow["completeness"])) < 0.4


def test_nothing_asked_is_all_answered() -> None:
    assert completeness(Food("a", "A", "own", "raw", 1.0, "label", {}), ()) == 1


def test_an_own_food_says_nothing_it_does_not_know() -> None:
    shown = food_json(Food("a", "A", "own", "raw", 1.0, "label", {}))
    assert not {"from", "range_from", "verified", "completeness", "also"} & set(shown)


SETS = {"amino acids": PARTS["protein"], "fatty acids": PARTS["fat"]}
DONATED = rows("donors/trencher-1.csv")


@pytest.mark.parametrize("row", DONATED, ids=[f"{r['food']} {r['key']}" for r in DONATED])
def test_a_loan_is_the_donors_figure_by_protein_or_fat(row: dict[str, str]) -> None:
    taker, donor = load().food(row["food"]), load().food(row["donor"])
    ratio = taker.values[row["by"]] / donor.values[row["by"]]
    error = float(row["error"])
    lent = [
        key
        for key in SETS.get(row["key"], (row["key"],))
        if key in taker.provenance and taker.provenance[key].locator.startswith(donor.locator)
    ]
    assert lent
    for key in lent:
        value = donor.values[key] * ratio
        assert taker.values[key] == pytest.approx(value, rel=1e-3)
        assert taker.low[key] == pytest.approx(value * (1 - error), rel=1e-3)
        assert taker.high[key] == pytest.approx(value * (1 + error), rel=1e-3)
        assert taker.provenance[key].verified == "computed"


@pytest.mark.parametrize(
    ("food", "nutrient", "expected"),
    [
        # Worked by hand: the simmered organ's choline times the ratio of protein.
        ("usda-13321", "choline", 228.8 * 17.72 / 28.48),
        ("usda-13323", "choline", 513.2 * 17.40 / 27.27),
        ("usda-13318", "choline", 490.9 * 10.86 / 11.67),
        ("usda-13339", "choline", 155 * 14.90 / 19.29),
        # 1.5 times the sodium printed for raw venison, 51 mg.
        ("usda-17164", "chloride", 76.5),
    ],
)
def test_loans_worked_by_hand(food: str, nutrient: str, expected: float) -> None:
    assert load().food(food).values[nutrient] == pytest.approx(expected, rel=1e-3)


def test_a_printed_figure_is_never_replaced_by_a_usual_one() -> None:
    chicken = load().food("usda-05027")
    assert chicken.values["chloride"] == 130  # Ciqual 40111, read; 1.5 x sodium would be 107.
    cooked = load().food("usda-13326")
    assert "chloride" not in cooked.values  # The ratio was found in raw foods only.


RANGES = [row for row in rows("foods/ranges-1.csv") if row["verified"] == "read"]


def test_a_bound_is_a_real_spread_that_matters() -> None:
    """Over 25 % off, over 1 % of an adult's allowance, and at most sixfold (selenium excepted)."""
    allowances = load().standards["nrc-2006"][""]["adult"]
    sizes = {"vitamin_k": 1000}
    for row in RANGES:
        key, bound = row["key"], float(row["value"])
        value = load().food(row["food"]).values[key] * sizes.get(key, 1)
        limits = allowances["epa_dha" if key in ("epa", "dha") else key]
        allowance = (limits.recommended or limits.minimum or 0) * sizes.get(key, 1)
        place = (row["food"], key, value, bound)
        assert abs(bound - value) > 0.25 * value, place
        assert abs(bound - value) > 0.01 * allowance, place
        if value and key != "selenium":
            assert 1 / 6 <= bound / value <= 6, place


SAME = [
    ("usda-13325", "usda-23425"),
    ("usda-13321", "usda-23415"),
    ("usda-13323", "usda-23423"),
    ("usda-17199", "usda-17369"),
]
VARYING = ("copper", "iron", "zinc", "selenium", "vitamin_a", "vitamin_b12", "folate", "vitamin_e")


@pytest.mark.parametrize(("one", "other"), [*SAME, *[(b, a) for a, b in SAME]])
def test_organs_of_two_countries_bound_each_other(one: str, other: str) -> None:
    allowances = load().standards["nrc-2006"][""]["adult"]
    food, second = load().food(one), load().food(other)
    for key in VARYING:
        if key not in food.values or key not in second.values:
            continue
        ours, theirs = food.values[key], second.values[key]
        limit = allowances[key].recommended or 0
        far = abs(theirs - ours) > max(0.25 * ours, 0.01 * limit)
        if far and 1 / 6 <= theirs / (ours or theirs) <= 6 and not _imputed(other, key):
            assert food.low.get(key, ours) <= theirs <= food.high.get(key, ours), key


def _imputed(food: str, key: str) -> bool:
    """Whether the source itself worked the figure out from another food."""
    return any(
        row["food"] == food and row["key"] == key and row["note"] != ""
        for row in rows("foods/usda-sr28-organs.csv")
    )


@pytest.mark.parametrize(
    ("food", "nutrient", "lowest", "highest"),
    [
        # Foods whose spread is known to be large, each with its source in the data.
        ("usda-13325", "vitamin_a", 4948, 28318),
        ("usda-13325", "copper", 5.3, 9.755),
        ("usda-12078", "selenium", 3, 25300),
        ("usda-01123", "iodine", 21, 49.1),
        ("ciqual-20990", "iodine", 24100, 492100),
        ("ciqual-20998", "iodine", 25400, 103800),
        ("usda-04589", "vitamin_a", 5000, 30000),
        ("trencher-eggshell", "calcium", 36000, 40040),
    ],
)
def test_known_spreads_are_data(food: str, nutrient: str, lowest: float, highest: float) -> None:
    found = load().food(food)
    assert found.least(nutrient) == pytest.approx(lowest, rel=0.001)
    assert found.most(nutrient) == pytest.approx(highest, rel=0.001)
