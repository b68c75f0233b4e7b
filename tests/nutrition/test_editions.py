"""Each edition against its own other columns, and against the editions it was made from."""

import csv
from dataclasses import replace
from pathlib import Path

import pytest

from nutrition.companions import for_diet, with_companions
from nutrition.composition import totals
from nutrition.errors import InputError, UnknownKeyError
from nutrition.loading import load
from nutrition.nutrients import load_nutrients
from nutrition.standard_tables import STAGES
from nutrition.standards import targets
from nutrition.units import factor

# AAFCO Dog Food Nutrient Profiles, dry-matter column (read in a public transcription of 2014), for
# food of 4000 kcal ME per kg of dry matter.
DRY_MATTER = Path(__file__).with_name("aafco-2016-dry-matter.csv")
KCAL_PER_KG = 4000
# The source rounds these away from its own rule: sodium 0.75 to 0.80, chloride 1.125 to 1.10 and
# the omega-3 fats to one digit; 2016 prints adult selenium as 0.08 though 0.35/4 is 0.0875.
ROUNDED_FAR = {"sodium": 0.07, "chloride": 0.03, "epa_dha": 0.21, "selenium": 0.09}


def dry_matter_rows() -> list[dict[str, str]]:
    with DRY_MATTER.open(encoding="utf-8", newline="") as handle:
        return list(csv.DictReader(handle))


def per_1000_kcal(row: dict[str, str], column: str) -> float | None:
    """The figure of a dry-matter column, in our unit per 1000 kcal."""
    if not row[column]:
        return None
    unit = "g/kg" if row["unit"] == "%" else row["unit"]
    amount = float(row[column]) * (10 if row["unit"] == "%" else 1)
    ours = load_nutrients()[row["key"]].unit
    size = factor(unit.removesuffix("/kg"), ours, nutrient=row["key"])
    return amount * size * 1000 / KCAL_PER_KG


def test_the_dry_matter_column_has_every_nutrient_of_the_profiles() -> None:
    assert {row["key"] for row in dry_matter_rows()} == set(
        targets("aafco-2016", "growth_early").limits
    )


@pytest.mark.parametrize("row", dry_matter_rows(), ids=lambda row: row["key"])
def test_profiles_per_1000_kcal_are_the_dry_matter_profiles(row: dict[str, str]) -> None:
    close = ROUNDED_FAR.get(row["key"], 0.025)
    for stage in STAGES:
        column = "adult" if stage == "adult" else "growth_and_reproduction"
        limits = targets("aafco-2016", stage, adult_mass_kg=20).limits.get(row["key"])
        expected = per_1000_kcal(row, column)
        if expected is None:
            assert limits is None
            continue
        assert limits is not None
        assert limits.recommended == pytest.approx(expected, rel=close)
        highest = per_1000_kcal(row, "highest")
        assert (limits.maximum is None) == (highest is None)
        if highest is not None:
            assert limits.maximum == pytest.approx(highest, rel=1e-9)


def test_large_size_growth_has_its_own_calcium_ceiling() -> None:
    """AAFCO: 4.5 g per 1000 kcal from 70 lb (31.8 kg) of adult weight on, 6.25 g below."""
    for stage in ("growth_early", "growth_late"):
        ceilings = [
            targets("aafco-2016", stage, adult_mass_kg=kg).limits["calcium"].maximum
            for kg in (20, 31.8, None)
        ]
        assert ceilings == [6250, 4500, 4500]


def test_late_growth_of_small_breeds_needs_less_calcium() -> None:
    """FEDIAF, footnotes a and b: 2.0 g up to 15 kg adult weight, or from about six months."""
    small = targets("fediaf-2021", "growth_late", adult_mass_kg=12)
    large = targets("fediaf-2021", "growth_late", adult_mass_kg=30, age_days=120)
    older = targets("fediaf-2021", "growth_late", adult_mass_kg=30, age_days=190)
    unknown = targets("fediaf-2021", "growth_late")
    found = [each.limits["calcium"].recommended for each in (small, large, older, unknown)]
    assert found == [2000, 2500, 2000, 2500]
    assert [each.ratio.maximum for each in (small, large, older, unknown)] == [1.8, 1.6, 1.8, 1.6]
    assert small.limits["calcium"].maximum == 4500
    assert small.limits["protein"] == large.limits["protein"]


