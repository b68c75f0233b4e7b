"""Reads of meals: what each dog was offered, left and ate, and what that held."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db.models import Prefetch, QuerySet

from household.accounts.models import Household
from household.dogs.models import Dog, Weighing
from household.dogs.queries import need_of, targets_by_intake
from household.feeding.models import Meal, Serving
from household.prep.queries import batches_of_bags, contents, resolved
from household.stores.queries import foods_by_key
from nutrition.adequacy import Judgement, NotCompared, judge, not_compared, with_doubt
from nutrition.companions import for_diet
from nutrition.composition import Totals, totals
from nutrition.excess import Excess, excesses
from nutrition.ratios import RatioJudgement, judge_ratios, ratio_with_doubt
from nutrition.standards import Targets


@dataclass(frozen=True)
class Eaten:
    """One serving as eaten [g]. ``left_g`` is None when nothing was noted: then all of it counts as
    eaten and ``is_assumed`` says so."""

    serving: Serving
    day: date
    offered_g: float
    left_g: float | None

    @property
    def is_assumed(self) -> bool:
        return self.left_g is None

    @property
    def eaten_g(self) -> float:
        """Never below nothing, whatever two people noted at once."""
        return max(0.0, self.offered_g - (self.left_g or 0.0))


@dataclass(frozen=True)
class Intake:
    """What one dog ate from the first to the last day.

    ``foods`` are the grams eaten of each food, through bags and batches; ``unresolved_g`` were
    eaten of something whose foods nobody entered.
    """

    first: date
    last: date
    servings: Sequence[Eaten]
    foods: dict[str, float]
    unresolved_g: float

    @property
    def offered_g(self) -> float:
        return sum(each.offered_g for each in self.servings)

    @property
    def eaten_g(self) -> float:
        return sum(each.eaten_g for each in self.servings)

    @property
    def left_g(self) -> float:
        """What was noted as left; nothing is added for servings without a note."""
        return sum(each.left_g or 0.0 for each in self.servings)

    @property
    def assumed_share(self) -> float | None:
        """The part of the eaten mass [-] without a note; None when nothing was eaten."""
        eaten_g = self.eaten_g
        if not eaten_g:
            return None
        return sum(each.eaten_g for each in self.servings if each.is_assumed) / eaten_g

    @property
    def days_with_food(self) -> int:
        return len({each.day for each in self.servings})


@dataclass(frozen=True)
class WindowAdequacy:
    """A dog's intake over a window against one standard.

    ``targets`` are the dog's own, beside those of the ``table``. ``known_share`` [-] is the part of
    the eaten mass whose composition is known.
    """

    intake: Intake
    targets: Targets
    table: Targets
    totals: Totals
    known_share: float
    judgements: Sequence[Judgement]
    not_compared: Sequence[NotCompared]
    ratios: Sequence[RatioJudgement]
    excesses: Sequence[Excess]


def meals_between(household_id: UUID, first: date, last: date) -> QuerySet[Meal]:
    """The meals from the first to the last day in order, each with its living servings."""
    living = Serving.living(household_id).order_by("dog", "rid")
    return (
        Meal.living(household_id)
        .filter(day__range=(first, last))
        .order_by("day", "at", "rid")
        .prefetch_related(Prefetch("servings", queryset=living))
    )


def servings_of(household_id: UUID, dog: UUID, first: date, last: date) -> list[Eaten]:
    """What the dog was served from the first to the last day, in order."""
    servings = (
        Serving.living(household_id)
        .filter(dog=dog, meal__gone=False, meal__day__range=(first, last))
        .select_related("meal")
        .order_by("meal__day", "meal__at", "rid")
    )
    return [eaten(serving, serving.meal.day) for serving in servings]


def eaten(serving: Serving, day: date) -> Eaten:
    left_g = serving.left_g
    if left_g is None and serving.left_share is not None:
        left_g = serving.offered_g * serving.left_share
    return Eaten(serving, day, serving.offered_g, left_g)


def intake(household_id: UUID, dog: UUID, *, first: date, last: date) -> Intake:
    """What the dog ate in the window, down to single foods; a fixed number of queries."""
    servings = servings_of(household_id, dog, first, last)
    bags = batches_of_bags(
        household_id, [each.serving.what_bag for each in servings if each.serving.what_bag]
    )
    batch_of = {each.serving.rid: _batch(each.serving, bags) for each in servings}
    made = contents(household_id, [batch for batch in batch_of.values() if batch is not None])
    foods: dict[str, float] = defaultdict(float)
    unresolved_g = 0.0
    for each in servings:
        batch = batch_of[each.serving.rid]
        content = made.get(batch) if batch is not None else None
        if each.serving.what_food:
            parts = [(each.serving.what_food, each.eaten_g)]
        else:
            # What was only planned was not weighed: nobody knows what is in it.
            weighed = content is not None and content.basis == "weighed"
            parts = content.in_serving(each.eaten_g) if content is not None and weighed else []
        for food, mass_g in parts:
            foods[food] += mass_g
        if not parts:
            unresolved_g += each.eaten_g
    return Intake(first, last, servings, dict(foods), unresolved_g)


def adequacy(
    household_id: UUID, dog: Dog, *, last: date, days: int, edition: str
) -> WindowAdequacy:
    """The dog's intake over the days that end with ``last``, against the standard of its stage.

    Raises Refusal for an edition that no table has.
    """
    window = intake(household_id, dog.rid, first=last - timedelta(days=days - 1), last=last)
    known, unknown_g = resolved(sorted(window.foods.items()), foods_by_key(household_id))
    total = totals(known)
    unknown_g += window.unresolved_g
    whole_g = total.mass_g + unknown_g
    known_share = total.mass_g / whole_g if whole_g else 1.0
    need = need_of(dog, _weighed(household_id, dog, last), on=last, edition=edition)
    # What is only partly known, or one day alone, does not say how much the food must hold.
    days_fed = window.days_with_food if days > 1 and not unknown_g else 0
    eaten_kcal_per_day = total.energy_kcal / days_fed if days_fed else None
    limits = for_diet(targets_by_intake(need, eaten_kcal_per_day=eaten_kcal_per_day), total)
    return WindowAdequacy(
        intake=window,
        targets=limits,
        table=need.targets,
        totals=total,
        known_share=known_share,
        judgements=[with_doubt(each, known_share=known_share) for each in judge(total, limits)],
        not_compared=not_compared(total, limits),
        ratios=[
            ratio_with_doubt(each, known_share=known_share) for each in judge_ratios(total, limits)
        ],
        excesses=excesses(total, limits),
    )


def _weighed(household_id: UUID, dog: Dog, last: date) -> Weighing | None:
    """The latest weighing by the end of the day, where the household lives."""
    zone = ZoneInfo(Household.objects.values_list("time_zone", flat=True).get(pk=household_id))
    end = datetime.combine(last + timedelta(days=1), time(), tzinfo=zone)
    by_then = Weighing.living(household_id).filter(dog=dog.rid, at__lt=end)
    return by_then.order_by("-at", "-rid").first()


def _batch(serving: Serving, bags: dict[UUID, UUID]) -> UUID | None:
    return bags.get(serving.what_bag) if serving.what_bag else serving.what_batch
