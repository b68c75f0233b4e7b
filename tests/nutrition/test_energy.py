"""A dog's energy need against published examples and tables."""

import pytest

from nutrition.energy import (
    age_band,
    gestation_kcal,
    growth_end_days,
    growth_klein_kcal,
    growth_nrc_kcal,
    lactation_kcal,
    life_stage,
    metabolic_mass_kg075,
    requirement,
    resting_kcal,
)
from nutrition.errors import InputError, UnknownKeyError
from nutrition.units import mass_g

YEAR = 365.25


def test_resting_energy_of_the_guideline_example() -> None:
    """AAHA 2021, Box 1, and SACN5 Box 1-2, p. 12: 4.5 kg needs 216 kcal a day at rest."""
    assert resting_kcal(4.5) == pytest.approx(216, abs=0.5)


def test_maintenance_of_the_guideline_example() -> None:
    """AAHA 2021, Box 1: the neutered dog of 4.5 kg at factor 1.4 needs 302 kcal."""
    assert 1.4 * resting_kcal(4.5) == pytest.approx(302, abs=1)
    low = requirement(4.5, neutered=True, activity="low")
    assert low.alternatives[0].energy_kcal == pytest.approx(302 * 1.5 / 1.4, abs=1)


@pytest.mark.parametrize("mass_kg", [5, 10, 15, 20, 25])
def test_resting_energy_is_near_the_linear_rule(mass_kg: float) -> None:
    """SACN5 p. 61 and AAHA 2014: 30 kg + 70 is good for 2 to 25 kg."""
    assert resting_kcal(mass_kg) == pytest.approx(30 * mass_kg + 70, rel=0.08)


@pytest.mark.parametrize(
    ("factor", "printed"),
    [
        # National Academies, Your Dog's Nutritional Needs (2006), average daily kcal for dogs of
        # 10, 30, 50, 70 and 90 lb: inactive, older active, active, young active (from memory).
        (95, (296, 674, 989, 1272, 1540)),
        (105, (327, 745, 1093, 1407, 1700)),
        (130, (404, 922, 1353, 1740, 2100)),
        (140, (436, 993, 1451, 1876, 2264)),
    ],
)
def test_pamphlet_energies(factor: float, printed: tuple[float, ...]) -> None:
    for pounds, kcal in zip((10, 30, 50, 70, 90), printed, strict=True):
        mass_kg = mass_g(pounds, unit="lb") / 1000
        assert factor * metabolic_mass_kg075(mass_kg) == pytest.approx(kcal, rel=0.01)


def test_a_dog_of_low_activity_is_the_pamphlets_inactive_dog() -> None:
    """The same pamphlet: an inactive dog of 50 lb needs 989 kcal (from memory)."""
    found = requirement(mass_g(50, unit="lb") / 1000, activity="low")
    assert found.energy_kcal == pytest.approx(989, rel=0.01)


@pytest.mark.parametrize(
    ("share", "times_maintenance"),
    [
        # Richardson 2010, quoted in Veterinary Nursing Journal 37(4), 2022, p. 28, Table 2.
        (0.15, 2.5),
        (0.30, 2.1),
        (0.43, 1.9),
        (0.60, 1.6),
        (0.71, 1.4),
        (0.80, 1.3),
        (1.00, 1.0),
    ],
)
def test_growth_equation_gives_the_published_steps(share: float, times_maintenance: float) -> None:
    mass_kg = 40 * share
    maintenance = 130 * metabolic_mass_kg075(mass_kg)
    found = growth_nrc_kcal(mass_kg, adult_mass_kg=40) / maintenance
    assert found == pytest.approx(times_maintenance, abs=0.06)


@pytest.mark.parametrize(
    ("mass_kg", "adult_mass_kg", "nrc", "klein"),
    [
        # Worked by hand from the two published equations.
        (3, 10, 636, 487),
        (5.5, 35, 1154, 836),
        (10, 20, 1280, 1049),
        (10, 30, 1517, 1176),
        (15, 30, 1735, 1422),
        (20, 30, 1809, 1552),
        (30, 30, 1701, 1527),
    ],
)
def test_growth_equations(mass_kg: float, adult_mass_kg: float, nrc: float, klein: float) -> None:
    assert growth_nrc_kcal(mass_kg, adult_mass_kg=adult_mass_kg) == pytest.approx(nrc, abs=0.6)
    assert growth_klein_kcal(mass_kg, adult_mass_kg=adult_mass_kg) == pytest.approx(klein, rel=1e-3)


