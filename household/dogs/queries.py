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
from household.dogs.models import Condition, Dog, Preference, Weighing
from household.sync.envelope import slot_id
from nutrition.energy import Requirement, life_stage, requirement
from nutrition.errors import NutritionError
from nutrition.nutrients import load_nutrients
from nutrition.own_targets import own_targets
from nutrition.reproduction import NOT_BREEDING, Reproduction, reproduction
from nutrition.standard_tables import Limits
from nutrition.standards import DEFAULT_EDITION, Targets, for_dog, targets

ADULT = "adult"
BREEDING = "reproduction"
YARDSTICK = DEFAULT_EDITION
"""The standard used unless the household has chosen another."""

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
    own: Targets | None
    """The targets of this dog by what it eats; None without an energy."""


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


def preference_id(household_id: UUID) -> UUID:
    """The one record of a household's choices, the same on every device."""
    return slot_id("preference", household_id)


def yardstick(household_id: UUID) -> str:
    """The edition the household has chosen, or the one in use until it does."""
    return yardsticks([household_id])[household_id]


def yardsticks(household_ids: Sequence[UUID]) -> dict[UUID, str]:
    """The edition of each household, in one query."""
    rids = {preference_id(each): each for each in household_ids}
    chosen = Preference._default_manager.filter(rid__in=rids, gone=False).exclude(standard="")
    # A record at another household's id chooses nothing there.
    own = {row.household_id: row.standard for row in chosen if rids[row.rid] == row.household_id}
    return {each: own.get(each, YARDSTICK) for each in household_ids}


def fridge_c_of(household_id: UUID) -> float | None:
    """How cold the household measured its fridge to be [degC]; None while nobody has."""
    chosen = Preference.living(household_id).filter(rid=preference_id(household_id)).first()
    return chosen.fridge_c if chosen else None


def need_of(dog: Dog, weighing: Weighing | None, *, on: date, edition: str) -> Need:
    """What the dog needs on a day, by its latest weight and the limits of one edition.

    Raises Refusal for an edition that no table has.
    """
    limits = standard(edition, dog, on=on)
    if weighing is None:
        why = f"{dog.name} has no weight yet. Weigh the dog first."
        return Need(dog, None, None, why, limits, None)
    mass_kg, adult_mass_kg = weighing.mass_g / 1000, _adult_mass_kg(dog)
    breeding = reproduction_of(dog, on=on)
    try:
        energy = requirement(
            mass_kg,
            age_days=age_days(dog, on=on),
            adult_mass_kg=adult_mass_kg,
            neutered=dog.neutered,
            activity=dog.activity or None,
            vet_kcal_per_day=dog.energy_vet_kcal_per_day,
            phase=breeding.phase,
            week=breeding.week,
            pups=breeding.pups,
        )
        own = for_dog(
            limits,
            energy_kcal=energy.energy_kcal,
            metabolic_mass_kg075=energy.metabolic_mass_kg075,
            grown_share=None if adult_mass_kg is None else mass_kg / adult_mass_kg,
        )
    except NutritionError as problem:
        return Need(dog, weighing, None, problem.message, limits, None)
    return Need(dog, weighing, energy, "", limits, own)


def targets_by_intake(need: Need, *, eaten_kcal_per_day: float | None) -> Targets:
    """The targets of a dog by what it ate on an average day, where that can be believed; else by
    what it needs, and the table's where that is not known either."""
    share = None
    adult_mass_kg = _adult_mass_kg(need.dog)
    if need.weighing is not None and adult_mass_kg is not None:
        share = need.weighing.mass_g / 1000 / adult_mass_kg
    return own_targets(
        need.targets, need.energy, eaten_kcal_per_day=eaten_kcal_per_day, grown_share=share
    )


def standard(edition: str, dog: Dog | None, *, on: date) -> Targets:
    """The limits of an edition for a dog on a day; for a grown one where none is named.

    Raises Refusal, naming the editions there are.
    """
    try:
        if dog is None:
            return targets(edition, ADULT)
        return targets(
            edition,
            stage_of(dog, on=on),
            adult_mass_kg=_adult_mass_kg(dog),
            age_days=age_days(dog, on=on),
        )
    except NutritionError as problem:
        fields = {name: [problem.message] for name in problem.fields}
        raise Refusal(problem.message, fields=fields) from None


def reproduction_of(dog: Dog, *, on: date) -> Reproduction:
    """Where a bitch stands between mating and weaning; nothing for any other dog."""
    if not dog.is_entire_female:
        return NOT_BREEDING

    def days_since(day: date | None) -> float | None:
        return None if day is None else float((on - day).days)

    return reproduction(
        days_since_mated=days_since(dog.reproduction_mated_on),
        days_since_whelped=days_since(dog.reproduction_whelped_on),
        days_since_weaned=days_since(dog.reproduction_weaned_on),
        pups=dog.reproduction_pups,
    )


def least(limits: Limits) -> float | None:
    """The recommended amount, or the minimal one where none is recommended."""
    return limits.minimum if limits.recommended is None else limits.recommended


def unit_of(nutrient: str) -> str:
    """The unit of a nutrient's amounts."""
    return load_nutrients()[nutrient].unit


def age_days(dog: Dog, *, on: date) -> float | None:
    """The age on a day [day]; None when nobody entered when the dog was born."""
    return None if dog.born_date is None else float(max(0, (on - dog.born_date).days))


def stage_of(dog: Dog, *, on: date) -> str:
    """The stage of life that chooses the standard; an unknown age counts as adult."""
    phase = reproduction_of(dog, on=on).phase
    if phase in ("gestation_late", "lactation"):
        return BREEDING
    try:
        return life_stage(age_days(dog, on=on), adult_mass_kg=_adult_mass_kg(dog))
    except NutritionError:
        return ADULT


def _adult_mass_kg(dog: Dog) -> float | None:
    return None if dog.adult_weight_g is None else dog.adult_weight_g / 1000
