"""Reads of what is in store."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from functools import cache
from typing import Any
from uuid import UUID

from household.stores.ledger import LedgerCount, LedgerMovement, Stock, stock_of
from household.stores.models import Count, Food, Lot, Movement
from household.sync.models import Record
from nutrition import composition
from nutrition.cut_parts import load_cut_parts
from nutrition.errors import NutritionError
from nutrition.own_foods import composed, own_food_from
from nutrition.search import Entry, group_words, search
from nutrition.tables import as_json_text, load, version


def stocks(household_id: UUID, owners: Iterable[UUID]) -> dict[UUID, Stock]:
    """The stock of each of these lots or bags [g]; nothing entered is a stock of nothing."""
    owners = list(owners)
    movements: dict[UUID, list[LedgerMovement]] = defaultdict(list)
    for rid, of, what, mass_g in (
        Movement.living(household_id)
        .filter(of__in=owners)
        .values_list("rid", "of", "what", "mass_g")
    ):
        movements[of].append(LedgerMovement(rid, what, mass_g))
    counts: dict[UUID, list[LedgerCount]] = defaultdict(list)
    for count in Count.living(household_id).filter(of__in=owners):
        knew = frozenset(UUID(rid) for rid in count.knew)
        counts[count.of].append(LedgerCount(count.rid, count.counted_g, knew, count.at))
    packed = _packed_g(household_id, owners)
    return {
        owner: stock_of(movements[owner], counts[owner], packed_g=packed.get(owner, 0))
        for owner in owners
    }


def _packed_g(household_id: UUID, owners: Sequence[UUID]) -> dict[UUID, int]:
    """What those owners that are bags held when packed [g].

    Bags belong to a higher app, so they are read as plain records here.
    """
    records = Record.objects.filter(household_id=household_id, rid__in=owners, entity="bag")
    values = {record.rid: record.row["values"] for record in records}
    return {rid: int(bag["mass_g"] * bag["count"]) for rid, bag in values.items()}


def ledger_flags(household_id: UUID, owners: Sequence[UUID]) -> Mapping[UUID, set[str]]:
    """The flags that lots and bags carry because of their ledger; asked for by sync."""
    return {owner: stock.flags for owner, stock in stocks(household_id, owners).items()}


def lots_in_store(household_id: UUID) -> list[tuple[Lot, Stock]]:
    """Every living lot with its stock, oldest first (frozen, else bought, else entered)."""
    lots = list(Lot.living(household_id))
    held = stocks(household_id, [lot.rid for lot in lots])
    lots.sort(key=lambda lot: (lot.frozen_on or lot.bought_on or lot.made_at.date(), lot.rid))
    return [(lot, held[lot.rid]) for lot in lots]


def own_foods(household_id: UUID) -> dict[str, Food]:
    """The household's own foods by the key a lot, a plan or a serving names them with; deleted ones
    too, since an old meal may name one."""
    return {str(food.rid): food for food in Food._default_manager.filter(household_id=household_id)}


def foods_by_key(household_id: UUID) -> Mapping[str, composition.Food]:
    """The composition of every food a record may name: the tables' and the household's own.

    An own food of which too little is known for its energy is not among them.
    """
    own = {key: as_food(food) for key, food in own_foods(household_id).items()}
    return {**load().foods, **{key: food for key, food in own.items() if food is not None}}


def foods_called(typed: str, limit: int) -> list[tuple[composition.Food, str, str]]:
    """The tables' foods that answer to what was typed, best first: with group, and how."""
    tables = load()
    found = search(_search_entries(), typed)[:limit]
    foods = [tables.foods[each.key] for each in found]
    return [
        (food, tables.groups.get(food.group, food.group), each.how)
        for food, each in zip(foods, found, strict=True)
    ]


@cache
def _search_entries() -> tuple[Entry, ...]:
    tables = load()
    return tuple(
        Entry(
            key=food.key,
            name=food.name,
            also=food.also,
            group=group_words(food.group, tables.groups.get(food.group, food.group)),
        )
        for food in tables.foods.values()
    )


def published_tables() -> tuple[str, str]:
    """The published tables as the phone keeps them: the version of their content, and the JSON."""
    return version(), as_json_text()


def as_food(food: Food) -> composition.Food | None:
    """The composition of an own food; None while too little of it is known, or it contradicts
    itself."""
    try:
        return composed(
            own_food_from(_registers(food), key=str(food.rid)),
            foods=load().foods,
            cut_parts=load_cut_parts(),
        )
    except NutritionError:
        return None


def _registers(food: Food) -> dict[str, Any]:
    """The values of a food as its registers hold them."""
    label = None
    if food.label_protein_pct is not None and food.label_fat_pct is not None:
        label = {
            "protein_pct": food.label_protein_pct,
            "fat_pct": food.label_fat_pct,
            "fibre_pct": food.label_fibre_pct,
            "moisture_pct": food.label_moisture_pct,
            "ash_pct": food.label_ash_pct,
            "means": food.label_means or None,
            "basis": food.label_basis or None,
        }
    serving = None
    if food.serving_mass_g is not None:
        serving = {
            "unit": food.serving_unit,
            "mass_g": food.serving_mass_g,
            "count": food.serving_count,
        }
    return {
        "name": food.name,
        "style": food.style,
        "label": label,
        "energy_kcal_per_100g": food.energy_kcal_per_100g,
        "nutrients_per_100g": food.nutrients_per_100g,
        "lines": food.lines,
        "serving": serving,
        "copied_from": food.copied_from,
        "bone_share_pct": food.bone_share_pct,
    }