@pytest.mark.parametrize(("share", "measured"), [(0.30, 0.78), (0.55, 0.83)])
def test_pet_puppies_eat_less_than_the_growth_equation_says(share: float, measured: float) -> None:
    """Klein 2019, abstract: intake was 78 % of NRC at 8-17 weeks and 83 % at 17-26 weeks."""
    mass_kg = 30 * share
    found = growth_klein_kcal(mass_kg, adult_mass_kg=30) / growth_nrc_kcal(
        mass_kg, adult_mass_kg=30
    )
    assert found == pytest.approx(measured, abs=0.02)


def test_the_basis_of_the_growth_table_is_the_growth_equation() -> None:
    """NRC 2006 table 15-3 footnote: a 5.5-kg puppy of 35 kg eats 1000 kcal (from memory).

    The footnote's 278 kcal per kg^0.75 lies between Klein's figure and the equation's.
    """
    size = metabolic_mass_kg075(5.5)
    assert size * 278 == pytest.approx(1000, rel=0.01)
    assert growth_klein_kcal(5.5, adult_mass_kg=35) < 1000 < growth_nrc_kcal(5.5, adult_mass_kg=35)


def test_gestation_of_the_pamphlet() -> None:
    """National Academies pamphlet: pregnant, last five weeks, 50 lb: 1940 kcal (from memory)."""
    mass_kg = mass_g(50, unit="lb") / 1000
    assert gestation_kcal(mass_kg, is_last_five_weeks=True) == pytest.approx(1940, rel=0.01)
    assert gestation_kcal(mass_kg, is_last_five_weeks=False) == pytest.approx(1353, rel=0.01)


@pytest.mark.parametrize(
    ("pups", "week", "expected"),
    [(6, 1, 3453), (6, 2, 3981), (6, 3, 4377), (6, 4, 4641), (4, 3, 3796), (8, 4, 5275)],
)
def test_lactation_of_a_bitch_of_22_kg(pups: int, week: int, expected: float) -> None:
    """Worked by hand from the NRC 2006 equation (equation from memory)."""
    assert lactation_kcal(22, pups=pups, week=week) == pytest.approx(expected, abs=1)


def test_more_than_eight_pups_count_as_eight() -> None:
    assert lactation_kcal(22, pups=11, week=4) == lactation_kcal(22, pups=8, week=4)


@pytest.mark.parametrize(
    ("activity", "kcal"), [("low", 898), ("moderate", 1040), ("high", 1182), (None, 1040)]
)
def test_maintenance_of_twenty_kilograms(activity: str | None, kcal: float) -> None:
    """FEDIAF table VII-7 coefficients 95, 110, 125 (from memory) times 9.457."""
    assert requirement(20, activity=activity).energy_kcal == pytest.approx(kcal, abs=1)


def test_neutering_stays_within_the_guidelines_ranges() -> None:
    """AAHA 2021, Box 1: neutered 1.4-1.6, intact 1.6-1.8 times resting (from memory)."""
    neutered = requirement(20, age_days=5 * YEAR, neutered=True)
    intact = requirement(20, age_days=5 * YEAR, neutered=False)
    assert 1.4 <= neutered.energy_kcal / neutered.resting_kcal <= 1.6
    assert 1.6 <= intact.energy_kcal / intact.resting_kcal <= 1.8


def test_an_old_dog_is_not_counted_as_slow_twice() -> None:
    """FEDIAF table VII-6: over seven years 95, from 80 to 120 (from memory)."""
    found = requirement(20, age_days=12 * YEAR, activity="low")
    assert found.coefficient_kcal_per_kg075 == 95
    assert found.low_kcal == pytest.approx(80 * 9.457, abs=1)
    assert found.high_kcal == pytest.approx(120 * 9.457, abs=1)
    assert found.low_kcal > found.resting_kcal


