"""Reads a week of some households, in a fixed number of SQL queries.

Each query takes a chunk of households at once. Days are local to a household, so instants are read
with a day to spare at both ends and sorted into days here.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from datetime import UTC, datetime, time, timedelta
from typing import TypeVar
from uuid import UUID

from django.db.models import Case, DateTimeField, OuterRef, Q, QuerySet, Subquery, Value, When

from household.accounts.models import Household
from household.dogs import models as dogs
from household.dogs.queries import yardsticks
from household.feeding import models as feeding
from household.prep import models as prep
from household.review.queries.appetite import BASELINE_DAYS
from household.review.queries.assembling import Found, household_week
from household.review.queries.records import HouseholdWeek
from household.review.queries.weeks import Week, start_of, zone_of
from household.review.queries.weight import POINTS_DAYS
from household.stores import models as stores
from household.sync.models import Projected

HISTORY_DAYS = max(BASELINE_DAYS, POINTS_DAYS)  # [day] before the week, for what looks back.
SPARE = timedelta(days=1)  # Any zone's day lies within one day of the UTC day of that date.


R = TypeVar("R", bound=Projected)


def load_week(household: Household, week: Week) -> HouseholdWeek:
    """One household's week and what came before it."""
    return next(load_weeks([household], week))


def load_weeks(households: Sequence[Household], week: Week) -> Iterator[HouseholdWeek]:
    """The same week of a chunk of households; the caller keeps the chunk small."""
    found = read_rows(households, week)
    for household in households:
        yield household_week(household, week, found)


def read_rows(households: Sequence[Household], week: Week) -> Found:
    """The rows that the same week of a chunk of households is made of."""
    ids = [household.pk for household in households]
    start = datetime.combine(week.monday, time.min, tzinfo=UTC) - SPARE
    end = datetime.combine(week.next.monday, time.min, tzinfo=UTC) + SPARE
    history = timedelta(days=HISTORY_DAYS)
    servings = feeding.Serving.objects.filter(
        household__in=ids,
        gone=False,
        meal__gone=False,
        meal__day__range=(week.monday - history, week.sunday),
    )
    batches = list(_batches(ids, servings, start, end))
    weigh_ins = prep.WeighIn.objects.filter(gone=False, batch__in=[batch.rid for batch in batches])
    served_bags = Q(rid__in=servings.filter(what_bag__isnull=False).values("what_bag"))
    found_dogs = list(_dogs(households, week, start - history))
    older = [rid for dog in found_dogs if (rid := getattr(dog, "older_rid", None))]
    weighings = dogs.Weighing.objects.filter(
        Q(at__range=(start - history, end)) | Q(rid__in=older), household__in=ids, gone=False
    )
    # What happens in a night reaches back to the day before the week.
    observations = dogs.Observation.objects.filter(
        household__in=ids, gone=False, at__range=(start - timedelta(days=1), end)
    )
    return Found(
        dogs=_grouped(found_dogs),
        weighings=_grouped(weighings.order_by("at", "rid")),
        observations=_grouped(observations.order_by("at", "rid")),
        servings=_grouped(servings.select_related("meal")),
        mealtimes=_grouped(feeding.Mealtime.objects.filter(household__in=ids)),
        batches=_grouped(batches),
        weigh_ins=_grouped(weigh_ins.order_by("at", "rid")),
        bags=_grouped(
            prep.Bag.objects.filter(
                served_bags | Q(packed_at__range=(start, end)), household__in=ids
            )
        ),
        foods=_grouped(stores.Food.objects.filter(household__in=ids)),
        editions=yardsticks(ids),
    )


def _dogs(households: Sequence[Household], week: Week, before: datetime) -> QuerySet[dogs.Dog]:
    """The dogs with the last weight from before the history, and the last body condition score of
    the week or before it."""
    weighed = dogs.Weighing.objects.filter(dog=OuterRef("pk"), gone=False, at__lt=before)
    judged = dogs.Condition.objects.filter(
        dog=OuterRef("pk"), gone=False, at__lt=OuterRef("week_ends"), bcs__isnull=False
    )
    ends = [
        When(household=each.pk, then=Value(start_of(week.next.monday, zone_of(each.time_zone))))
        for each in households
    ]
    return (
        dogs.Dog.objects.filter(household__in=[each.pk for each in households], gone=False)
        .annotate(week_ends=Case(*ends, output_field=DateTimeField()))
        .annotate(
            older_rid=Subquery(weighed.order_by("-at", "-rid").values("rid")[:1]),
            last_bcs=Subquery(judged.order_by("-at", "-rid").values("bcs")[:1]),
        )
        .order_by("name", "rid")
    )


def _batches(
    ids: Sequence[UUID], servings: QuerySet[feeding.Serving], start: datetime, end: datetime
) -> QuerySet[prep.Batch]:
    """What was made in the week, and what was eaten from; deleted ones too if something was."""
    bags = prep.Bag.objects.filter(rid__in=servings.exclude(what_bag=None).values("what_bag"))
    return prep.Batch.objects.filter(
        Q(rid__in=servings.exclude(what_batch=None).values("what_batch"))
        | Q(rid__in=bags.values("batch"))
        | Q(prepared_at__range=(start, end)),
        household__in=ids,
    )


def _grouped(rows: Iterable[R]) -> dict[UUID, list[R]]:
    groups: dict[UUID, list[R]] = defaultdict(list)
    for row in rows:
        groups[row.household_id].append(row)
    return groups