# Printed alike in both columns whatever the dog eats.
SAME_AT_95 = {"fat"}
# Printed with two digits: 0.43 for 0.44, 0.20 for 0.208.
COARSE = {"chloride": 0.03, "magnesium": 0.05}


def test_the_column_for_95_is_the_one_for_110_times_their_ratio() -> None:
    """FEDIAF 2021, adult: the column at 95 kcal per kg^0.75 is that at 110, times 110/95."""
    at_95 = targets("fediaf-2021", "adult", variant="mer_95").limits
    for key, limits in targets("fediaf-2021", "adult").limits.items():
        assert limits.recommended is not None
        expected = limits.recommended * (1 if key in SAME_AT_95 else 110 / 95)
        assert at_95[key].recommended == pytest.approx(expected, rel=COARSE.get(key, 0.02)), key


def test_selenium_of_dry_diets_stands_apart() -> None:
    found = [
        targets("fediaf-2021", "adult", variant=variant).limits["selenium"].recommended
        for variant in ("", "mer_95", "dry_diet", "mer_95_dry_diet")
    ]
    assert found == [57.5, 67.5, 45, 55]


@pytest.mark.parametrize(
    ("nutrient", "per_100_g", "unit_factor"),
    [
        # FEDIAF 2021, legal maxima per 100 g of dry matter, and the limits of complete feed of
        # 12 % moisture they stand for: Cu 25, I 10, Fe 600, Mn 150, Se 0.5, Zn 200 mg/kg and
        # vitamin D 2000 IU/kg, over 0.88.
        ("copper", 25 / 0.88 / 10, 1),
        ("iodine", 10 / 0.88 / 10, 1000),
        ("iron", 600 / 0.88 / 10, 1),
        ("manganese", 150 / 0.88 / 10, 1),
        ("selenium", 0.5 / 0.88 / 10, 1000),
        ("zinc", 200 / 0.88 / 10, 1),
        ("vitamin_d", 2000 / 0.88 / 10, 0.025),
    ],
)
def test_legal_maxima_are_those_of_complete_feed(
    nutrient: str, per_100_g: float, unit_factor: float
) -> None:
    for stage in STAGES:
        row = targets("fediaf-2021", stage).limits[nutrient]
        assert row.legal_maximum == pytest.approx(per_100_g * 2.5 * unit_factor, rel=0.04)
        kind = "nutritional maximum" if nutrient == "vitamin_d" else "legal maximum"
        assert row.maximum_kind == kind


def test_the_vitamin_a_ceiling_is_the_one_of_the_substantiation_text() -> None:
    """FEDIAF substantiation: 40 000 IU per 100 g of dry matter is safe, 100 000 per 1000 kcal."""
    for stage in STAGES:
        row = targets("fediaf-2021", stage).limits["vitamin_a"]
        assert row.maximum == pytest.approx(40000 * 2.5 * 0.3)


def test_protein_of_lactation_is_the_figure_another_body_quotes() -> None:
    """AAFCO 2014 revisions, p. 8: NRC asks 22.0 % of dry matter, which is 55 g per 1000 kcal."""
    row = targets("nrc-2006", "reproduction").limits["protein"]
    assert (row.minimum, row.recommended) == (50, 55)
    assert row.recommended == pytest.approx(22.0 * 10 / 4)


@pytest.mark.parametrize(
    "nutrient", ["histidine", "isoleucine", "lysine", "phenylalanine", "threonine"]
)
def test_lactation_asks_more_of_five_amino_acids_than_growth(nutrient: str) -> None:
    """AAFCO 2014 revisions, p. 8, names these five."""
    lactation = targets("nrc-2006", "reproduction").limits[nutrient].recommended
    growth = targets("nrc-2006", "growth_early").limits[nutrient].recommended
    assert lactation is not None
    assert growth is not None
    assert lactation > growth


