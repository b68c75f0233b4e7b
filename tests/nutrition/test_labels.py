"""Labels, supplements and copies: conversions against published factors, and their bounds."""

import re

import pytest

from nutrition.copies import edited_copy
from nutrition.cut_parts import load_cut_parts
from nutrition.cuts import cut_with_bone
from nutrition.errors import InputError
from nutrition.forms import load_forms
from nutrition.label_lines import LabelLine, Serving, line_per_100g
from nutrition.labels import Label, food_from_label
from nutrition.loading import load
from nutrition.own_foods import OwnFood, composed, own_food_from
from nutrition.supplements import supplement

# Abridged standard atomic weights, IUPAC 2021: from memory.
WEIGHTS = {
    "H": 1.008, "C": 12.011, "N": 14.007, "O": 15.999, "Na": 22.990, "Mg": 24.305, "P": 30.974,
    "S": 32.06, "Cl": 35.45, "K": 39.098, "Ca": 40.078, "Mn": 54.938, "Fe": 55.845,
    "Cu": 63.546, "Zn": 65.38, "Se": 78.971, "I": 126.90,
}  # fmt: skip
ELEMENTS = {
    "calcium": "Ca", "phosphorus": "P", "magnesium": "Mg", "sodium": "Na", "potassium": "K",
    "chloride": "Cl", "iron": "Fe", "copper": "Cu", "zinc": "Zn", "manganese": "Mn",
    "selenium": "Se", "iodine": "I",
}  # fmt: skip


def atoms(formula: str) -> dict[str, int]:
    """Count the atoms of a formula such as CaHPO4.2H2O."""
    found: dict[str, int] = {}
    for part in formula.split("."):
        match = re.fullmatch(r"(\d*)(.+)", part)
        assert match
        text = match[2]
        while "(" in text:
            text = re.sub(r"\(([^()]*)\)(\d*)", lambda g: g[1] * int(g[2] or 1), text)
        for symbol, count in re.findall(r"([A-Z][a-z]?)(\d*)", text):
            found[symbol] = found.get(symbol, 0) + int(match[1] or 1) * int(count or 1)
    return found


def molar_mass(formula: str) -> float:
    return sum(WEIGHTS[symbol] * count for symbol, count in atoms(formula).items())


@pytest.mark.parametrize(
    "key", [key for key, form in load_forms().items() if form.nutrient in ELEMENTS]
)
def test_the_share_of_a_salt_follows_from_its_formula(key: str) -> None:
    form = load_forms()[key]
    element = ELEMENTS[form.nutrient]
    share = atoms(form.formula)[element] * WEIGHTS[element] / molar_mass(form.formula)
    assert form.share == pytest.approx(share, abs=1e-6)


def test_esters_hold_the_vitamin_by_their_molar_masses() -> None:
    forms = load_forms()
    retinol = molar_mass(forms["retinol"].formula)
    assert retinol == pytest.approx(286.45, abs=0.05)  # handbook figure, from memory
    for ester in ("retinyl_acetate", "retinyl_palmitate"):
        share = retinol / molar_mass(forms[ester].formula)
        assert forms[ester].share == pytest.approx(share, abs=1e-6)
    # USP: one IU is 0.3 µg of retinol, 0.344 of the acetate, 0.55 of the palmitate (from memory).
    assert 0.344 * forms["retinyl_acetate"].share == pytest.approx(0.3, rel=0.002)
    assert 0.55 * forms["retinyl_palmitate"].share == pytest.approx(0.3, rel=0.002)


def test_vitamin_e_agrees_with_the_published_factors() -> None:
    # Institute of Medicine 2000, p. 244: 30 IU of RRR-alpha-tocopherol are 20 mg, read;
    # the same factor for its acetate; 0.45 mg per IU for the synthetic one.
    for form, expected_mg in (
        ("d_alpha_tocopherol", 20.1),
        ("d_alpha_acetate", 20.1),
        ("dl_alpha_tocopherol", 13.5),
        ("dl_alpha_acetate", 13.5),
    ):
        line = LabelLine("vitamin_e", 30, "IU", "100g", form=form)
        assert line_per_100g(line)[0] == pytest.approx(expected_mg)
    # USP: 1 mg of d-alpha-tocopheryl acetate is 1.36 IU (from memory).
    acetate = load_forms()["d_alpha_acetate"]
    assert 1.36 * acetate.per_iu == pytest.approx(acetate.share, rel=0.001)  # type: ignore[operator]


def test_published_shares_of_salts() -> None:
    # Percent of the element by formula, as handbooks print them.
    printed = {
        "zinc_gluconate": 14.35,
        "zinc_sulfate": 36.43,
        "copper_gluconate": 14.00,
        "potassium_iodide": 76.45,
        "calcium_carbonate": 40.04,
        "calcium_citrate": 21.08,
        "dicalcium_phosphate_dihydrate_ca": 23.29,
        "dicalcium_phosphate_dihydrate_p": 18.00,
        "magnesium_oxide": 60.30,
        "sodium_chloride_na": 39.34,
        "sodium_selenite": 45.66,
        "choline_bitartrate": 41.1,
    }
    for key, pct in printed.items():
        assert 100 * load_forms()[key].share == pytest.approx(pct, abs=0.05), key


