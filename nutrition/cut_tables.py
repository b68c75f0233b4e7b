"""Fresh bone, and the cuts that are made with it, from their files."""

from collections.abc import Mapping
from dataclasses import replace

from nutrition.amounts import FoodFiles, read_amounts
from nutrition.cuts import cut_with_bone
from nutrition.errors import InputError
from nutrition.food import Food, significant
from nutrition.food_tables import built
from nutrition.rows import PROVENANCE, Problems, Row, check_provenance, number, one_of, read_rows

BONES = "bone/trencher-1.csv"
CUTS = "cuts/trencher-1.csv"
DIGITS = 5
CUT_COLUMNS = (
    "key",
    "name",
    "group",
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


def read_bones(files: FoodFiles) -> dict[str, Food]:
    """Return the compositions of fresh bone, by key."""
    found = {}
    for key, amounts in read_amounts(files, (BONES,)).items():
        first = next(iter(amounts.rows.values()))
        row = Row(
            BONES,
            first.line,
            {
                "key": key,
                "name": key,
                "style": "raw",
                "energy_method": "atwater",
                "keeping_class": "",
                "source": first["source"],
                "locator": first["locator"],
            },
        )
        bone = built(row, "bone", amounts, files)
        if bone:
            found[key] = bone
    return found


def read_cuts(
    files: FoodFiles, foods: Mapping[str, Food], bones: Mapping[str, Food]
) -> dict[str, Food]:
    """Return the cuts with bone, by key."""
    rows = read_rows(
        CUTS,
        columns=CUT_COLUMNS,
        problems=files.problems,
        unique=("key",),
        root=files.root,
    )
    cuts = {}
    for row in rows:
        check_provenance(row, files.sources, files.problems)
        one_of(row, "unit", ("g/g",), files.problems)
        one_of(row, "group", files.groups, files.problems)
        cut = _cut(row, foods, bones, files.problems)
        if cut:
            cuts[cut.key] = _tidied(cut)
    return cuts


def _tidied(cut: Food) -> Food:
    return replace(
        cut,
        energy_kcal_per_100g=round(cut.energy_kcal_per_100g, 3),
        values=significant(cut.values, digits=DIGITS),
        low=significant(cut.low, digits=DIGITS),
        high=significant(cut.high, digits=DIGITS),
        gap=significant(cut.gap, digits=DIGITS),
    )


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
            group=row["group"],
            boneless=foods[row["boneless"]],
            bone=bones[row["bone"]],
            bone_share=share,
            lowest_share=number(row, "share_lowest", problems),
            highest_share=number(row, "share_highest", problems),
            keeping_class=row["keeping_class"] or None,
            bone_source=f"{row['source']}: {row['locator']}",
            verified=row["verified"],
        )
    except InputError as error:
        problems.add(row, error.message)
        return None
