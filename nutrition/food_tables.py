"""Foods, bone, cuts and group ceilings from their files."""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from nutrition.cuts import cut_with_bone
from nutrition.errors import InputError
from nutrition.food import Food, with_sums
from nutrition.food_energy import atwater_kcal_per_100g
from nutrition.nutrients import SUMS, Nutrient
from nutrition.rows import (
    PROVENANCE,
    Problems,
    Row,
    check_provenance,
    converted,
    number,
    one_of,
    read_rows,
)
from nutrition.sources import Source

VALUE, LOWEST, HIGHEST = "per 100 g", "per 100 g, lowest", "per 100 g, highest"
FOOD_LIST = "foods/list-1.csv"
# Earlier files win nothing: a later file may fill an empty figure but never change one, except
# that SR Legacy is USDA's own revision of release 28 and replaces what it prints anew.
FOOD_FILES = (
    "foods/usda-sr28.csv",
    "foods/usda-sr-legacy.csv",
    "foods/usda-foundation.csv",
    "foods/anses-ciqual-2020.csv",
    "foods/spitze-2003.csv",
    "foods/other-1.csv",
)
AMOUNT_COLUMNS = ("food", "key", "value", "unit", "basis", *PROVENANCE)
LIST_COLUMNS = (
    "key",
    "name",
    "group",
    "style",
    "keeping_class",
    "energy_method",
    "source",
    "locator",
)
CUT_COLUMNS = (
    "key",
    "name",
    "keeping_class",
    "boneless",
    "bone",
    "share",
    "share_lowest",
    "share_highest",
    "unit",
    "basis",
    *PROVENANCE,
)
STYLES = ("raw", "cooked", "dry")


@dataclass(slots=True)
class FoodFiles:
    """What the readers of the food files share."""

    nutrients: Mapping[str, Nutrient]
    sources: Mapping[str, Source]
    groups: Mapping[str, str]
    uppers: Mapping[str, Mapping[str, float]]
    problems: Problems
    root: Path


@dataclass(slots=True)
class _Amounts:
    values: dict[str, float] = field(default_factory=dict)
    low: dict[str, float] = field(default_factory=dict)
    high: dict[str, float] = field(default_factory=dict)


def _read_amounts(files: FoodFiles, names: tuple[str, ...]) -> dict[str, _Amounts]:
    found: dict[str, _Amounts] = defaultdict(_Amounts)
    first: dict[tuple[str, str, str], Row] = {}
    for name in names:
        rows = read_rows(
            name,
            columns=AMOUNT_COLUMNS,
            problems=files.problems,
            unique=("food", "key", "basis"),
            root=files.root,
        )
        for row in rows:
            amount = _amount(row, files)
            if amount is not None:
                _put(found[row["food"]], row, amount, first, files.problems)
    return found


def _amount(row: Row, files: FoodFiles) -> float | None:
    check_provenance(row, files.sources, files.problems)
    one_of(row, "basis", (VALUE, LOWEST, HIGHEST), files.problems)
    if row["key"] in SUMS or not one_of(row, "key", files.nutrients, files.problems):
        if row["key"] in SUMS:
            files.problems.add(row, f"{row['key']} is a sum; give its parts.")
        return None
    unit = files.nutrients[row["key"]].unit
    return converted(row, files.problems, to_unit=unit, nutrient=row["key"])


def _put(
    amounts: _Amounts,
    row: Row,
    amount: float,
    first: dict[tuple[str, str, str], Row],
    problems: Problems,
) -> None:
    place = (row["food"], row["key"], row["basis"])
    earlier = first.setdefault(place, row)
    if earlier is not row and row["source"] != "usda-sr-legacy":
        problems.add(
            row,
            f"{row['key']} of {row['food']} is already given by {earlier.file}, line "
            f"{earlier.line}; keep one.",
        )
        return
    target = {VALUE: amounts.values, LOWEST: amounts.low, HIGHEST: amounts.high}
    target.get(row["basis"], {})[row["key"]] = amount


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
    amounts = _read_amounts(files, FOOD_FILES)
    rows = read_rows(
        FOOD_LIST,
        columns=LIST_COLUMNS,
        problems=files.problems,
        unique=("key",),
        root=files.root,
    )
    foods = {}
    for row in rows:
        food = _food(row, amounts.get(row["key"], _Amounts()), files)
        if food:
            foods[food.key] = food
    for stray in amounts.keys() - {row["key"] for row in rows}:
        files.problems.add_file(FOOD_LIST, f"{stray} has amounts but is not in the list; add it.")
    return foods


