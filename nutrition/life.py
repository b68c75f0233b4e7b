"""Where a dog stands in its life: how long it grows, its age band, its stage."""

from nutrition.coefficients import load_energy
from nutrition.energy_equations import check_range

DAYS_PER_YEAR = 365.25
DAYS_PER_MONTH = DAYS_PER_YEAR / 12
DAYS_PER_WEEK = 7
AGE_BANDS = ("puppy", "young", "adult", "senior")


def growth_end_days(adult_mass_kg: float | None) -> float:
    """Return the age at which growth is taken to end.

    Parameters
    ----------
    adult_mass_kg : float or None
        Expected adult body weight [kg]; None counts as a medium dog.

    Returns
    -------
    float
        Age [day].

    Raises
    ------
    InputError
        If the weight is outside the range.
    """
    value = load_energy().value
    size = "medium"
    if adult_mass_kg is not None:
        check_range("adult_mass_kg", adult_mass_kg, 0.3, 150, "kg")
        size = next(
            (s for s in ("small", "medium", "large") if adult_mass_kg <= value(f"growth.size.{s}")),
            "giant",
        )
    return value(f"growth.end.{size}") * DAYS_PER_MONTH


def age_band(age_days: float | None, *, adult_mass_kg: float | None = None) -> str:
    """Return puppy, young, adult or senior; an unknown age counts as adult.

    Parameters
    ----------
    age_days : float or None
        Age [day], zero or more.
    adult_mass_kg : float or None
        Expected adult body weight [kg].

    Returns
    -------
    str
        One of AGE_BANDS [-].

    Raises
    ------
    InputError
        If the age is negative.
    """
    if age_days is None:
        return "adult"
    check_range("age_days", age_days, 0, 40 * DAYS_PER_YEAR, "days")
    value = load_energy().value
    if age_days < growth_end_days(adult_mass_kg):
        return "puppy"
    if age_days < value("age.adult.from") * DAYS_PER_YEAR:
        return "young"
    return "senior" if age_days > value("age.senior.from") * DAYS_PER_YEAR else "adult"


def life_stage(age_days: float | None, *, adult_mass_kg: float | None = None) -> str:
    """Return the stage that chooses the nutrient standard.

    Parameters
    ----------
    age_days : float or None
        Age [day].
    adult_mass_kg : float or None
        Expected adult body weight [kg].

    Returns
    -------
    str
        adult, growth_early (under 14 weeks) or growth_late [-].

    Raises
    ------
    InputError
        If the age is negative.
    """
    if age_days is None or age_band(age_days, adult_mass_kg=adult_mass_kg) != "puppy":
        return "adult"
    early_days = load_energy().value("growth.late.from") * DAYS_PER_WEEK
    return "growth_early" if age_days < early_days else "growth_late"
