"""Reads of batches: what is in them, what is left in their bags, how good they are."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal, TypeVar
from uuid import UUID

from django.db.models import F, QuerySet

from household.accounts.models import Member
from household.accounts.queries import token_hash
from household.dogs.models import Dog
from household.dogs.queries import standard
from household.prep.models import Bag, Batch, CalendarAddress, WeighIn
from household.stores.ledger import Stock
from household.stores.queries import foods_by_key, stocks
from household.sync.vocabulary import PLANNERS
from nutrition.adequacy import Judgement, NotCompared, judge, not_compared, with_doubt
from nutrition.companions import for_diet
from nutrition.composition import Food, Totals, totals
from nutrition.excess import Excess, excesses
from nutrition.ratios import RatioJudgement, judge_ratios, ratio_with_doubt
from nutrition.standards import Targets

R = TypeVar("R", WeighIn, Bag)
Basis = Literal["weighed", "planned", "unknown"]


@dataclass(frozen=True)
class Content:
    """What went into a batch. ``made_g`` is what came out [g]: weighed, else what went in."""

    parts: tuple[tuple[str, float], ...]
    made_g: float
    basis: Basis

    @property
    def put_in_g(self) -> float:
        return sum(mass_g for _, mass_g in self.parts)

    def in_serving(self, eaten_g: float) -> list[tuple[str, float]]:
        """The foods in so much of the finished batch [g each]; cooking drives off water, so they
        may weigh more than the serving."""
        if self.made_g <= 0:
            return []
        return [(food, mass_g * eaten_g / self.made_g) for food, mass_g in self.parts]


UNKNOWN = Content((), 0.0, "unknown")


@dataclass(frozen=True)
class BatchNow:
    """A batch with its content, its weigh-ins and its bags with what is left in them."""

    batch: Batch
    content: Content
    weigh_ins: Sequence[WeighIn]
    bags: Sequence[tuple[Bag, Stock]]


@dataclass(frozen=True)
class StageJudgement:
    """A batch against the standard of one stage of life, and the dogs of that stage it is for."""

    targets: Targets
    dogs: tuple[UUID, ...]
    judgements: Sequence[Judgement]
    not_compared: Sequence[NotCompared]
    ratios: Sequence[RatioJudgement]
    excesses: Sequence[Excess]


@dataclass(frozen=True)
class BatchAdequacy:
    """How a batch compares with what its dogs need; ``unresolved_g`` [g] has no composition."""

    content: Content
    totals: Totals
    unresolved_g: float
    stages: Sequence[StageJudgement]


def batches_of(household_id: UUID) -> QuerySet[Batch]:
    """The household's batches, newest first."""
    return Batch.living(household_id).order_by("-planned_for", "-made_at", "rid")


def batch(household_id: UUID, rid: UUID) -> Batch | None:
    return Batch.living(household_id).filter(rid=rid).first()


def batches_now(household_id: UUID, batches: Sequence[Batch]) -> list[BatchNow]:
    """The batches with all that belongs to them, in a fixed number of queries."""
    ids = [each.rid for each in batches]
    weigh_ins = _by_batch(WeighIn.living(household_id).filter(batch__in=ids).order_by("at", "rid"))
    bags = _by_batch(Bag.living(household_id).filter(batch__in=ids).order_by("packed_at", "rid"))
    held = stocks(household_id, [bag.rid for group in bags.values() for bag in group])
    return [
        BatchNow(
            each,
            content_of(each, weigh_ins[each.rid]),
            weigh_ins[each.rid],
            [(bag, held[bag.rid]) for bag in bags[each.rid]],
        )
        for each in batches
    ]


def contents(household_id: UUID, rids: Iterable[UUID]) -> dict[UUID, Content]:
    """What is in each of these batches. Deleted batches too: an old meal may name one."""
    batches = Batch._default_manager.filter(household_id=household_id, rid__in=set(rids))
    found = list(batches)
    weigh_ins = _by_batch(
        WeighIn.living(household_id)
        .filter(batch__in=[each.rid for each in found])
        .order_by("at", "rid")
    )
    return {each.rid: content_of(each, weigh_ins[each.rid]) for each in found}


