"""Conversions against published figures."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nutrition import units
from nutrition.errors import UnitError


def test_a_pound_is_453_59237_grams() -> None:
    """International yard and pound agreement, 1959."""
    assert units.mass_g(1, unit="lb") == pytest.approx(453.59237, rel=1e-12)
    assert units.mass_g(16, unit="oz") == pytest.approx(453.59237)


def test_energy_follows_the_thermochemical_calorie() -> None:
    """SACN5 Box 1-2 p. 12 prints 216 kcal as 904 kJ; Box 1-6 p. 16 prints 3.32 kcal as 13.89 kJ."""
    assert units.energy_in(216, unit="kJ") == pytest.approx(904, abs=0.5)
    assert units.energy_in(3.32, unit="kJ") == pytest.approx(13.89, abs=0.005)


@pytest.mark.parametrize(
    ("amount", "unit", "nutrient", "international_units"),
    [
        # NRC 2006 tables 15-3 and 15-5, both ways of printing (from memory).
        (379, "µg", "vitamin_a", 1263),
        (16000, "µg", "vitamin_a", 53330),
        (3.4, "µg", "vitamin_d", 136),
        (20, "µg", "vitamin_d", 800),
        # SR28 prints both units: beef liver 13325, NZ lamb liver 17369 (RAE 15434).
        (1.2, "µg", "vitamin_d", 49),
        (15434, "µg", "vitamin_a", 51447),
        # USP: 1 mg of natural alpha-tocopherol is 1.49 IU (from memory).
        (1, "mg", "vitamin_e", 1.49),
    ],
)
def test_international_units(
    amount: float, unit: str, nutrient: str, international_units: float
) -> None:
    found = units.convert(amount, from_unit=unit, to_unit="IU", nutrient=nutrient)
    assert found == pytest.approx(international_units, rel=0.025)


@given(st.floats(0, 1e7), st.sampled_from(units.MASS_UNITS))
def test_masses_survive_the_way_there_and_back(mass_g: float, unit: str) -> None:
    there = units.mass_in(mass_g, unit=unit)
    assert units.mass_g(there, unit=unit) == pytest.approx(mass_g, rel=1e-12)


@given(st.floats(0, 1e7), st.sampled_from(units.ENERGY_UNITS))
def test_energies_survive_the_way_there_and_back(energy_kcal: float, unit: str) -> None:
    there = units.energy_in(energy_kcal, unit=unit)
    assert units.energy_kcal(there, unit=unit) == pytest.approx(energy_kcal, rel=1e-12)


@given(st.floats(0, 1e6))
def test_pounds_and_ounces_are_the_whole_mass(mass_g: float) -> None:
    pounds, ounces = units.pounds_and_ounces(mass_g)
    assert 0 <= ounces < 16 + 1e-9
    total = units.mass_g(pounds, unit="lb") + units.mass_g(ounces, unit="oz")
    assert total == pytest.approx(mass_g, rel=1e-9, abs=1e-9)


def test_an_energy_is_not_a_mass() -> None:
    with pytest.raises(UnitError, match=r"'kcal' cannot be turned into 'g'.*Use units of the same"):
        units.mass_g(1, unit="kcal")


def test_an_unknown_unit_is_refused() -> None:
    with pytest.raises(UnitError, match="'spoonful' cannot be turned"):
        units.mass_g(1, unit="spoonful")


def test_an_international_unit_needs_a_vitamin() -> None:
    with pytest.raises(UnitError, match="vitamin_a, vitamin_d, vitamin_e"):
        units.convert(1, from_unit="IU", to_unit="mg", nutrient="zinc")


def test_what_is_not_a_number_is_refused() -> None:
    with pytest.raises(UnitError, match="not a number"):
        units.mass_g(float("nan"), unit="kg")


def test_a_negative_mass_has_no_pounds() -> None:
    with pytest.raises(UnitError, match="negative"):
        units.pounds_and_ounces(-1)
