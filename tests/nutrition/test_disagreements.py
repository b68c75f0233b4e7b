"""Where the sources disagree, both figures are carried, each under its own name."""

import pytest

from nutrition.energy_equations import resting_kcal
from nutrition.energy_methods import DogFacts, Method, energy_methods
from nutrition.food_energy import atwater_kcal_per_100g, modified_atwater_kcal_per_100g
from nutrition.standards import targets
from nutrition.weight_plan import ideal_masses, weight_plan


def recommended(edition: str, stage: str, nutrient: str, variant: str = "") -> float | None:
    return targets(edition, stage, variant=variant).limits[nutrient].recommended


def highest(edition: str, stage: str, nutrient: str) -> float | None:
    return targets(edition, stage).limits[nutrient].maximum


def methods(**facts: object) -> dict[str, Method]:
    return {each.key: each for each in energy_methods(DogFacts(**facts))}  # type: ignore[arg-type]  # Words of a test.


def test_adult_calcium() -> None:
    found = [
        recommended("nrc-2006", "adult", "calcium"),
        recommended("aafco-2016", "adult", "calcium"),
        recommended("fediaf-2021", "adult", "calcium"),
        recommended("fediaf-2021", "adult", "calcium", "mer_95"),
    ]
    assert found == [1000, 1250, 1250, 1450]


def test_growth_calcium() -> None:
    early = [recommended(e, "growth_early", "calcium") for e in ("nrc-2006", "aafco-2016")]
    assert early == [3000, 3000]
    assert recommended("fediaf-2021", "growth_early", "calcium") == 2500
    assert recommended("fediaf-2021", "growth_late", "calcium") == 2500
    assert recommended("fediaf-2021", "growth_late", "calcium", "small_or_older") == 2000
    ceilings = [
        highest("nrc-2006", "growth_early", "calcium"),
        highest("aafco-2016", "growth_early", "calcium"),
        highest("fediaf-2021", "growth_early", "calcium"),
        highest("fediaf-2021", "growth_late", "calcium"),
    ]
    assert ceilings == [4500, 4500, 4000, 4500]


def test_adult_protein() -> None:
    found = [recommended(e, "adult", "protein") for e in ("nrc-2006", "aafco-2016", "fediaf-2021")]
    assert found == [25, 45, 45]
    assert recommended("fediaf-2021", "adult", "protein", "mer_95") == 52.1


def test_vitamin_ceilings_in_international_units() -> None:
    a = [highest(e, "adult", "vitamin_a") for e in ("nrc-2006", "aafco-2016", "fediaf-2021")]
    assert [round((each or 0) / 0.3, -1) for each in a] == [53330, 62500, 100000]
    assert (highest("nrc-2006", "growth_late", "vitamin_a") or 0) / 0.3 == pytest.approx(12500)
    d = [highest(e, "adult", "vitamin_d") for e in ("nrc-2006", "aafco-2016", "fediaf-2021")]
    assert [each and each / 0.025 for each in d] == pytest.approx([800, 750, 800])
    legal = targets("fediaf-2021", "adult").limits["vitamin_d"].legal_maximum
    assert legal is not None
    assert legal / 0.025 == pytest.approx(568, rel=0.002)


def test_adult_selenium() -> None:
    assert recommended("nrc-2006", "adult", "selenium") == 87.5
    assert recommended("aafco-2016", "adult", "selenium") == pytest.approx(80)
    fediaf = [
        recommended("fediaf-2021", "adult", "selenium", v)
        for v in ("dry_diet", "mer_95_dry_diet", "", "mer_95")
    ]
    assert fediaf == [45, 55, 57.5, 67.5]


def test_neutered_adults() -> None:
    """AAHA 2021 1.4 to 1.6, SACN5 1.6, FEDIAF low activity 95: 1.36 times resting."""
    found = methods(mass_kg=20.0, neutered=True, activity="low", age_days=1800.0)
    resting = resting_kcal(20)
    aaha = found["aaha_neutered"]
    assert [round((kcal or 0) / resting, 2) for kcal in (aaha.low_kcal, aaha.high_kcal)] == [
        1.4,
        1.6,
    ]
    assert (found["sacn5_neutered"].energy_kcal or 0) / resting == pytest.approx(1.6)
    assert (found["fediaf_low"].energy_kcal or 0) / resting == pytest.approx(1.36, abs=0.005)


def test_puppy_energy() -> None:
    """NRC is 20 to 25 % above Klein at young ages."""
    found = methods(mass_kg=9.0, adult_mass_kg=30.0, age_days=90.0)
    ratio = (found["nrc_growth"].energy_kcal or 0) / (found["klein_growth"].energy_kcal or 1)
    assert 1.2 < ratio < 1.35


def test_the_exponent_of_the_meta_analysis() -> None:
    found = methods(mass_kg=20.0)
    assert found["bermingham_power"].energy_kcal == pytest.approx(81.5 * 20**0.93)
    assert found["bermingham_abstract"].energy_kcal == pytest.approx(81.5 * 20**0.9)


@pytest.mark.parametrize("mass_kg", [2, 10, 25])
def test_the_linear_resting_rule_over_the_range_both_name(mass_kg: float) -> None:
    """AAHA 2014: 2 to 25 kg; SACN5 p. 61: 2 to 45 kg, where it runs higher than the power."""
    assert resting_kcal(mass_kg) == pytest.approx(30 * mass_kg + 70, rel=0.1)


def test_the_linear_rule_is_ten_percent_high_at_45_kg() -> None:
    assert (30 * 45 + 70) / resting_kcal(45) == pytest.approx(1.17, abs=0.01)


def test_starting_a_loss() -> None:
    plan = weight_plan(30, condition_score=7, maintenance_kcal=1500, intake_kcal=1400)
    starts = {each.method: each.energy_kcal for each in plan.starts}
    resting = resting_kcal(25)
    assert starts == pytest.approx(
        {
            "intake": 0.8 * 1400,
            "resting_2014": 0.8 * resting,
            "resting_2021": resting,
            "maintenance": 0.6 * 1500,
            "measured": 63 * 25**0.75,
        }
    )


def test_ideal_weight() -> None:
    points, fat = ideal_masses(30, condition_score=8)
    assert (points.mass_kg, fat.mass_kg) == pytest.approx((23.08, 24.38), abs=0.006)


def test_energy_of_meat() -> None:
    """Atwater (FEDIAF, natural foods) is about a tenth above modified Atwater (AAFCO)."""
    meat = {"protein_g": 16.51, "fat_g": 6.04, "carbohydrate_g": 0.0}
    ratio = atwater_kcal_per_100g(**meat) / modified_atwater_kcal_per_100g(**meat)
    assert ratio == pytest.approx(1.10, abs=0.01)