def _food(row: Row, amounts: _Amounts, files: FoodFiles) -> Food | None:
    one_of(row, "style", STYLES, files.problems)
    one_of(row, "energy_method", ("atwater",), files.problems)
    if row["source"] not in files.sources:
        files.problems.add(row, f"source {row['source']!r} is not in sources.csv; add it there.")
    if not one_of(row, "group", files.groups, files.problems):
        return None
    return _built(row, row["group"], amounts, files)


def _built(row: Row, group: str, amounts: _Amounts, files: FoodFiles) -> Food | None:
    key = row.cells.get("key", "")
    missing = [name for name in ("protein", "fat", "carbohydrate") if name not in amounts.values]
    if missing:
        files.problems.add(
            row, f"{key} has no {', '.join(missing)}; its energy cannot be worked out."
        )
        return None
    upper = files.uppers.get(group, {})
    _check_ranges(row, amounts, files.problems)
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


def _check_ranges(row: Row, amounts: _Amounts, problems: Problems) -> None:
    for key in amounts.low.keys() | amounts.high.keys():
        steps = [side.get(key) for side in (amounts.low, amounts.values, amounts.high)]
        known = [step for step in steps if step is not None]
        if known != sorted(known):
            problems.add(row, f"{key} runs {known}; lowest, value and highest must not fall.")


def read_bones(files: FoodFiles) -> dict[str, Food]:
    """Return the compositions of fresh bone, by key."""
    found = {}
    name = "bone/trencher-1.csv"
    for key, amounts in _read_amounts(files, (name,)).items():
        row = Row(
            name,
            1,
            {
                "key": key,
                "name": key,
                "style": "raw",
                "energy_method": "atwater",
                "keeping_class": "",
                "source": "trencher",
                "locator": name,
            },
        )
        bone = _built(row, "bone", amounts, files)
        if bone:
            found[key] = bone
    return found


def read_cuts(
    files: FoodFiles, foods: Mapping[str, Food], bones: Mapping[str, Food]
) -> dict[str, Food]:
    """Return the cuts with bone, by key."""
    rows = read_rows(
        "cuts/trencher-1.csv",
        columns=CUT_COLUMNS,
        problems=files.problems,
        unique=("key",),
        root=files.root,
    )
    cuts = {}
    for row in rows:
        check_provenance(row, files.sources, files.problems)
        one_of(row, "unit", ("g/g",), files.problems)
        cut = _cut(row, foods, bones, files.problems)
        if cut:
            cuts[cut.key] = cut
    return cuts


def _cut(
    row: Row, foods: Mapping[str, Food], bones: Mapping[str, Food], problems: Problems
) -> Food | None:
    share = number(row, "share", problems)
    has_parts = one_of(row, "boneless", foods, problems) and one_of(row, "bone", bones, problems)
    if share is None or not has_parts:
        problems.add(row, "a cut needs a share, a boneless food and a bone.")
        return None
    try:
        return cut_with_bone(
            key=row["key"],
            name=row["name"],
            boneless=foods[row["boneless"]],
            bone=bones[row["bone"]],
            bone_share=share,
            lowest_share=number(row, "share_lowest", problems),
            highest_share=number(row, "share_highest", problems),
            keeping_class=row["keeping_class"] or None,
            bone_source=f"{row['source']}: {row['locator']}",
        )
    except InputError as error:
        problems.add(row, error.message)
        return None
