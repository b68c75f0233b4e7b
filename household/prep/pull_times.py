"""Packs that a member is to move from freezer to fridge, and by when."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from django.db.models import Count

from household.accounts.models import Member
from household.dogs.queries import fridge_c_of
from household.prep.models import Bag, Batch, Pull
from household.stores.masses import stock_words
from household.stores.models import Lot, Movement
from household.stores.queries import own_foods
from nutrition.errors import InputError, NutritionError
from nutrition.food import Food
from nutrition.tables import load
from nutrition.thaw import FRIDGE_C, Pack, in_fridge, rule_of_thumb_hours
from nutrition.thermal import Parts, parts_of

# The same assumptions as on the phone (screens/plan/pulls-physics.ts and domain/thaw-duty.ts).
UNKNOWN_FORM = "block"
USUAL_BAG = "flat_bag"
COLDEST_FRIDGE_C = 2.0
OPEN_STAGES = ("planned", "weighing")
PARTS = ("water", "protein", "fat", "carbohydrate", "ash")


@dataclass(frozen=True)
class ToPull:
    """Packs to move by a moment, so that they are thawed when they are needed."""

    rid: UUID
    title: str
    move_by: datetime
    note: str
    changed_at: datetime


@dataclass(frozen=True)
class _Thing:
    """A lot or a bag, as the thawing model and a person see it."""

    name: str
    form: str
    thickness_mm: float | None
    parts: Parts | None


def packs_to_pull(member: Member, *, start: datetime, end: datetime) -> list[ToPull]:
    """The member's pulls to be moved by a moment from start to end, and not all moved yet."""
    household_id = member.household_id
    pulls = list(Pull.living(household_id).filter(assignee=member.pk, needed_at__gte=start))
    if not pulls:
        return []
    moved = _moved(household_id, [pull.rid for pull in pulls])
    stages = dict(Batch.living(household_id).values_list("rid", "stage"))
    things = _things(household_id, [pull.of for pull in pulls])
    fridge_c = fridge_c_of(household_id) or COLDEST_FRIDGE_C
    open_pulls = [
        (pull, pull.packs - moved.get(pull.rid, 0))
        for pull in pulls
        if pull.batch is None or stages.get(pull.batch) in OPEN_STAGES
    ]
    found = [
        _to_pull(pull, packs, things.get(pull.of), fridge_c, units=member.units)
        for pull, packs in open_pulls
        if packs > 0
    ]
    return [each for each in found if start <= each.move_by < end]


def _to_pull(
    pull: Pull, packs: int, thing: _Thing | None, fridge_c: float, *, units: str
) -> ToPull:
    mass = stock_words(pull.pack_mass_g, units)
    amount = mass if packs == 1 else f"{packs} packs of {mass}"
    name = thing.name if thing else "what was taken out of the book"
    hours = _thaw_hours(pull.pack_mass_g, thing, fridge_c)
    return ToPull(
        rid=pull.rid,
        title=f"To the fridge: {name}, {amount}",
        move_by=_quarter_before(pull.needed_at - timedelta(hours=hours)),
        note=pull.note,
        changed_at=pull.op_at,
    )


def _quarter_before(instant: datetime) -> datetime:
    """The quarter of an hour before: nobody goes to the freezer by the second."""
    return instant.replace(minute=instant.minute // 15 * 15, second=0, microsecond=0)


def _thaw_hours(mass_g: float, thing: _Thing | None, fridge_c: float) -> float:
    """How long a pack is to be planned with [hour]; by the printed rule where the model refuses."""
    pack = Pack(
        mass_g,
        thing.form if thing else UNKNOWN_FORM,
        thing.thickness_mm if thing else None,
        thing.parts if thing else None,
    )
    try:
        return in_fridge(pack, fridge_c=min(fridge_c, FRIDGE_C[1])).plan_hours
    except NutritionError:
        return rule_of_thumb_hours(mass_g)[1]


def _moved(household_id: UUID, pulls: list[UUID]) -> Mapping[UUID, int]:
    """How many packs of each pull the ledger says were moved."""
    rows = Movement.living(household_id).filter(pull__in=pulls).order_by()
    counted = rows.values("pull").annotate(packs=Count("rid")).values_list("pull", "packs")
    return {pull: packs for pull, packs in counted if pull is not None}


def _things(household_id: UUID, rids: list[UUID]) -> dict[UUID, _Thing]:
    foods, tables = own_foods(household_id), load().foods
    found = {}
    for lot in Lot.living(household_id).filter(rid__in=rids):
        own = foods.get(lot.food)
        known = tables.get(own.copied_from if own and own.copied_from else lot.food)
        name = own.name if own else known.name if known else "a food that is not known"
        parts = _parts(known) if known else None
        found[lot.rid] = _Thing(name, lot.form or UNKNOWN_FORM, lot.thickness_mm, parts)
    for bag in Bag.living(household_id).filter(rid__in=rids).select_related("batch"):
        found[bag.rid] = _Thing(_batch_name(bag), bag.form or USUAL_BAG, bag.thickness_mm, None)
    return found


def _parts(food: Food) -> Parts | None:
    """What it is made of; None where no figure says, as of a salt with those of its metal only."""
    try:
        return parts_of({part: food.values.get(part) for part in PARTS})
    except InputError:
        return None


def _batch_name(bag: Bag) -> str:
    batch = bag.batch
    return batch.name or (f"Batch {batch.number}" if batch.number else "A batch")
