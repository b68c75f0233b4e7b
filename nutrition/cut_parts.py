"""What the table's cuts with bone are mixed from, for a household's own share of bone."""

from collections.abc import Mapping
from functools import cache

from nutrition.amounts import FoodFiles
from nutrition.copies import CutParts
from nutrition.cut_tables import CUT_COLUMNS, CUTS, read_bones
from nutrition.food import Food
from nutrition.loading import Tables, load
from nutrition.rows import DATA, Problems, read_rows


@cache
def load_cut_parts() -> Mapping[str, CutParts]:
    """Return the boneless food and the bone of each cut, by the cut's key.

    Faults of the files are reported where the tables are loaded, so none is looked for here.
    """
    tables = load()
    bones = load_bones()
    rows = read_rows(CUTS, columns=CUT_COLUMNS, problems=Problems())
    return {row["key"]: CutParts(tables.foods[row["boneless"]], bones[row["bone"]]) for row in rows}


@cache
def load_bones() -> Mapping[str, Food]:
    """Return the compositions of fresh bone, by key."""
    return read_bones(_files(load()))


def _files(tables: Tables) -> FoodFiles:
    return FoodFiles(
        tables.nutrients, tables.sources, tables.groups, tables.group_upper, Problems(), DATA
    )
