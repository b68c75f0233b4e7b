"""Thermal properties against CoolProp's copy of the equations and published figures of meat."""

from math import nan

import pytest
from CoolProp.CoolProp import PropsSI

from nutrition.coefficients import load_thaw
from nutrition.errors import InputError
from nutrition.thermal import (
    Parts,
    component,
    conductivity_w_per_mk,
    density_kg_per_m3,
    enthalpy_kj_per_kg,
    ice_share,
    lean_meat,
    parts_of,
    specific_heat_frozen_kj_per_kgk,
    specific_heat_thawed_kj_per_kgk,
)

BEEF = lean_meat()
# CoolProp: the letter of each property and how many of its unit make one of ours.
LETTERS = {"density": ("D", 1), "conductivity": ("L", 1), "specific_heat": ("C", 1000)}


@pytest.mark.parametrize("quantity", LETTERS)
@pytest.mark.parametrize("name", ["water", "ice", "protein", "fat", "carbohydrate", "ash"])
def test_components_equal_those_of_an_independent_library(name: str, quantity: str) -> None:
    letter, size = LETTERS[quantity]
    temperatures = (-30.0, -18.0, -5.0) if name == "ice" else (0.5, 4.0, 20.0)
    for at_c in temperatures:
        theirs = PropsSI(letter, "T", 273.15 + at_c, "P", 101325, f"INCOMP::Food{name.title()}")
        assert component(name, quantity=quantity, at_c=at_c) == pytest.approx(theirs / size)


def test_lean_beef_is_as_published() -> None:
    thawed = {"at_c": 4.0, "freezing_c": -1.7}
    # ASHRAE Handbook - Refrigeration: sirloin 0.50, round 0.51 Btu/lb F frozen.
    frozen = specific_heat_frozen_kj_per_kgk(BEEF, at_c=-25.0, freezing_c=-1.7)
    assert frozen == pytest.approx(2.11, abs=0.05)
    # From memory: lean meat conducts 0.48 to 0.50 W/mK thawed and has 1040 to 1075 kg/m3.
    assert 0.48 <= conductivity_w_per_mk(BEEF, **thawed) <= 0.50
    assert 1040 <= density_kg_per_m3(BEEF, **thawed) <= 1075
    # James and James, Meat Refrigeration: about 1.3 W/mK at -30 C measured along and across the
    # grain; side by side is the upper bound of a mixture.
    assert 1.3 <= conductivity_w_per_mk(BEEF, at_c=-30.0, freezing_c=-1.7) <= 2.0


@pytest.mark.parametrize(
    ("water", "thawed", "latent"),
    # Earle, Unit Operations in Food Processing, appendix 7: specific heat thawed, heat of melting.
    [(75, 3.22, 255), (63, 2.97, 209), (60, 2.85, 197)],
)
def test_meat_by_its_water_is_near_the_textbook(water: float, thawed: float, latent: float) -> None:
    parts = parts_of({"water": water, "protein": 20, "fat": 79 - water, "ash": 1})
    assert parts is not None
    # It counts all solids at 0.84 kJ/kgK, less than half of what protein and fat take.
    assert specific_heat_thawed_kj_per_kgk(parts) == pytest.approx(thawed, rel=0.14)
    # Melting ends far below -10 C, so the heat from -40 to 0 C less the warming of the solids.
    heat = enthalpy_kj_per_kg(parts, at_c=0.0, freezing_c=-2.0)
    warming = 38 * 1.67
    assert heat - warming == pytest.approx(latent, rel=0.12)


def test_ice_forms_below_freezing_and_never_exceeds_the_water() -> None:
    shares = [ice_share(BEEF, at_c=t, freezing_c=-1.7) for t in (0, -1.7, -2, -5, -18, -40)]
    assert shares[:2] == [0, 0]
    assert shares == sorted(shares)
    assert shares[-1] <= BEEF.water


def test_heat_content_has_no_jump_and_only_grows() -> None:
    below = enthalpy_kj_per_kg(BEEF, at_c=-1.7 - 1e-9, freezing_c=-1.7)
    assert enthalpy_kj_per_kg(BEEF, at_c=-1.7, freezing_c=-1.7) == pytest.approx(below)
    heats = [enthalpy_kj_per_kg(BEEF, at_c=t, freezing_c=-1.7) for t in range(-40, 10)]
    assert heats == sorted(heats)
    assert heats[0] == 0


def test_what_is_unknown_is_taken_as_the_rest_and_without_water_there_is_no_answer() -> None:
    assert parts_of({"water": None, "fat": 3}) is None
    assert parts_of({"water": 70}) is None
    parts = parts_of({"water": 70, "fat": 10, "protein": None})
    assert parts == Parts(water=0.7, protein=0.2, fat=0.1, carbohydrate=0, ash=0)


@pytest.mark.parametrize("wrong", [-1.0, nan])
def test_a_wrong_figure_is_named(wrong: float) -> None:
    with pytest.raises(InputError, match="water"):
        parts_of({"water": wrong, "fat": 3})
    with pytest.raises(InputError, match="neither"):
        parts_of({"water": 0, "fat": 0, "protein": 0, "ash": 0, "carbohydrate": 0})


def test_lean_beef_melts_with_the_heat_that_is_published() -> None:
    """ASHRAE Handbook - Refrigeration: 103 Btu/lb for sirloin, 102 for round, of 72 % water."""
    latent = load_thaw().value("fusion_heat") * BEEF.water
    assert latent == pytest.approx(240, rel=0.01)
    assert latent == pytest.approx(237, rel=0.02)


def test_lean_beef_takes_more_room_frozen_and_conducts_more_than_fat() -> None:
    # From memory: about 1000 to 1020 kg/m3 frozen.
    assert 1000 <= density_kg_per_m3(BEEF, at_c=-20.0, freezing_c=-1.7) <= 1020
    # James and James, Meat Refrigeration: lean conducts about 2.5 times as well as fat.
    lean = conductivity_w_per_mk(BEEF, at_c=4.0, freezing_c=-1.7)
    fat = component("fat", quantity="conductivity", at_c=4.0)
    assert lean / fat == pytest.approx(2.5, rel=0.15)
