"""What the review reads, as plain values: the sums need no database."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime

from household.dogs.models import Dog
from household.review.queries.weeks import Week
from nutrition.composition import Food


@dataclass(frozen=True)
class Weighing:
    at: datetime
    day: date
    mass_g: float
    by: str


@dataclass(frozen=True)
class Observation:
    at: datetime
    day: date
    topic: str
    word: str | None
    flags: tuple[str, ...]
    by: str


@dataclass(frozen=True)
class Serving:
    """One dog's part of a meal. Exactly one of food, batch and bag says what it was."""

    meal: str
    day: date
    time: str
    offered_g: float
    eaten_g: float
    # False when nothing was noted about left-overs: then all counts as eaten, and is reported so.
    left_noted: bool
    appetite: str | None
    by: str
    # None for an extra, which is no meal that a day must have.
    mealtime: str | None = None
    food: str | None = None
    batch: str | None = None
    bag: str | None = None


@dataclass(frozen=True)
class Batch:
    """Food made together: the foods that went in, and the mass of what came out [g]."""

    rid: str
    number: int | None
    method: str
    made_day: date | None
    made_at: datetime | None
    made_g: float | None
    parts: tuple[tuple[str, float], ...]
    # Deleted, but something was eaten from it: its composition counts, the batch is not listed.
    is_gone: bool = False


@dataclass(frozen=True)
class Work:
    """What one person wrote down in the week."""

    fed: int = 0
    batches: int = 0
    bags: int = 0
    weighings: int = 0
    notes: int = 0


@dataclass(frozen=True)
class Kitchen:
    """What servings are made of: batches, bags (each of a batch) and own foods, by rid."""

    batches: Mapping[str, Batch] = field(default_factory=dict)
    bag_batch: Mapping[str, str] = field(default_factory=dict)
    foods: Mapping[str, Food] = field(default_factory=dict)


@dataclass(frozen=True)
class DogRecords:
    """What a summary reads about one dog, oldest first: the week and the time before it."""

    dog: Dog
    weighings: Sequence[Weighing] = ()
    observations: Sequence[Observation] = ()
    servings: Sequence[Serving] = ()
    # How many mealtimes include this dog; a day with fewer of them written down is not a whole day.
    # 0 where the household keeps none: then any meal makes a day.
    meals_a_day: int = 0
    # The last body condition score known by the end of the week.
    bcs: int | None = None


@dataclass(frozen=True)
class HouseholdWeek:
    """One household's week, loaded."""

    household: str
    week: Week
    edition: str
    dogs: Sequence[DogRecords]
    kitchen: Kitchen
    work: Mapping[str, Work]
    # Set when anything at all was written about the week; an empty week is not summed up.
    is_kept: bool = True
