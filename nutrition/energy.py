"""How much energy a dog needs: resting, maintenance, growth, and a vet's own figure."""

from dataclasses import dataclass

from nutrition.coefficients import Coefficient, load_energy
from nutrition.energy_equations import (
    check_range,
    gestation_kcal,
    growth_klein_kcal,
    growth_nrc_kcal,
    lactation_kcal,
    metabolic_mass_kg075,
    resting_kcal,
)
from nutrition.energy_methods import DogFacts, energy_methods
from nutrition.errors import UnknownKeyError
from nutrition.life import AGE_BANDS, DAYS_PER_MONTH, age_band, growth_end_days, life_stage
from nutrition.reproduction import PHASES

__all__ = [
    "ACTIVITIES",
    "AGE_BANDS",
    "Alternative",
    "Requirement",
    "age_band",
    "gestation_kcal",
    "growth_end_days",
    "growth_klein_kcal",
    "growth_nrc_kcal",
    "lactation_kcal",
    "life_stage",
    "metabolic_mass_kg075",
    "requirement",
    "resting_kcal",
]

ACTIVITIES = {
    "low": "Under an hour a day",
    "moderate": "One to three hours a day",
    "high": "One to three lively hours a day",
    "working": "Three to six hours of work a day",
}


@dataclass(frozen=True, slots=True)
class Alternative:
    """What another published method says, shown beside the one in use."""

    method: str
    energy_kcal: float
    source: str


@dataclass(frozen=True, slots=True)
class Requirement:
    """The energy one dog needs in a day [kcal], how it was found, and how far it can be off.

    `stage` chooses the nutrient standard: adult, growth_early (under 14 weeks), growth_late or
    reproduction (the last five weeks before whelping, and suckling). `phase` is where a bitch
    stands between mating and weaning.
    """

    energy_kcal: float
    low_kcal: float
    high_kcal: float
    resting_kcal: float
    metabolic_mass_kg075: float
    stage: str
    age_band: str
    method: str
    source: str
    verified: str
    coefficient_kcal_per_kg075: float | None
    alternatives: tuple[Alternative, ...]
    phase: str | None = None


def requirement(
    mass_kg: float,
    *,
    age_days: float | None = None,
    adult_mass_kg: float | None = None,
    neutered: bool | None = None,
    activity: str | None = None,
    vet_kcal_per_day: float | None = None,
    phase: str | None = None,
    week: int | None = None,
    pups: int | None = None,
) -> Requirement:
    """Return the energy a dog needs in a day, with its method, source and range.

    Parameters
    ----------
    mass_kg : float
        Body weight [kg], over 0 and up to 150.
    age_days : float or None
        Age [day]; None counts as adult.
    adult_mass_kg : float or None
        Expected adult body weight [kg]; only growing dogs need it.
    neutered : bool or None
        Whether the dog is neutered [-]; None takes the middle.
    activity : str or None
        low, moderate, high or working [-]; None counts as moderate.
    vet_kcal_per_day : float or None
        A vet's own figure [kcal/day]; it overrides every equation.
    phase : str or None
        gestation_early, gestation_late or lactation [-], of a bitch with pups.
    week : int or None
        Week of suckling [-]; weeks after the fourth count as the fourth.
    pups : int or None
        Pups that suckle [-]; None takes the middle of a published range.

    Returns
    -------
    Requirement
        Energy and range [kcal/day].

    Raises
    ------
    InputError
        If a figure is outside its range.
    UnknownKeyError
        If the activity is not known.

    Examples
    --------
    >>> round(requirement(20, age_days=5 * 365.25).energy_kcal)
    1040
    """
    if activity is not None and activity not in ACTIVITIES:
        raise UnknownKeyError("activity", activity, tuple(ACTIVITIES))
    if phase is not None and phase not in PHASES:
        raise UnknownKeyError("phase", phase, PHASES)
    band = age_band(age_days, adult_mass_kg=adult_mass_kg)
    if phase is not None:
        found = _breeding(mass_kg, band, phase, week or 1, pups)
    elif band == "puppy" and age_days is not None:
        found = _growing(mass_kg, age_days, adult_mass_kg)
    else:
        found = _maintaining(mass_kg, band, neutered, activity or "moderate")
    if vet_kcal_per_day is None:
        return found
    check_range("vet_kcal_per_day", vet_kcal_per_day, 20, 15000, "kcal/day")
    return _by_vet(found, vet_kcal_per_day)


def _by_vet(found: Requirement, vet_kcal: float) -> Requirement:
    computed = Alternative(found.method, found.energy_kcal, found.source)
    return Requirement(
        energy_kcal=vet_kcal,
        low_kcal=vet_kcal,
        high_kcal=vet_kcal,
        resting_kcal=found.resting_kcal,
        metabolic_mass_kg075=found.metabolic_mass_kg075,
        stage=found.stage,
        age_band=found.age_band,
        method="vet",
        source="vet",
        verified="read",
        coefficient_kcal_per_kg075=vet_kcal / found.metabolic_mass_kg075,
        alternatives=(computed, *found.alternatives),
        phase=found.phase,
    )


def _base_coefficient(band: str, activity: str) -> float:
    """Return the published coefficient of an age and an activity [kcal/kg^0.75]."""
    value = load_energy().value
    by_activity = value(f"activity.{activity}")
    if band == "senior":
        # Both tables describe an old dog's slower day: the smaller is used, never both at once.
        return min(by_activity, value("age.senior"))
    if band == "young" and activity != "working":
        # Hours of work already count everything that a working dog burns, whatever its age.
        return by_activity * value("age.young") / value("age.adult")
    return by_activity


