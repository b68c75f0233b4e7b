"""One dog's week as the body of a summary: plain values in, plain values out."""

from collections.abc import Mapping
from datetime import UTC, datetime
from typing import Any, TypedDict

from household.dogs.queries import ADULT, BREEDING, stage_of
from household.review.queries.alerts import Alert, alerts
from household.review.queries.appetite import AppetitePart, appetite_part
from household.review.queries.intake import EnergyPart, energy_part
from household.review.queries.needs import (
    AdequacyPart,
    WindowIntake,
    adequacy_part,
    intakes,
    requirement_of,
)
from household.review.queries.pantry import Pantry
from household.review.queries.records import DogRecords, HouseholdWeek, Work
from household.review.queries.stool import StoolPart, stool_part
from household.review.queries.weight import WeightPart, latest_mass_g, weight_part

MARK_OF_TIME = "generated_at"  # The one part that says nothing about the dog.


class BatchPart(TypedDict):
    rid: str
    number: int | None
    method: str
    mass_g: float | None
    made_at: str | None


class WorkPart(TypedDict):
    fed: int
    batches: int
    bags: int
    weighings: int
    notes: int


# "from" is a keyword, so this one is declared by calling.
SummaryBody = TypedDict(
    "SummaryBody",
    {
        "week": str,
        "from": str,
        "to": str,
        "dog": str,
        "generated_at": str,
        "weight": WeightPart,
        "energy": EnergyPart,
        "appetite": AppetitePart,
        "stool": StoolPart,
        "adequacy": AdequacyPart,
        "batches": list[BatchPart],
        "work": dict[str, WorkPart],
        "alerts": list[Alert],
    },
)


def summary_bodies(household_week: HouseholdWeek, *, now: datetime) -> dict[str, SummaryBody]:
    """The summary of each dog's week, by dog."""
    pantry = Pantry(household_week.kitchen)
    eaten = intakes(household_week.dogs, household_week.week, pantry)
    return {
        str(records.dog.rid): summary_body(
            records, household_week, pantry, eaten[records.dog.rid], now=now
        )
        for records in household_week.dogs
    }


def summary_body(
    records: DogRecords,
    household_week: HouseholdWeek,
    pantry: Pantry,
    eaten: WindowIntake,
    *,
    now: datetime,
) -> SummaryBody:
    """The summary of one dog's week."""
    week, dog = household_week.week, records.dog
    mass_g = latest_mass_g(records.weighings, week)
    need = requirement_of(dog, mass_g, week.sunday)
    return {
        "week": str(week),
        "from": week.monday.isoformat(),
        "to": week.sunday.isoformat(),
        "dog": str(dog.rid),
        "generated_at": iso(now),
        "weight": weight_part(
            records.weighings,
            week,
            # A bitch in whelp gains too; that is not growth.
            is_growing=stage_of(dog, on=week.sunday) not in (ADULT, BREEDING),
        ),
        "energy": energy_part(records, week, pantry, need),
        "appetite": appetite_part(records.servings, week),
        "stool": stool_part(records.observations, week),
        "adequacy": adequacy_part(eaten, dog, mass_g, week, edition=household_week.edition),
        "batches": _batches(household_week),
        "work": {by: _work(done) for by, done in household_week.work.items()},
        "alerts": alerts(records, week, pantry, need.resting_kcal if need else None),
    }


def _batches(household_week: HouseholdWeek) -> list[BatchPart]:
    week = household_week.week
    made = [
        (batch.made_at, batch)
        for batch in household_week.kitchen.batches.values()
        if batch.made_at is not None
        and batch.made_day is not None
        and not batch.is_gone
        and week.monday <= batch.made_day <= week.sunday
    ]
    return [
        {
            "rid": batch.rid,
            "number": batch.number,
            "method": batch.method,
            "mass_g": batch.made_g,
            "made_at": iso(at),
        }
        for at, batch in sorted(made, key=lambda pair: (pair[0], pair[1].rid))
    ]


def _work(done: Work) -> WorkPart:
    return {
        "fed": done.fed,
        "batches": done.batches,
        "bags": done.bags,
        "weighings": done.weighings,
        "notes": done.notes,
    }


def iso(at: datetime) -> str:
    """An instant as records carry it, to the second."""
    return at.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def says_the_same(one: Mapping[str, Any] | None, other: Mapping[str, Any]) -> bool:
    """Whether two bodies differ in nothing but the time they were made."""
    if one is None:
        return False
    return {**one, MARK_OF_TIME: None} == {**other, MARK_OF_TIME: None}
