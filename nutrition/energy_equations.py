"""The published equations of a dog's energy need, one function each."""

from math import exp, isfinite

from nutrition.coefficients import load_energy
from nutrition.errors import InputError
from nutrition.units import energy_kcal as to_kcal


def metabolic_mass_kg075(mass_kg: float) -> float:
    """Return the body weight raised to the power 0.75.

    Parameters
    ----------
    mass_kg : float
        Body weight [kg], over 0 and up to 150.

    Returns
    -------
    float
        Metabolic body weight [kg^0.75].

    Raises
    ------
    InputError
        If the weight is outside the range.
    """
    check_range("mass_kg", mass_kg, 0.05, 150, "kg")
    return float(mass_kg**0.75)


def check_range(name: str, value: float, least: float, most: float, unit: str) -> None:
    """Refuse a figure that is not finite or lies outside its range.

    Parameters
    ----------
    name : str
        Name of the input, for the message [-].
    value, least, most : float
        The figure and the ends of its range [unit].
    unit : str
        Unit of all three [-].

    Raises
    ------
    InputError
        If the figure is refused.
    """
    if not isfinite(value) or not least <= value <= most:
        raise InputError(
            f"{name} is {value} {unit}; it must be between {least:g} and {most:g} {unit}. "
            "Check the figure and its unit.",
            fields=(name,),
        )


def resting_kcal(mass_kg: float) -> float:
    """Return the resting energy requirement.

    Parameters
    ----------
    mass_kg : float
        Body weight [kg], over 0 and up to 150.

    Returns
    -------
    float
        Energy [kcal/day].

    Raises
    ------
    InputError
        If the weight is outside the range.

    References
    ----------
    AAHA 2021, Box 1: a dog of 4.5 kg needs 216 kcal a day at rest.

    Examples
    --------
    >>> round(resting_kcal(4.5))
    216
    """
    return load_energy().value("resting") * metabolic_mass_kg075(mass_kg)


def growth_nrc_kcal(mass_kg: float, *, adult_mass_kg: float) -> float:
    """Return the energy requirement of a growing dog by the NRC 2006 equation.

    Parameters
    ----------
    mass_kg : float
        Body weight now [kg].
    adult_mass_kg : float
        Expected adult body weight [kg].

    Returns
    -------
    float
        Metabolisable energy [kcal/day].

    Raises
    ------
    InputError
        If a weight is outside 0.05 to 150 kg.

    Notes
    -----
    130 kg^0.75 x 3.2 x (exp(-0.87 p) - 0.1), with p the weight now over the adult weight, at
    most 1. Pet puppies ate about a fifth less than this (Klein 2019).

    Examples
    --------
    >>> round(growth_nrc_kcal(10, adult_mass_kg=20))
    1280
    """
    value = load_energy().value
    rise = growth_rise(_grown_share(mass_kg, adult_mass_kg))
    per_kg075 = value("growth.nrc.maintenance") * value("growth.nrc.factor") * rise
    return per_kg075 * metabolic_mass_kg075(mass_kg)


def growth_rise(grown_share: float) -> float:
    """Return how a growing dog's energy per kg^0.75 falls as it grows, by NRC 2006.

    Parameters
    ----------
    grown_share : float
        Weight now over the adult weight [-], at most 1 counts.

    Returns
    -------
    float
        exp(-0.87 p) - 0.1 [-].
    """
    value = load_energy().value
    return exp(-value("growth.nrc.rate") * min(1.0, grown_share)) - value("growth.nrc.offset")


def growth_klein_kcal(mass_kg: float, *, adult_mass_kg: float) -> float:
    """Return the energy intake of growing pet dogs by the equation of Klein 2019.

    Parameters
    ----------
    mass_kg : float
        Body weight now [kg].
    adult_mass_kg : float
        Expected adult body weight [kg].

    Returns
    -------
    float
        Metabolisable energy [kcal/day].

    Raises
    ------
    InputError
        If a weight is outside 0.05 to 150 kg.

    Notes
    -----
    (1.063 - 0.565 p) MJ per kg^0.75, with p the weight now over the adult weight, at most 1.

    Examples
    --------
    >>> round(growth_klein_kcal(10, adult_mass_kg=20))
    1049
    """
    value = load_energy().value
    p = _grown_share(mass_kg, adult_mass_kg)
    per_kg075_mj = value("growth.klein.constant") - value("growth.klein.slope") * p
    return to_kcal(per_kg075_mj, unit="MJ") * metabolic_mass_kg075(mass_kg)


def _grown_share(mass_kg: float, adult_mass_kg: float) -> float:
    check_range("mass_kg", mass_kg, 0.05, 150, "kg")
    check_range("adult_mass_kg", adult_mass_kg, 0.3, 150, "kg")
    return min(1.0, mass_kg / adult_mass_kg)


def gestation_kcal(mass_kg: float, *, is_last_five_weeks: bool) -> float:
    """Return the energy requirement of a bitch in whelp.

    Parameters
    ----------
    mass_kg : float
        Body weight [kg].
    is_last_five_weeks : bool
        Whether she is in the last five weeks [-].

    Returns
    -------
    float
        Metabolisable energy [kcal/day].

    Raises
    ------
    InputError
        If the weight is outside the range.

    References
    ----------
    NRC 2006: 130 kg^0.75, plus 26 kcal per kg in the last five weeks (from memory).
    """
    value = load_energy().value
    base_kcal = value("gestation.maintenance") * metabolic_mass_kg075(mass_kg)
    return base_kcal + (value("gestation.late") * mass_kg if is_last_five_weeks else 0.0)


def lactation_kcal(mass_kg: float, *, pups: int, week: int) -> float:
    """Return the energy requirement of a suckling bitch.

    Parameters
    ----------
    mass_kg : float
        Body weight [kg].
    pups : int
        Number of pups [-], 1 to 8; more count as 8.
    week : int
        Week of lactation [-], 1 to 4.

    Returns
    -------
    float
        Metabolisable energy [kcal/day].

    Raises
    ------
    InputError
        If a figure is outside its range.

    References
    ----------
    NRC 2006: 145 kg^0.75 + kg (24 n + 12 m) L (from memory).

    Examples
    --------
    >>> round(lactation_kcal(22, pups=6, week=1))
    3453
    """
    check_range("pups", pups, 1, 20, "pups")
    check_range("week", week, 1, 4, "weeks")
    value = load_energy().value
    first, further = min(pups, 4), max(0, min(pups, 8) - 4)
    milk = value("lactation.first") * first + value("lactation.further") * further
    base_kcal = value("lactation.maintenance") * metabolic_mass_kg075(mass_kg)
    return base_kcal + mass_kg * milk * value(f"lactation.week.{week}")