def batches_of_bags(household_id: UUID, bags: Iterable[UUID]) -> dict[UUID, UUID]:
    """The batch each of these bags was filled from; deleted bags too."""
    found = Bag._default_manager.filter(household_id=household_id, rid__in=set(bags))
    return dict(found.values_list("rid", "batch_id"))


def content_of(batch: Batch, weigh_ins: Sequence[WeighIn]) -> Content:
    """By what was weighed in; before anything was, by the plan."""
    parts = tuple((each.food, each.mass_g) for each in weigh_ins)
    basis: Basis = "weighed"
    if not parts:
        parts = tuple((line["food"], float(line["mass_g"])) for line in batch.plan or ())
        basis = "planned" if parts else "unknown"
    made_g = float(batch.yield_g or 0) or sum(mass_g for _, mass_g in parts)
    return Content(parts, made_g, basis)


def resolved(
    parts: Iterable[tuple[str, float]], foods: Mapping[str, Food]
) -> tuple[list[tuple[Food, float]], float]:
    """The parts whose food is known, and the grams of the rest."""
    known: list[tuple[Food, float]] = []
    unknown_g = 0.0
    for key, mass_g in parts:
        if key in foods:
            known.append((foods[key], mass_g))
        else:
            unknown_g += mass_g
    return known, unknown_g


def adequacy(household_id: UUID, batch: Batch, *, on: date, edition: str) -> BatchAdequacy:
    """The batch against the needs of each stage among its dogs (adult without dogs).

    Raises Refusal for an edition that no table has.
    """
    content = contents(household_id, [batch.rid])[batch.rid]
    known, unresolved_g = resolved(content.parts, foods_by_key(household_id))
    total = totals(known)
    dogs = Dog.living(household_id).filter(rid__in=batch.dogs or [])
    # Small and large breeds of one stage may stand in different columns of an edition.
    columns: dict[tuple[str, str], tuple[Targets, list[UUID]]] = {}
    for dog in dogs.order_by("name", "rid"):
        limits = standard(edition, dog, on=on)
        columns.setdefault((limits.stage, limits.variant), (limits, []))[1].append(dog.rid)
    if not columns:
        grown = standard(edition, None, on=on)
        columns[grown.stage, grown.variant] = (grown, [])
    return BatchAdequacy(
        content=content,
        totals=total,
        unresolved_g=unresolved_g,
        stages=[
            _judged(total, limits, eaters, unresolved_g)
            for _, (limits, eaters) in sorted(columns.items(), key=lambda column: column[0])
        ],
    )


def _judged(
    total: Totals, limits: Targets, dogs: Sequence[UUID], unresolved_g: float
) -> StageJudgement:
    limits = for_diet(limits, total)
    whole_g = total.mass_g + unresolved_g
    known_share = total.mass_g / whole_g if whole_g else 1.0
    return StageJudgement(
        targets=limits,
        dogs=tuple(dogs),
        judgements=[with_doubt(each, known_share=known_share) for each in judge(total, limits)],
        not_compared=not_compared(total, limits),
        ratios=[
            ratio_with_doubt(each, known_share=known_share) for each in judge_ratios(total, limits)
        ],
        excesses=excesses(total, limits),
    )


def address_of(member: Member) -> CalendarAddress | None:
    """The address of the member's calendar, if there is one."""
    return _addresses().filter(member=member).first()


def calendar_member(token: str) -> Member | None:
    """Whose calendar this token opens: somebody who still belongs here and may see duties."""
    address = (
        _addresses()
        .select_related("member__household", "member__user")
        .filter(
            token_sha256=token_hash(token),
            member__removed_at=None,
            member__role__in=PLANNERS,
            member__user__is_active=True,
        )
        .first()
    )
    return address.member if address else None


def _addresses() -> QuerySet[CalendarAddress]:
    """Those of members who never left since; who is invited again makes a new one."""
    return CalendarAddress.objects.exclude(member__invitations_used__used_at__gt=F("made_at"))


def _by_batch(rows: Iterable[R]) -> dict[UUID, list[R]]:
    groups: dict[UUID, list[R]] = defaultdict(list)
    for row in rows:
        groups[row.batch_id].append(row)
    return groups