@pytest.mark.parametrize("activity", ["moderate", "high"])
def test_an_old_dog_needs_at_most_the_old_dogs_figure(activity: str) -> None:
    """The same table: a lively old dog still gets 95, and a vet's figure where that is wrong."""
    found = requirement(20, age_days=9 * YEAR, activity=activity)
    assert found.coefficient_kcal_per_kg075 == 95


def test_a_young_dog_needs_more_unless_its_work_is_counted() -> None:
    young = requirement(20, age_days=1.5 * YEAR, activity="moderate")
    worker = requirement(20, age_days=1.5 * YEAR, activity="working")
    assert young.coefficient_kcal_per_kg075 == pytest.approx(130)
    assert worker.coefficient_kcal_per_kg075 == pytest.approx(162.5)


def test_a_growing_dog_shows_the_other_methods_beside() -> None:
    found = requirement(11.4, age_days=243, adult_mass_kg=13.5)
    assert (found.stage, found.method, found.source) == ("growth_late", "growth_nrc", "nrc-2006")
    assert [other.method for other in found.alternatives] == ["growth_klein", "growth_factor"]
    assert found.low_kcal == found.alternatives[0].energy_kcal


@pytest.mark.parametrize(("age_days", "factor"), [(100, 3), (200, 2)])
def test_a_puppy_without_an_adult_weight_gets_the_guideline_factor(
    age_days: float, factor: float
) -> None:
    """AAHA 2021, Box 1: under four months 3.0, then 2.0 times resting."""
    found = requirement(6, age_days=age_days)
    assert found.method == "growth_factor"
    assert found.energy_kcal == pytest.approx(factor * found.resting_kcal)


def test_a_vets_figure_overrides_and_keeps_the_computed_one() -> None:
    found = requirement(17.2, age_days=12 * YEAR, vet_kcal_per_day=640)
    assert (found.energy_kcal, found.method, found.source) == (640, "vet", "vet")
    assert found.alternatives[0].method == "maintenance"


@pytest.mark.parametrize(
    ("age_days", "adult_mass_kg", "stage"),
    [
        (0, 20, "growth_early"),
        (97, 20, "growth_early"),
        (98, 20, "growth_late"),
        (364, 20, "growth_late"),
        (366, 20, "adult"),
        (310, 6, "adult"),
        (500, 60, "growth_late"),
        (None, 20, "adult"),
        (200, None, "growth_late"),
    ],
)
def test_the_stage_follows_age_and_size(
    age_days: float | None, adult_mass_kg: float | None, stage: str
) -> None:
    assert life_stage(age_days, adult_mass_kg=adult_mass_kg) == stage


def test_age_bands_meet_without_gaps() -> None:
    days = [100, 400, 2.99 * YEAR, 3 * YEAR, 7 * YEAR, 7 * YEAR + 1]
    bands = ["puppy", "young", "young", "adult", "adult", "senior"]
    assert [age_band(day, adult_mass_kg=20) for day in days] == bands


def test_larger_dogs_grow_longer() -> None:
    ends = [growth_end_days(kg) for kg in (5, 20, 40, 60)]
    assert ends == sorted(ends)
    assert growth_end_days(None) == growth_end_days(20)


@pytest.mark.parametrize("mass_kg", [0, -3, 200, float("nan")])
def test_a_weight_no_dog_has_is_refused(mass_kg: float) -> None:
    with pytest.raises(InputError, match=r"between 0\.05 and 150 kg") as caught:
        requirement(mass_kg)
    assert caught.value.fields == ("mass_kg",)


def test_other_figures_out_of_range_are_refused() -> None:
    with pytest.raises(InputError, match="age_days is -1"):
        requirement(10, age_days=-1)
    with pytest.raises(InputError, match="vet_kcal_per_day is 5"):
        requirement(10, vet_kcal_per_day=5)
    with pytest.raises(InputError, match="week is 9"):
        lactation_kcal(22, pups=4, week=9)
    with pytest.raises(UnknownKeyError, match="low, moderate, high, working"):
        requirement(10, activity="bouncy")