def test_a_guaranteed_minimum_is_the_least_and_a_maximum_the_most() -> None:
    label = Label(24, 12, fibre_pct=3, moisture_pct=10, ash_pct=7, means="guaranteed")
    food = food_from_label(label, key="own", name="Kibble", style="dry")
    assert (food.least("protein"), food.most("protein")) == (24, None)
    assert (food.least("water"), food.most("water")) == (None, 10)
    assert food.unknown_share("protein") == 1
    typical = Label(24, 12, fibre_pct=3, moisture_pct=10, ash_pct=7)
    assert food_from_label(typical, key="o", name="K", style="dry").values["carbohydrate"] == 44


def test_a_minimum_and_a_maximum_together_are_a_range() -> None:
    lines = (
        LabelLine("calcium", 1.2, "pct", "kg", bound="min"),
        LabelLine("calcium", 1.8, "pct", "kg", bound="max"),
    )
    food = food_from_label(Label(24, 12, lines=lines), key="own", name="Kibble", style="dry")
    assert (food.least("calcium"), food.values["calcium"], food.most("calcium")) == (
        1200, 1500, 1800,
    )  # fmt: skip


def test_a_supplement_bounds_what_it_does_not_list() -> None:
    line = LabelLine("zinc", 15, "mg", "serving", form="zinc_gluconate")
    food = supplement((line,), key="own", name="Zinc", serving=Serving("tablet", 0.5))
    assert food.values["zinc"] == pytest.approx(15 * 0.14348 / 0.5 * 100)
    assert food.least("vitamin_d") is None
    assert food.most("vitamin_d") == 0
    assert food.most("protein") == pytest.approx(100 - food.values["zinc"] / 1000)
    assert food.energy_kcal_per_100g == 0


def test_the_fatty_acids_of_an_oil_that_lists_its_fat_alone_are_unknown_and_not_none() -> None:
    fat = LabelLine("fat", 1, "g", "serving")
    oil = supplement((fat,), key="own", name="Oil", serving=Serving("capsule", 1))
    assert oil.least("linoleic") is None
    assert oil.most("linoleic") == pytest.approx(100)
    assert oil.most("lysine") == 0


def test_what_two_compounds_bring_of_one_nutrient_adds_up() -> None:
    oxide = LabelLine("zinc", 10, "mg", "serving")
    chelate = LabelLine("zinc", 15, "mg", "serving")
    food = supplement((oxide, chelate), key="own", name="Zinc", serving=Serving("tablet", 0.5))
    assert food.values["zinc"] == pytest.approx(5000)


def test_a_supplement_without_lines_is_refused() -> None:
    with pytest.raises(InputError, match="at least one line"):
        supplement((), key="own", name="Zinc", serving=Serving("tablet", 0.5))


def test_every_cut_with_bone_has_the_parts_it_was_mixed_from() -> None:
    cuts = {key for key in load().foods if key in load_cut_parts()}
    assert cuts
    for key in cuts:
        parts, cut = load_cut_parts()[key], load().food(key)
        if cut.bone_share is None:  # An egg has a shell, and no bone to be set.
            continue
        again = cut_with_bone(
            key=key,
            name=cut.name,
            boneless=parts.boneless,
            bone=parts.bone,
            bone_share=cut.bone_share,
        )
        assert again.values == pytest.approx(
            dict(cut.values), rel=1e-4
        )  # The table keeps five digits.


def test_a_copy_keeps_what_is_unknown_and_says_what_is_its_own() -> None:
    base = load().food("usda-23562")
    copy = edited_copy(base, key="own", name="Ours", own={"zinc": 5.1, "fat": 15, "water": 64})
    assert copy.values["zinc"] == 5.1
    assert set(copy.values) - {"zinc", "fat", "water"} == set(base.values) - {
        "zinc", "fat", "water",
    }  # fmt: skip
    change_g = 15 - base.values["fat"]
    assert copy.energy_kcal_per_100g == pytest.approx(base.energy_kcal_per_100g + 9 * change_g)


def test_an_own_share_of_bone_changes_the_calcium() -> None:
    base = load().food("cut-chicken-back")
    parts = load_cut_parts()["cut-chicken-back"]
    less = edited_copy(base, key="own", name="Ours", own={}, bone_share_pct=22, parts=parts)
    meat, bone = parts.boneless.values["calcium"], parts.bone.values["calcium"]
    assert less.values["calcium"] == pytest.approx(0.78 * meat + 0.22 * bone)
    assert less.bone_source == "your own figure"


def test_nothing_written_down_is_no_food_and_a_broken_record_is_refused() -> None:
    empty = OwnFood(key="own", name="Biscuit", style="treat")
    assert composed(empty, foods={}, cut_parts={}) is None
    with pytest.raises(InputError, match="cannot be read"):
        own_food_from({"name": "Biscuit", "lines": "many"}, key="own")
