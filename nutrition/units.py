"""Conversions at the boundary: what people type and labels print, to and from SI.

Inside the package every quantity is a plain float whose name ends in its unit; pint is used here
and nowhere else.
"""

from functools import cache, lru_cache
from math import isfinite

import pint

from nutrition.errors import UnitError

MASS_UNITS = ("g", "kg", "mg", "µg", "lb", "oz")
ENERGY_UNITS = ("kcal", "kJ", "MJ")

# One international unit, in the unit named. Vitamin A: 0.3 µg retinol; vitamin D: 0.025 µg;
# vitamin E: 1 mg natural alpha-tocopherol is 1.49 IU. Source: USP units, from memory, and the
# SR28 files, which print vitamins A and D in both units.
INTERNATIONAL_UNITS = {
    "vitamin_a": (0.3, "µg"),
    "vitamin_d": (0.025, "µg"),
    "vitamin_e": (1 / 1.49, "mg"),
}


@cache
def _registry() -> "pint.UnitRegistry[float]":
    # Building the registry takes a noticeable part of a second, so it waits for the first use.
    return pint.UnitRegistry()


@lru_cache(maxsize=512)
def factor(from_unit: str, to_unit: str, *, nutrient: str = "") -> float:
    """Return what one `from_unit` is worth in `to_unit`.

    Parameters
    ----------
    from_unit, to_unit : str
        Unit names as pint reads them, or "IU" for a vitamin.
    nutrient : str
        Nutrient key, needed when a unit is "IU".

    Returns
    -------
    float
        The factor [to_unit per from_unit].

    Raises
    ------
    UnitError
        If a unit is unknown or the two do not measure the same thing.

    Examples
    --------
    >>> round(factor("lb", "g"), 5)
    453.59237
    >>> factor("IU", "µg", nutrient="vitamin_d")
    0.025
    """
    if from_unit == to_unit:
        return 1.0
    if from_unit == "IU":
        size, unit = _international_unit(nutrient)
        return size * factor(unit, to_unit)
    if to_unit == "IU":
        size, unit = _international_unit(nutrient)
        return factor(from_unit, unit) / size
    try:
        return float(_registry().Quantity(1.0, from_unit).to(to_unit).magnitude)
    except (pint.errors.PintError, AttributeError, AssertionError) as error:
        raise UnitError(
            f"{from_unit!r} cannot be turned into {to_unit!r}. Use units of the same kind: mass "
            f"({', '.join(MASS_UNITS)}) or energy ({', '.join(ENERGY_UNITS)}).",
            fields=("unit",),
        ) from error


def _international_unit(nutrient: str) -> tuple[float, str]:
    try:
        return INTERNATIONAL_UNITS[nutrient]
    except KeyError:
        raise UnitError(
            f"An international unit of {nutrient!r} is not defined. It is defined for "
            f"{', '.join(INTERNATIONAL_UNITS)}. Give the amount in g, mg or µg.",
            fields=("unit",),
        ) from None


def convert(value: float, *, from_unit: str, to_unit: str, nutrient: str = "") -> float:
    """Return `value` in another unit.

    Parameters
    ----------
    value : float
        Amount [from_unit].
    from_unit, to_unit : str
        Unit names, or "IU" for a vitamin.
    nutrient : str
        Nutrient key, needed when a unit is "IU".

    Returns
    -------
    float
        Amount [to_unit].

    Raises
    ------
    UnitError
        If the value is not finite, or the units do not match.

    Examples
    --------
    NRC 2006 prints 379 RE of vitamin A, which is 1263 IU.

    >>> round(convert(379, from_unit="µg", to_unit="IU", nutrient="vitamin_a"))
    1263
    """
    if not isfinite(value):
        raise UnitError(f"{value} is not a number that can be converted.", fields=("value",))
    return value * factor(from_unit, to_unit, nutrient=nutrient)


def mass_g(value: float, *, unit: str) -> float:
    """Return a mass in grams.

    Parameters
    ----------
    value : float
        Mass [unit].
    unit : str
        One of g, kg, mg, µg, lb, oz.

    Returns
    -------
    float
        Mass [g].

    Raises
    ------
    UnitError
        If the unit does not measure mass.

    Examples
    --------
    >>> round(mass_g(10, unit="lb"), 4)
    4535.9237
    """
    return convert(value, from_unit=unit, to_unit="g")


def mass_in(mass_g: float, *, unit: str) -> float:
    """Return a mass in the unit a person reads.

    Parameters
    ----------
    mass_g : float
        Mass [g].
    unit : str
        One of g, kg, mg, µg, lb, oz.

    Returns
    -------
    float
        Mass [unit].

    Raises
    ------
    UnitError
        If the unit does not measure mass.
    """
    return convert(mass_g, from_unit="g", to_unit=unit)


def energy_kcal(value: float, *, unit: str) -> float:
    """Return an energy in kilocalories.

    Parameters
    ----------
    value : float
        Energy [unit].
    unit : str
        One of kcal, kJ, MJ.

    Returns
    -------
    float
        Energy [kcal]; the thermochemical kilocalorie, 4.184 kJ.

    Raises
    ------
    UnitError
        If the unit does not measure energy.

    Examples
    --------
    >>> round(energy_kcal(1.063, unit="MJ"), 1)
    254.1
    """
    return convert(value, from_unit=unit, to_unit="kcal")


def energy_in(energy_kcal: float, *, unit: str) -> float:
    """Return an energy in the unit a person reads.

    Parameters
    ----------
    energy_kcal : float
        Energy [kcal].
    unit : str
        One of kcal, kJ, MJ.

    Returns
    -------
    float
        Energy [unit].

    Raises
    ------
    UnitError
        If the unit does not measure energy.
    """
    return convert(energy_kcal, from_unit="kcal", to_unit=unit)


def pounds_and_ounces(mass_g: float) -> tuple[int, float]:
    """Return a mass as whole pounds and the remaining ounces.

    Parameters
    ----------
    mass_g : float
        Mass [g], zero or more.

    Returns
    -------
    tuple of int and float
        Pounds [lb] and ounces [oz], the ounces under 16.

    Raises
    ------
    UnitError
        If the mass is negative or not finite.

    Examples
    --------
    >>> pounds_and_ounces(453.59237 * 2.5)
    (2, 8.0)
    """
    if mass_g < 0:
        raise UnitError(f"A mass cannot be negative; {mass_g} g was given.", fields=("mass_g",))
    ounces = mass_in(mass_g, unit="oz")
    pounds = int(ounces // 16)
    return pounds, ounces - 16 * pounds
