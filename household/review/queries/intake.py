"""What a dog ate in the week: energy against need, and days it ate too little."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import groupby
from typing import TypedDict

from household.review.queries import wording
from household.review.queries.pantry import Pantry
from household.review.queries.records import DogRecords, Serving
from household.review.queries.weeks import Week
from nutrition.energy import Requirement

# Usual veterinary rule, from memory: under 75 % of the resting requirement for three days is a
# call, as is an adult that eats nothing for 24 hours.
LOW_SHARE = 0.75  # [-] of the resting requirement
LOW_DAYS = 3  # [day]


class EnergyPart(TypedDict):
    eaten_kcal_per_day: float | None
    required_kcal_per_day: float | None
    share: float | None
    assumed_share: float
    unknown_share: float
    offered_g: float
    eaten_g: float
    sentence: str


@dataclass(frozen=True)
class Day:
    """One day's eating. `energy_kcal` is the known part of what was eaten; of the energy of
    `unknown_offered_g` of what was offered nothing is known.
    """

    day: date
    mealtimes: int
    offered_g: float
    eaten_g: float
    assumed_g: float
    unknown_offered_g: float
    energy_kcal: float


@dataclass(frozen=True)
class LowIntake:
    """Days in a row under 75 % of the resting requirement, or one with nothing eaten at all."""

    since: date
    days: int
    share: float
    ate_nothing: bool


def days_of(servings: Sequence[Serving], pantry: Pantry) -> list[Day]:
    """The days on which something was served, oldest first."""
    ordered = sorted(servings, key=lambda s: s.day)
    return [_day(day, list(of_day), pantry) for day, of_day in groupby(ordered, lambda s: s.day)]


def _day(day: date, servings: Sequence[Serving], pantry: Pantry) -> Day:
    made = [(s, pantry.make(s)) for s in servings]
    return Day(
        day=day,
        mealtimes=len({s.mealtime for s in servings if s.mealtime}),
        offered_g=sum(s.offered_g for s in servings),
        eaten_g=sum(s.eaten_g for s in servings),
        assumed_g=sum(s.offered_g for s in servings if not s.left_noted),
        unknown_offered_g=sum(s.offered_g * make.unknown_share for s, make in made),
        energy_kcal=sum(s.eaten_g * make.energy_kcal_per_g for s, make in made),
    )


def energy_part(
    records: DogRecords, week: Week, pantry: Pantry, need: Requirement | None
) -> EnergyPart:
    """The energy section of a summary: the mean of the days with meals written down."""
    days = days_of([s for s in records.servings if week.monday <= s.day <= week.sunday], pantry)
    offered_g = sum(d.offered_g for d in days)
    unknown = sum(d.unknown_offered_g for d in days) / offered_g if offered_g else 0.0
    known_kcal = sum(d.energy_kcal for d in days) / len(days) if days else None
    # Part unknown makes the whole unknown: the known part alone would read as a shortfall.
    eaten = None if unknown else known_kcal
    share = None
    if eaten is not None and need is not None:
        share = round(eaten / need.energy_kcal, 3)
    part: EnergyPart = {
        "eaten_kcal_per_day": _whole(eaten),
        "required_kcal_per_day": _whole(need.energy_kcal if need else None),
        "share": share,
        "assumed_share": round(sum(d.assumed_g for d in days) / offered_g, 3) if offered_g else 0.0,
        "unknown_share": round(unknown, 3),
        "offered_g": round(offered_g, 1),
        "eaten_g": round(sum(d.eaten_g for d in days), 1),
        "sentence": "",
    }
    part["sentence"] = _sentence(part, len(days), known_kcal, _giver(need))
    return part


def _whole(energy_kcal: float | None) -> float | None:
    return None if energy_kcal is None else round(energy_kcal)


def _giver(need: Requirement | None) -> str:
    return "the vet gives" if need is not None and need.method == "vet" else "the tables give"


def _sentence(part: EnergyPart, days: int, known_kcal: float | None, giver: str) -> str:
    if known_kcal is None:
        return "No meals were written down."
    eaten, required, share = (
        part["eaten_kcal_per_day"],
        part["required_kcal_per_day"],
        part["share"],
    )
    text = f"{'At least ' if eaten is None else ''}{known_kcal:.0f} kcal a day"
    if share is not None:
        text += f", {wording.percent(share)} of the {required:.0f} {giver}"
    elif required is not None:
        text += f"; {giver} {required:.0f}"
    else:
        text += "; the need is not known without a weight"
    text += f", over {'all seven days' if days == 7 else f'{wording.number(days)} of seven days'}."
    if part["unknown_share"]:
        text += f" The energy of {wording.percent(part['unknown_share'])} of the food is not known."
    if part["assumed_share"]:
        text += f" {wording.percent(part['assumed_share'])} is assumed eaten: nothing was noted."
    return text


def low_intake(
    records: DogRecords, week: Week, pantry: Pantry, resting_kcal_per_day: float | None
) -> LowIntake | None:
    """The first such run of days that reaches into the week, or None.

    Only whole days count: every usual meal written down, and the energy of all of it known. A day
    with a gap breaks the run, since what is not known is not zero. That nothing at all was eaten
    needs no energy to be known.
    """
    first = week.monday - timedelta(days=LOW_DAYS - 1)
    days = days_of([s for s in records.servings if first <= s.day <= week.sunday], pantry)
    whole = [d for d in days if d.mealtimes >= records.meals_a_day]
    starved = [d for d in whole if d.day >= week.monday and d.offered_g and not d.eaten_g]
    if starved:
        return LowIntake(starved[0].day, 1, 0.0, ate_nothing=True)
    if not resting_kcal_per_day:
        return None
    known = [d for d in whole if not d.unknown_offered_g]
    low = [d for d in known if d.energy_kcal < LOW_SHARE * resting_kcal_per_day]
    run = _first_run(low)
    if run is None:
        return None
    share = sum(d.energy_kcal for d in run) / len(run) / resting_kcal_per_day
    return LowIntake(run[0].day, len(run), share, ate_nothing=False)


def _first_run(days: Sequence[Day]) -> list[Day] | None:
    """The first days in a row that are at least three, to their end."""
    run: list[Day] = []
    for day in days:
        if run and day.day != run[-1].day + timedelta(days=1):
            if len(run) >= LOW_DAYS:
                return run
            run = []
        run.append(day)
    return run if len(run) >= LOW_DAYS else None
