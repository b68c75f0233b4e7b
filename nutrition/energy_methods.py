"""What every published method says a dog needs, side by side."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeVar

from nutrition.coefficients import load_energy
from nutrition.energy_equations import (
    check_range,
    growth_klein_kcal,
    growth_nrc_kcal,
    lactation_kcal,
)
from nutrition.energy_method_table import TIMES_RESTING, MethodRow, method_rows
from nutrition.life import DAYS_PER_YEAR, age_band

OVER_FROM_SCORE = 6  # Of nine: the first score above ideal, AAHA 2014.
T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Method:
    """What one method says for one dog [kcal/day]; None where a figure it needs is unknown.

    `fits` is None where nobody wrote down what would decide whether it describes this dog.
    """

    key: str
    name: str
    energy_kcal: float | None
    low_kcal: float | None
    high_kcal: float | None
    fits: bool | None
    source: str
    locator: str
    verified: str
    note: str


@dataclass(frozen=True, slots=True)
class DogFacts:
    """What is known of a dog: masses [kg], age [day], body condition score of nine, and words."""

    mass_kg: float
    age_days: float | None = None
    adult_mass_kg: float | None = None
    neutered: bool | None = None
    activity: str | None = None
    condition_score: int | None = None
    breed: str | None = None
    phase: str | None = None
    week: int | None = None
    pups: int | None = None


def life_of(dog: DogFacts) -> str:
    """Return which part of the tables describes the dog: one of LIVES."""
    if dog.phase is not None:
        return dog.phase
    band = age_band(dog.age_days, adult_mass_kg=dog.adult_mass_kg)
    return "growing" if band == "puppy" else "grown"


def energy_methods(dog: DogFacts) -> list[Method]:
    """Return what each published method says for one dog, those that describe another left out.

    Parameters
    ----------
    dog : DogFacts
        What is known of it: masses [kg], age [day], score of nine [-].

    Returns
    -------
    list of Method
        Energies [kcal/day], equations first, then the rows of the table in its order.

    Raises
    ------
    InputError
        If a weight or an age is outside its range.
    """
    check_range("mass_kg", dog.mass_kg, 0.05, 150, "kg")
    life = life_of(dog)
    found = list(_equations(dog, life))
    for row in method_rows():
        fits = _fits(row, dog) if row.life == life else False
        if fits is not False:
            found.append(_method(row, dog, fits))
    return found


def _equations(dog: DogFacts, life: str) -> list[Method]:
    constants = load_energy()

    def equation(key: str, name: str, constant: str, energy_kcal: float | None) -> Method:
        item = constants[constant]
        return Method(
            key,
            name,
            energy_kcal,
            None,
            None,
            True,
            item.source,
            item.locator,
            item.verified,
            item.note,
        )

    if life == "growing":
        adult = dog.adult_mass_kg
        return [
            equation(key, name, constant, None if adult is None else work(dog.mass_kg, adult))
            for key, name, constant, work in (
                ("nrc_growth", "Growth equation", "growth.nrc.maintenance", _nrc),
                ("klein_growth", "What pet puppies ate", "growth.klein.constant", _klein),
            )
        ]
    if life == "lactation":
        pups, week = dog.pups, min(dog.week or 1, 4)
        kcal = None if pups is None else lactation_kcal(dog.mass_kg, pups=max(1, pups), week=week)
        return [
            equation("nrc_lactation", "Suckling, by week and pups", "lactation.maintenance", kcal),
            equation("fediaf_lactation", "Suckling, by week and pups", "lactation.fediaf", kcal),
        ]
    return []


def _nrc(mass_kg: float, adult_mass_kg: float) -> float:
    return growth_nrc_kcal(mass_kg, adult_mass_kg=adult_mass_kg)


def _klein(mass_kg: float, adult_mass_kg: float) -> float:
    return growth_klein_kcal(mass_kg, adult_mass_kg=adult_mass_kg)


def _fits(row: MethodRow, dog: DogFacts) -> bool | None:
    """Return whether the row describes the dog; None when a fact that decides is unknown."""
    score, breed = dog.condition_score, (dog.breed or "").lower()
    age_years = None if dog.age_days is None else dog.age_days / DAYS_PER_YEAR
    adult = dog.adult_mass_kg
    grown = None if adult is None else min(1.0, dog.mass_kg / adult)
    answers = [
        _holds(row.activity, dog.activity, lambda word: word in row.activity),
        _holds(row.neutered, dog.neutered, lambda yes: yes == (row.neutered == "yes")),
        _holds(row.condition, score, lambda points: points >= OVER_FROM_SCORE),
        # A breed that nobody entered is not taken to be one of the three that stand apart.
        not row.breed or row.breed in breed,
        _within(age_years, row.age_years_from, row.age_years_to, includes_end=False),
        _within(grown, row.grown_from, row.grown_to, includes_end=False),
        _within(adult, row.adult_mass_kg_from, None, includes_end=True),
        _within(dog.week, row.week_from, row.week_to, includes_end=True),
        _within(dog.pups, row.pups_from, row.pups_to, includes_end=True),
    ]
    if False in answers:
        return False
    return None if None in answers else True


def _holds(asked: object, known: T | None, test: Callable[[T], bool]) -> bool | None:
    if not asked:
        return True
    return None if known is None else test(known)


def _within(
    known: float | None, low: float | None, high: float | None, *, includes_end: bool
) -> bool | None:
    if low is None and high is None:
        return True
    if known is None:
        return None
    if low is not None and known < low:
        return False
    return high is None or known < high or (includes_end and known == high)


def _method(row: MethodRow, dog: DogFacts, fits: bool | None) -> Method:
    per_value = _kcal_per_value(row, dog)
    extra_kcal = row.per_kg * dog.mass_kg
    value, low, high = (
        None if per_value is None or figure is None else figure * per_value + extra_kcal
        for figure in (row.value, row.lowest, row.highest)
    )
    return Method(
        row.key, row.name, value, low, high, fits, row.source, row.locator, row.verified, row.note
    )


def _kcal_per_value(row: MethodRow, dog: DogFacts) -> float | None:
    per_value = float(dog.mass_kg**row.mass_exponent)
    if row.unit == TIMES_RESTING:
        per_value *= load_energy().value("resting")
    if row.age_exponent is None:
        return per_value
    if dog.age_days is None or dog.age_days <= 0:
        return None
    return float(per_value * (dog.age_days / DAYS_PER_YEAR) ** row.age_exponent)
