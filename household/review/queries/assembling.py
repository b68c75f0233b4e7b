"""Turns the rows of one household into the plain values of its week."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import chain
from typing import TypeVar
from uuid import UUID
from zoneinfo import ZoneInfo

from household.accounts.models import Household
from household.dogs.models import Dog, Observation, Weighing
from household.feeding import models as feeding
from household.feeding.queries import eaten
from household.prep import models as prep
from household.prep.queries import content_of
from household.review.queries import records
from household.review.queries.weeks import Week, local_day, start_of, zone_of
from household.stores import models as stores
from household.stores.queries import as_food
from household.sync.envelope import SERVER

V = TypeVar("V")


@dataclass(frozen=True)
class Found:
    """The rows of a chunk of households, by household."""

    dogs: Mapping[UUID, Sequence[Dog]]
    weighings: Mapping[UUID, Sequence[Weighing]]
    observations: Mapping[UUID, Sequence[Observation]]
    servings: Mapping[UUID, Sequence[feeding.Serving]]
    mealtimes: Mapping[UUID, Sequence[feeding.Mealtime]]
    batches: Mapping[UUID, Sequence[prep.Batch]]
    weigh_ins: Mapping[UUID, Sequence[prep.WeighIn]]
    bags: Mapping[UUID, Sequence[prep.Bag]]
    foods: Mapping[UUID, Sequence[stores.Food]]
    editions: Mapping[UUID, str]


def household_week(household: Household, week: Week, found: Found) -> records.HouseholdWeek:
    """One household's week out of its chunk."""
    key, zone = household.pk, zone_of(household.time_zone)
    mealtimes = found.mealtimes.get(key, ())
    times = {m.rid: m.time.strftime("%H:%M") for m in mealtimes}
    servings = _by_dog((s.dog, _serving(s, times, zone)) for s in found.servings.get(key, ()))
    weighings = _by_dog((w.dog_id, _weighing(w, zone)) for w in found.weighings.get(key, ()))
    seen = _by_dog((o.dog_id, _observation(o, zone)) for o in found.observations.get(key, ()))
    everyone = {
        row.rid: records.DogRecords(
            dog=row,
            weighings=weighings[row.rid],
            observations=seen[row.rid],
            servings=servings[row.rid],
            meals_a_day=meals_a_day(row.rid, mealtimes),
            bcs=getattr(row, "last_bcs", None),
        )
        for row in found.dogs.get(key, ())
    }
    work = _work(key, week, zone, found)
    week_ends = start_of(week.next.monday, zone)
    return records.HouseholdWeek(
        household=str(key),
        edition=found.editions[key],
        week=week,
        dogs=[
            everyone[row.rid]
            for row in found.dogs.get(key, ())
            if has_records(everyone[row.rid], week)
            or (not row.is_archived and row.made_at < week_ends)
        ],
        kitchen=_kitchen(key, zone, found),
        work=work,
        is_kept=bool(work) or any(has_records(dog, week) for dog in everyone.values()),
    )


def has_records(dog: records.DogRecords, week: Week) -> bool:
    """Whether anything was written about this dog in the week."""
    days = chain(
        (s.day for s in dog.servings),
        (w.day for w in dog.weighings),
        (o.day for o in dog.observations),
    )
    return any(week.monday <= day <= week.sunday for day in days)


def _by_dog(pairs: Iterable[tuple[UUID, V]]) -> dict[UUID, list[V]]:
    groups: dict[UUID, list[V]] = defaultdict(list)
    for dog, value in pairs:
        groups[dog].append(value)
    return groups


def meals_a_day(dog: UUID, mealtimes: Sequence[feeding.Mealtime]) -> int:
    """How many mealtimes are for the dog; one that names no dog is for all of them.

    `mealsPerDay` on the phone counts them alike; fixtures/vectors/mealtimes.json proves it.
    """
    return sum(
        not mealtime.dogs or str(dog) in mealtime.dogs
        for mealtime in mealtimes
        if not mealtime.gone and not mealtime.archived
    )


def _weighing(row: Weighing, zone: ZoneInfo) -> records.Weighing:
    return records.Weighing(row.at, local_day(row.at, zone), row.mass_g, row.made_by)