def test_allowances_of_lactation_per_size_are_those_per_energy() -> None:
    """NRC 2006 table 15-8 footnote: 22 kg, eight pups, 5000 kcal: 492 kcal per kg^0.75."""
    basis = 5000 / 22**0.75
    assert basis == pytest.approx(492, rel=0.001)
    for limits in targets("nrc-2006", "reproduction").limits.values():
        assert limits.recommended is not None
        assert limits.recommended_per_kg075 == pytest.approx(limits.recommended * 0.492, rel=1e-3)


# FEDIAF table VII-13 (read): arginine in g per 100 g of dry matter by protein in percent.
ARGININE: dict[str, dict[float, float]] = {
    "adult": {18: 0.52, 20: 0.54, 22.5: 0.57, 25: 0.59, 30: 0.64, 40: 0.74, 50: 0.84},
    "growth_early": {25: 0.82, 30: 0.87, 35: 0.92, 40: 0.97, 45: 1.02},
    "reproduction": {25: 0.82, 30: 0.87, 35: 0.92, 40: 0.97, 45: 1.02},
}


@pytest.mark.parametrize("stage", ARGININE)
def test_arginine_rises_with_protein_as_the_table_prints(stage: str) -> None:
    for percent, printed in ARGININE[stage].items():
        found = with_companions(targets("fediaf-2021", stage), protein_g=percent * 2.5)
        assert found.limits["arginine"].recommended == pytest.approx(printed * 2.5, rel=0.015)


def test_arginine_of_late_growth_starts_higher_than_the_table_prints() -> None:
    """The main table's 1.84 g at 50 g of protein is above table VII-13 (0.69 %, 1.73 g).

    The higher one is used: it is the more careful.
    """
    found = with_companions(targets("fediaf-2021", "growth_late"), protein_g=50)
    assert found.limits["arginine"].recommended == 1.84
    assert found.limits["arginine"].recommended > 0.69 * 2.5


def test_vitamin_e_rises_with_polyunsaturated_fat() -> None:
    """AAFCO: 50 IU per kg cover 83 g, each further gram asks 0.6 IU (read)."""
    table = targets("aafco-2016", "adult")
    covered = with_companions(table, polyunsaturated_g=83 / 4).limits["vitamin_e"].recommended
    more = with_companions(table, polyunsaturated_g=83 / 4 + 10).limits["vitamin_e"].recommended
    assert covered == table.limits["vitamin_e"].recommended
    assert more == pytest.approx((12.5 + 10 * 0.6) / 1.49, rel=0.005)


def test_a_diet_is_judged_by_what_its_known_protein_asks() -> None:
    spleen = totals([(load().foods["usda-13333"], 100)])
    table = targets("fediaf-2021", "adult")
    protein_g = 1000 * 18.3 / spleen.energy_kcal
    assert for_diet(table, spleen) == with_companions(table, protein_g=protein_g)
    assert for_diet(table, totals([])) == table


def test_food_whose_energy_cannot_be_right_keeps_the_table() -> None:
    mistyped = replace(load().foods["usda-13333"], energy_kcal_per_100g=10)
    table = targets("fediaf-2021", "adult")
    assert for_diet(table, totals([(mistyped, 100)])) == table


def test_other_editions_have_no_such_rules() -> None:
    table = targets("nrc-2006", "adult")
    assert with_companions(table, protein_g=150, polyunsaturated_g=50) == table
    with pytest.raises(InputError, match="protein_g is -1"):
        with_companions(table, protein_g=-1)


def test_an_unknown_variant_is_refused() -> None:
    with pytest.raises(UnknownKeyError, match="no variant called 'mer_80'"):
        targets("fediaf-2021", "adult", variant="mer_80")
