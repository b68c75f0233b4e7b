"""Foods and the ceilings of their groups from their files."""

from collections.abc import Mapping
from dataclasses import replace
from math import inf
from pathlib import Path

from nutrition.amounts import (
    HIGHEST,
    LOWEST,
    VALUE,
    AmountsRead,
    FoodFiles,
    check_ranges,
    read_amounts,
)
from nutrition.donors import estimate, lend
from nutrition.food import Food, with_sums
from nutrition.food_energy import atwater_kcal_per_100g
from nutrition.nutrients import PARTS, SUMS, Nutrient
from nutrition.rows import (
    PROVENANCE,
    VERIFIED,
    Problems,
    Row,
    check_provenance,
    converted,
    one_of,
    read_rows,
)
from nutrition.sources import Source

FOOD_LIST = "foods/list-1.csv"
# Earlier files win nothing: a later file may fill an empty figure but never change one, except
# that SR Legacy is USDA's own revision of release 28 and replaces what it prints anew.
FOOD_FILES = (
    "foods/usda-sr28-meat.csv",
    "foods/usda-sr28-organs.csv",
    "foods/usda-sr28-fish.csv",
    "foods/usda-sr28-dairy-eggs.csv",
    "foods/usda-sr28-plants.csv",
    "foods/usda-sr28-fats-other.csv",
    "foods/usda-sr-legacy.csv",
    "foods/usda-foundation.csv",
    "foods/anses-ciqual-2020.csv",
    "foods/spitze-2003.csv",
    "foods/other-1.csv",
    "foods/ranges-1.csv",
)
LIST_COLUMNS = (
    "key",
    "name",
    "group",
    "style",
    "keeping_class",
    "energy_method",
    "listed_kcal",
    "source",
    "locator",
    "verified",
)
STYLES = ("raw", "cooked", "dry")


def read_uppers(
    nutrients: Mapping[str, Nutrient],
    groups: Mapping[str, str],
    sources: Mapping[str, Source],
    problems: Problems,
    *,
    root: Path,
) -> dict[str, dict[str, float]]:
    """Return the highest published amount per group and nutrient [nutrient unit/100 g]."""
    rows = read_rows(
        "uppers/usda-sr28.csv",
        columns=("group", "key", "value", "unit", "basis", *PROVENANCE),
        problems=problems,
        unique=("group", "key"),
        root=root,
    )
    found: dict[str, dict[str, float]] = {group: {} for group in groups}
    for row in rows:
        check_provenance(row, sources, problems)
        known_group = one_of(row, "group", groups, problems)
        if known_group and one_of(row, "key", nutrients, problems):
            unit = nutrients[row["key"]].unit
            amount = converted(row, problems, to_unit=unit, nutrient=row["key"])
            if amount is not None:
                found[row["group"]][row["key"]] = amount
    for upper in found.values():
        for pair, parts in SUMS.items():
            if all(part in upper for part in parts):
                upper[pair] = sum(upper[part] for part in parts)
    return found


def read_foods(files: FoodFiles) -> dict[str, Food]:
    """Return the foods of the list with their amounts, by key."""
    amounts = read_amounts(files, FOOD_FILES)
    rows = read_rows(
        FOOD_LIST,
        columns=LIST_COLUMNS,
        problems=files.problems,
        unique=("key",),
        root=files.root,
    )
    files.records.update({row["key"]: (row["source"], row["locator"]) for row in rows})
    lend(amounts, files)
    estimate(amounts, rows, files)
    foods = {}
    for row in rows:
        food = _food(row, amounts.get(row["key"], AmountsRead()), files)
        if food:
            foods[food.key] = food
    for stray in amounts.keys() - {row["key"] for row in rows}:
        given = next(iter(amounts[stray].rows.values()))
        files.problems.add(given, f"{stray} has amounts but is not in {FOOD_LIST}; add it.")
    return foods


def _food(row: Row, amounts: AmountsRead, files: FoodFiles) -> Food | None:
    one_of(row, "style", STYLES, files.problems)
    one_of(row, "energy_method", ("atwater",), files.problems)
    one_of(row, "verified", VERIFIED, files.problems)
    if row["source"] not in files.sources:
        files.problems.add(row, f"source {row['source']!r} is not in sources.csv; add it there.")
    if not row["locator"]:
        files.problems.add(row, "locator is empty; say which record the food is.")
    if not one_of(row, "group", files.groups, files.problems):
        return None
    food = built(row, row["group"], amounts, files)
    record = {"source": row["source"], "locator": row["locator"]}
    return food and replace(
        food,
        verified=row["verified"],
        provenance=amounts.provenance((VALUE,), **record),
        range_provenance=amounts.provenance((LOWEST, HIGHEST), **record),
    )


def _bound_by_whole(amounts: AmountsRead, upper: Mapping[str, float]) -> None:
    """Bound an unknown amino or fatty acid by the protein or fat it would be a part of."""
    for whole, parts in PARTS.items():
        most = amounts.high.get(whole, amounts.values[whole])
        for part in parts:
            if part in amounts.values or part in amounts.high:
                continue
            if most < upper.get(part, inf):
                amounts.high[part] = most


def built(row: Row, group: str, amounts: AmountsRead, files: FoodFiles) -> Food | None:
    """Return a food of these amounts, None (and a problem) when its energy cannot be known."""
    key = row.cells.get("key", "")
    missing = [name for name in ("protein", "fat", "carbohydrate") if name not in amounts.values]
    if missing:
        files.problems.add(
            row, f"{key} has no {', '.join(missing)}; its energy cannot be worked out."
        )
        return None
    upper = files.uppers.get(group, {})
    check_ranges(row, amounts, files.problems)
    _bound_by_whole(amounts, upper)
    values, low, high = with_sums(amounts.values, amounts.low, amounts.high, upper)
    return Food(
        key=key,
        name=row["name"],
        group=group,
        style=row["style"],
        energy_kcal_per_100g=atwater_kcal_per_100g(
            protein_g=values["protein"],
            fat_g=values["fat"],
            carbohydrate_g=values["carbohydrate"],
        ),
        energy_method=row["energy_method"],
        values=values,
        low=low,
        high=high,
        upper=upper,
        keeping_class=row["keeping_class"] or None,
        source=row["source"],
        locator=row["locator"],
    )
