"""One dog's own limits against the editions' other columns, which the tables do not use."""

import pytest

from nutrition.energy_equations import metabolic_mass_kg075
from nutrition.errors import InputError
from nutrition.standards import Targets, for_dog, targets

# FEDIAF 2021, dogs, adult at 95 kcal per kg^0.75, per 1000 kcal (from memory; unit as its row).
AT_95 = {
    "protein": 52.10,
    "arginine": 1.51,
    "histidine": 0.67,
    "isoleucine": 1.33,
    "leucine": 2.37,
    "lysine": 1.22,
    "methionine": 1.16,
    "methionine_cystine": 2.21,
    "phenylalanine": 1.56,
    "phenylalanine_tyrosine": 2.58,
    "threonine": 1.51,
    "tryptophan": 0.49,
    "valine": 1.71,
    "fat": 13.75,
    "linoleic": 3.82,
    "calcium": 1450,
    "phosphorus": 1160,
    "potassium": 1450,
    "sodium": 290,
    "copper": 2.08,
    "iron": 10.40,
    "zinc": 20.80,
    "vitamin_a": 1754 * 0.3,
    "vitamin_d": 159 * 0.025,
    "thiamin": 0.62,
    "riboflavin": 1.74,
    "vitamin_b12": 9.68,
    "folate": 74.7,
    "choline": 474,
}


def own(edition: str, stage: str, kcal_per_kg075: float, share: float | None = None) -> Targets:
    return for_dog(
        targets(edition, stage),
        energy_kcal=10 * kcal_per_kg075,
        metabolic_mass_kg075=10,
        grown_share=share,
    )


@pytest.mark.parametrize("nutrient", AT_95)
def test_a_dog_at_95_gets_the_column_that_fediaf_prints_for_it(nutrient: str) -> None:
    found = own("fediaf-2021", "adult", 95).limits[nutrient].recommended
    assert found == pytest.approx(AT_95[nutrient], rel=0.02)


def test_a_dog_at_the_tables_intake_keeps_the_table() -> None:
    for edition, intake in (("nrc-2006", 130), ("fediaf-2021", 110)):
        found = own(edition, "adult", intake)
        assert found.correction == "eats enough"
        for nutrient, limits in targets(edition, "adult").limits.items():
            assert found.limits[nutrient].recommended == limits.recommended


@pytest.mark.parametrize("kcal_per_kg075", [60, 95, 110, 129])
def test_a_dog_that_eats_little_gets_the_amount_per_size(kcal_per_kg075: float) -> None:
    """NRC 2006 table 15-5 prints per kg^0.75 what is per 1000 kcal times 0.13, within 5 %.

    EPA and DHA (0.03 printed, 0.014 by the rule) and potassium (0.14, 0.131) are printed apart.
    """
    for nutrient, limits in own("nrc-2006", "adult", kcal_per_kg075).limits.items():
        if nutrient not in ("epa_dha", "potassium") and limits.recommended_per_kg075 is not None:
            assert limits.recommended is not None
            eaten_per_kg075 = limits.recommended * kcal_per_kg075 / 1000
            assert eaten_per_kg075 == pytest.approx(limits.recommended_per_kg075, rel=0.06)


def test_a_dog_that_eats_more_is_never_held_to_less() -> None:
    table, found = targets("nrc-2006", "adult"), own("nrc-2006", "adult", 200)
    assert (found.factor, found.correction) == (1.0, "eats enough")
    assert found.limits["protein"].recommended == table.limits["protein"].recommended


def test_a_ceiling_is_never_raised_and_holds_by_size_too() -> None:
    """NRC 2006: vitamin A 16 000 RE per 1000 kcal and 2099 per kg^0.75 (from memory)."""
    assert own("nrc-2006", "adult", 60).limits["vitamin_a"].maximum == 16000
    working = own("nrc-2006", "adult", 200).limits["vitamin_a"].maximum
    assert working == pytest.approx(2099 / 0.2)


def test_a_minimum_stops_at_its_ceiling() -> None:
    """NRC 2006, growth: calcium allowance 3.0 and upper limit 4.5 g per 1000 kcal."""
    found = own("nrc-2006", "growth_late", 40, share=0.5).limits["calcium"]
    assert (found.recommended, found.maximum) == (4500, 4500)


def test_what_is_corrected_is_never_marked_as_read() -> None:
    for limits in own("nrc-2006", "adult", 60).limits.values():
        assert limits.verified in ("computed", "memory")
    assert own("aafco-2016", "adult", 60).limits["calcium"].verified == "read"


def test_an_edition_that_corrects_nothing_stays_as_printed() -> None:
    """AAFCO corrects rich foods only (from memory); FEDIAF prints one column for growth."""
    for edition, stage in (("aafco-2016", "adult"), ("fediaf-2021", "growth_late")):
        found = own(edition, stage, 50, share=0.5)
        assert (found.factor, found.correction) == (1.0, "not published")
        assert found.limits == targets(edition, stage).limits
        assert found.assumed_kcal_per_kg075 is None
        assert found.own_kcal_per_kg075 == 50


def test_the_puppy_of_the_footnote_keeps_the_table() -> None:
    """NRC 2006 table 15-3 footnote: a 5.5-kg puppy of 35 kg eats 1000 kcal (from memory)."""
    size = metabolic_mass_kg075(5.5)
    found = for_dog(
        targets("nrc-2006", "growth_early"),
        energy_kcal=1000,
        metabolic_mass_kg075=size,
        grown_share=5.5 / 35,
    )
    assert found.assumed_kcal_per_kg075 == pytest.approx(278)
    assert found.factor == 1.0


def test_an_older_puppy_is_not_held_to_a_small_puppys_density() -> None:
    """Growth slows: at 84 % of adult weight the growth equation falls by half."""
    found = own("nrc-2006", "growth_late", 140, share=0.84)
    assert found.assumed_kcal_per_kg075 is not None
    assert 130 < found.assumed_kcal_per_kg075 < 140
    assert found.factor == 1.0


def test_a_puppy_without_an_adult_weight_is_not_corrected() -> None:
    assert own("nrc-2006", "growth_late", 100).correction == "not published"


def test_figures_out_of_range_are_refused() -> None:
    table = targets("nrc-2006", "adult")
    with pytest.raises(InputError, match="energy_kcal is 0"):
        for_dog(table, energy_kcal=0, metabolic_mass_kg075=9)
    with pytest.raises(InputError, match="metabolic_mass_kg075 is 0"):
        for_dog(table, energy_kcal=900, metabolic_mass_kg075=0)
    with pytest.raises(InputError, match="grown_share is 0"):
        for_dog(table, energy_kcal=900, metabolic_mass_kg075=9, grown_share=0)