def _maintaining(mass_kg: float, band: str, neutered: bool | None, activity: str) -> Requirement:
    constants = load_energy()
    value = constants.value
    state = {True: "yes", False: "no", None: "unknown"}[neutered]
    age_kcal = value(f"age.{band}")
    neutered_factor = value(f"neutered.{state}") / value("neutered.unknown")
    coefficient = _base_coefficient(band, activity) * neutered_factor
    size = metabolic_mass_kg075(mass_kg)
    energy_kcal = coefficient * size
    used = [constants[f"activity.{activity}"], constants[f"age.{band}"]]
    return Requirement(
        energy_kcal=energy_kcal,
        low_kcal=energy_kcal * value(f"age.{band}.lowest") / age_kcal,
        high_kcal=energy_kcal * value(f"age.{band}.highest") / age_kcal,
        resting_kcal=resting_kcal(mass_kg),
        metabolic_mass_kg075=size,
        stage="adult",
        age_band=band,
        method="maintenance",
        source=used[0].source,
        verified=_weakest(used),
        coefficient_kcal_per_kg075=coefficient,
        alternatives=(
            Alternative(
                "resting_factor",
                value(f"neutered.{state}") * resting_kcal(mass_kg),
                constants[f"neutered.{state}"].source,
            ),
        ),
    )


def _growing(mass_kg: float, age_days: float, adult_mass_kg: float | None) -> Requirement:
    constants = load_energy()
    is_older = age_days >= constants.value("growth.older.from") * DAYS_PER_MONTH
    step = constants["growth.older.factor" if is_older else "growth.young.factor"]
    by_factor = Alternative("growth_factor", step.value * resting_kcal(mass_kg), step.source)
    if adult_mass_kg is None:
        # Without an adult weight neither growth equation can be used.
        found, used = by_factor, [step]
        others: tuple[Alternative, ...] = ()
    else:
        used = [constants["growth.nrc.maintenance"]]
        klein = constants["growth.klein.constant"].source
        found = Alternative(
            "growth_nrc", growth_nrc_kcal(mass_kg, adult_mass_kg=adult_mass_kg), used[0].source
        )
        others = (
            Alternative(
                "growth_klein", growth_klein_kcal(mass_kg, adult_mass_kg=adult_mass_kg), klein
            ),
            by_factor,
        )
    size = metabolic_mass_kg075(mass_kg)
    spread = [found.energy_kcal, *(other.energy_kcal for other in others[:1])]
    return Requirement(
        energy_kcal=found.energy_kcal,
        low_kcal=min(spread),
        high_kcal=max(spread),
        resting_kcal=resting_kcal(mass_kg),
        metabolic_mass_kg075=size,
        stage=life_stage(age_days, adult_mass_kg=adult_mass_kg),
        age_band="puppy",
        method=found.method,
        source=found.source,
        verified=_weakest(used),
        coefficient_kcal_per_kg075=found.energy_kcal / size,
        alternatives=others,
    )


def _breeding(mass_kg: float, band: str, phase: str, week: int, pups: int | None) -> Requirement:
    """Return the need by NRC 2006, in the range of everything published for the phase."""
    facts = DogFacts(mass_kg, phase=phase, week=week, pups=pups)
    said = [each for each in energy_methods(facts) if each.fits is not False]
    figures = [
        kcal for each in said for kcal in (each.low_kcal, each.energy_kcal, each.high_kcal) if kcal
    ]
    method, constant, energy_kcal = _breeding_kcal(mass_kg, phase, week, pups)
    used = load_energy()[constant]
    size = metabolic_mass_kg075(mass_kg)
    return Requirement(
        energy_kcal=energy_kcal,
        low_kcal=min(figures),
        high_kcal=max(figures),
        resting_kcal=resting_kcal(mass_kg),
        metabolic_mass_kg075=size,
        stage="adult" if phase == "gestation_early" else "reproduction",
        age_band=band,
        method=method,
        source=used.source,
        verified=used.verified,
        coefficient_kcal_per_kg075=energy_kcal / size,
        alternatives=tuple(
            Alternative(each.key, each.energy_kcal, each.source)
            for each in said
            if each.energy_kcal is not None and not each.key.startswith("nrc_")
        ),
        phase=phase,
    )


def _breeding_kcal(
    mass_kg: float, phase: str, week: int, pups: int | None
) -> tuple[str, str, float]:
    """Return the method, the constant that carries its source, and the energy [kcal/day]."""
    if phase != "lactation":
        is_late = phase == "gestation_late"
        kcal = gestation_kcal(mass_kg, is_last_five_weeks=is_late)
        return "gestation", "gestation.maintenance", kcal
    if pups is None:
        kcal = load_energy().value("lactation.unknown") * resting_kcal(mass_kg)
        return "lactation_factor", "lactation.unknown", kcal
    kcal = lactation_kcal(mass_kg, pups=max(1, pups), week=min(week, 4))
    return "lactation", "lactation.maintenance", kcal


def _weakest(used: list[Coefficient]) -> str:
    marks = {item.verified for item in used}
    return next(mark for mark in ("memory", "computed", "read") if mark in marks)
