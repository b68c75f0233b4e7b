"""The household's own foods through the API: what may be written down, and what it comes to."""

from typing import Any

import pytest

from household.stores.queries import foods_by_key
from tests.household.conftest import Phone

pytestmark = pytest.mark.django_db

LABEL = {"protein_pct": 24, "fat_pct": 12, "fibre_pct": 3, "moisture_pct": 10}
ZINC = {"nutrient": "zinc", "amount": 15, "unit": "mg", "per": "serving"}
TABLET = {"unit": "tablet", "mass_g": 0.5}
IU = {"nutrient": "vitamin_d", "amount": 400, "unit": "IU", "per": "serving"}

REFUSED: list[tuple[str, dict[str, Any], str, str]] = [
    ("contents over 100 %", {"label": {**LABEL, "protein_pct": 80}}, "label",
     "Label adds up to 105 (protein 80 %, fat 12 %, fibre 3 %, moisture 10 %); at most 100.5 "
     "is possible. Check each figure."),
    ("contents of dry matter over 100 %",
     {"label": {**LABEL, "protein_pct": 90, "basis": "dry_matter"}}, "label",
     "Label adds up to 105 (protein 90 %, fat 12 %, fibre 3 %)"),
    ("a negative content", {"label": {**LABEL, "fat_pct": -1}}, "label.fat_pct",
     "Fat -1 % is outside the allowed 0 to 100 %."),
    ("an impossible energy", {"energy_kcal_per_100g": 3600}, "energy_kcal_per_100g",
     "Energy 3600 kcal/100 g is outside the allowed 10 to 950 kcal/100 g."),
    ("an IU without its form", {"lines": [IU], "serving": TABLET}, "lines",
     "needs form too"),
    ("amounts per serving without the mass of one", {"lines": [ZINC]}, "lines",
     "needs the household measure; none was given."),
    ("a serving without mass", {"lines": [ZINC], "serving": {"unit": "tablet"}}, "serving.mass_g",
     "Household measure lacks mass of one; it is needed."),
    ("an unknown unit", {"lines": [{**ZINC, "unit": "stone"}], "serving": TABLET},
     "lines.0.unit", "Unit “stone” is not known."),
    ("more bone than cut", {"copied_from": "cut-chicken-back", "bone_share_pct": 120},
     "bone_share_pct", "outside the allowed 0 to 100 %"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("values", "field", "message"),
    [case[1:] for case in REFUSED],
    ids=[case[0] for case in REFUSED],
)
def test_an_impossible_food_is_refused_with_what_to_do(
    ines: Phone, values: dict[str, Any], field: str, message: str
) -> None:
    (result,) = ines.results(ines.op("food", {"name": "Kibble", "style": "dry", **values}))
    assert result["status"] == "rejected"
    assert message in " ".join(result["fields"][field])


def test_the_server_works_out_the_food_that_the_phone_shows(ines: Phone) -> None:
    lines = [{"nutrient": "calcium", "amount": 1.2, "unit": "pct", "per": "kg", "bound": "min"}]
    label = {**LABEL, "means": "guaranteed"}
    made = ines.make("food", {"name": "Kibble", "style": "dry", "label": label, "lines": lines})
    food = foods_by_key(ines.member.household_id)[made["rid"]]
    assert food.energy_method == "four_step"
    assert (food.least("calcium"), food.most("calcium")) == (1200, None)
    assert food.least("protein") == 24


def test_a_supplement_is_fed_as_grams(ines: Phone) -> None:
    made = ines.make("food", {"name": "Zinc", "lines": [ZINC], "serving": TABLET})
    food = foods_by_key(ines.member.household_id)[made["rid"]]
    assert food.values["zinc"] == pytest.approx(3000)  # 15 mg in 0.5 g


def test_a_copy_follows_the_table_but_for_its_own_figures(ines: Phone) -> None:
    values = {"name": "Backs", "copied_from": "cut-chicken-back", "bone_share_pct": 30}
    made = ines.make("food", {**values, "nutrients_per_100g": {"calcium": 700}})
    foods = foods_by_key(ines.member.household_id)
    copy, base = foods[made["rid"]], foods["cut-chicken-back"]
    assert copy.values["calcium"] == 700
    assert copy.bone_share == pytest.approx(0.3)
    assert copy.values["protein"] != base.values["protein"]


def test_a_serving_may_be_added_to_a_food_that_has_its_lines_already(ines: Phone) -> None:
    made = ines.make("food", {"name": "Zinc", "lines": [ZINC], "serving": TABLET})
    seen = {register: [made["op_id"]] for register in made["set"]}
    changed = {"lines": [{**ZINC, "amount": 25}]}
    (result,) = ines.results(ines.op("food", changed, rid=made["rid"], new=False, seen=seen))
    assert result["status"] == "applied"
    assert foods_by_key(ines.member.household_id)[made["rid"]].values["zinc"] == pytest.approx(5000)