def _observation(row: Observation, zone: ZoneInfo) -> records.Observation:
    return records.Observation(
        at=row.at,
        day=local_day(row.at, zone),
        topic=row.topic,
        word=row.word or None,
        flags=tuple(row.flags or ()),
        by=row.made_by,
    )


def _serving(row: feeding.Serving, times: Mapping[UUID, str], zone: ZoneInfo) -> records.Serving:
    meal = row.meal
    taken = eaten(row, meal.day)
    at_mealtime = times.get(meal.mealtime) if meal.mealtime else None
    return records.Serving(
        meal=str(meal.rid),
        day=meal.day,
        time=at_mealtime or meal.at.astimezone(zone).strftime("%H:%M"),
        offered_g=row.offered_g,
        eaten_g=taken.eaten_g,
        left_noted=not taken.is_assumed,
        appetite=row.appetite or None,
        by=meal.made_by,
        mealtime=str(meal.mealtime) if meal.mealtime else None,
        food=row.what_food or None,
        batch=str(row.what_batch) if row.what_batch else None,
        bag=str(row.what_bag) if row.what_bag else None,
    )


def _kitchen(key: UUID, zone: ZoneInfo, found: Found) -> records.Kitchen:
    weigh_ins: dict[UUID, list[prep.WeighIn]] = defaultdict(list)
    for weigh_in in found.weigh_ins.get(key, ()):
        weigh_ins[weigh_in.batch_id].append(weigh_in)
    foods = {str(row.rid): as_food(row) for row in found.foods.get(key, ())}
    return records.Kitchen(
        batches={
            str(row.rid): _batch(row, weigh_ins[row.rid], zone)
            for row in found.batches.get(key, ())
        },
        bag_batch={str(row.rid): str(row.batch_id) for row in found.bags.get(key, ())},
        foods={rid: food for rid, food in foods.items() if food is not None},
    )


def _batch(row: prep.Batch, weigh_ins: Sequence[prep.WeighIn], zone: ZoneInfo) -> records.Batch:
    content = content_of(row, weigh_ins)
    is_weighed = content.basis == "weighed"
    return records.Batch(
        rid=str(row.rid),
        number=row.number,
        method=row.method,
        made_day=local_day(row.prepared_at, zone) if row.prepared_at else None,
        made_at=row.prepared_at,
        made_g=(content.made_g or None) if is_weighed else row.yield_g,
        # What was only planned was not weighed: nobody knows what is in it.
        parts=content.parts if is_weighed else (),
        is_gone=row.gone,
    )


def _work(key: UUID, week: Week, zone: ZoneInfo, found: Found) -> dict[str, records.Work]:
    """What each member wrote down that week; counts of jobs, never a score."""

    def is_in(day: date) -> bool:
        return week.monday <= day <= week.sunday

    jobs: dict[str, Counter[str]] = defaultdict(Counter)
    meals = {s.meal_id: s.meal for s in found.servings.get(key, ()) if is_in(s.meal.day)}
    for meal in meals.values():
        jobs[meal.made_by]["fed"] += 1
    for batch in found.batches.get(key, ()):
        if not batch.gone and batch.prepared_at and is_in(local_day(batch.prepared_at, zone)):
            jobs[_maker(batch, found.weigh_ins.get(key, ()))]["batches"] += 1
    for bag in found.bags.get(key, ()):
        if not bag.gone and is_in(local_day(bag.packed_at, zone)):
            jobs[bag.made_by]["bags"] += 1
    for weighing in found.weighings.get(key, ()):
        if is_in(local_day(weighing.at, zone)):
            jobs[weighing.made_by]["weighings"] += 1
    for seen in found.observations.get(key, ()):
        if is_in(local_day(seen.at, zone)):
            jobs[seen.made_by]["notes"] += 1
    return {by: records.Work(**done) for by, done in sorted(jobs.items()) if by != SERVER}


def _maker(batch: prep.Batch, weigh_ins: Sequence[prep.WeighIn]) -> str:
    """Who weighed most of a batch in; the one who planned it when nothing was weighed."""
    hands = Counter(w.made_by for w in weigh_ins if w.batch_id == batch.rid)
    return hands.most_common(1)[0][0] if hands else batch.made_by
