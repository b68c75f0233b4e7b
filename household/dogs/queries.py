"""Reads of dogs: who they are, what they weigh, what they need."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import TypeVar
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db.models import OuterRef, QuerySet, Subquery

from household.accounts.errors import Refusal
from household.accounts.models import Household
from household.dogs.models import Condition, Dog, Weighing
from nutrition.energy import Requirement, life_stage, requirement
from nutrition.errors import NutritionError
from nutrition.nutrients import load_nutrients
from nutrition.standards import DEFAULT_EDITION, Targets, targets

ADULT = "adult"
YARDSTICK = DEFAULT_EDITION
"""The standard used unless another is asked for."""

M = TypeVar("M", Weighing, Condition)


@dataclass(frozen=True)
class DogNow:
    """A dog with its latest weight and condition, None where nobody has entered one."""

    dog: Dog
    weighing: Weighing | None
    condition: Condition | None


@dataclass(frozen=True)
class Need:
    """What a dog needs on a day. Without an energy ``why_not`` says what is missing."""

    dog: Dog
    weighing: Weighing | None
    energy: Requirement | None
    why_not: str
    targets: Targets


def today_of(household: Household, now: datetime) -> date:
    """The day it is where the household lives."""
    return now.astimezone(ZoneInfo(household.time_zone)).date()


def dogs_of(household_id: UUID) -> QuerySet[Dog]:
    """The household's dogs by name, archived ones too."""
    return Dog.living(household_id).order_by("name", "rid")


def dog(household_id: UUID, rid: UUID) -> Dog | None:
    return Dog.living(household_id).filter(rid=rid).first()


def dogs_now(household_id: UUID, dogs: Sequence[Dog]) -> list[DogNow]:
    """The dogs with their latest weight and condition, in two queries however many there are."""
    weighed = latest(Weighing, household_id, dogs)
    judged = latest(Condition, household_id, dogs)
    return [DogNow(each, weighed.get(each.rid), judged.get(each.rid)) for each in dogs]


def latest(model: type[M], household_id: UUID, dogs: Sequence[Dog]) -> Mapping[UUID, M]:
    """The latest living entry of this kind of each dog."""
    newest = model._default_manager.filter(dog=OuterRef("dog"), gone=False).order_by("-at", "-rid")
    entries = model._default_manager.filter(
        household_id=household_id,
        dog__in=[each.rid for each in dogs],
        rid=Subquery(newest.values("rid")[:1]),
    )
    return {entry.dog_id: entry for entry in entries}


def need_of(dog: Dog, weighing: Weighing | None, *, on: date, edition: str) -> Need:
    """What the dog needs on a day, by its latest weight and the limits of one edition.

    Raises Refusal for an edition that no table has.
    """
    limits = standard(edition, stage_of(dog, on=on))
    if weighing is None:
        return Need(dog, None, None, f"{dog.name} has no weight yet. Weigh the dog first.", limits)
    try:
        energy = requirement(
            weighing.mass_g / 1000,
            age_days=age_days(dog, on=on),
            adult_mass_kg=_adult_mass_kg(dog),
            neutered=dog.neutered,
            activity=dog.activity or None,
            vet_kcal_per_day=dog.energy_vet_kcal_per_day,
        )
    except NutritionError as problem:
        return Need(dog, weighing, None, problem.message, limits)
    return Need(dog, weighing, energy, "", limits)


def standard(edition: str, stage: str) -> Targets:
    """The limits of an edition for a stage of life.

    Raises Refusal, naming the editions there are.
    """
    try:
        return targets(edition, stage)
    except NutritionError as problem:
        fields = {name: [problem.message] for name in problem.fields}
        raise Refusal(problem.message, fields=fields) from None


def unit_of(nutrient: str) -> str:
    """The unit of a nutrient's amounts."""
    return load_nutrients()[nutrient].unit


def age_days(dog: Dog, *, on: date) -> float | None:
    """The age on a day [day]; None when nobody entered when the dog was born."""
    return None if dog.born_date is None else float(max(0, (on - dog.born_date).days))


def stage_of(dog: Dog, *, on: date) -> str:
    """The stage of life that chooses the standard; an unknown age counts as adult."""
    try:
        return life_stage(age_days(dog, on=on), adult_mass_kg=_adult_mass_kg(dog))
    except NutritionError:
        return ADULT


def _adult_mass_kg(dog: Dog) -> float | None:
    return None if dog.adult_weight_g is None else dog.adult_weight_g / 1000
