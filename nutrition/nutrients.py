"""The nutrients that are counted, and the unit each is counted in."""

from dataclasses import dataclass
from functools import cache
from pathlib import Path

from nutrition.errors import TableError
from nutrition.rows import DATA, Problems, one_of, read_rows

FILE = "nutrients/list-1.csv"
UNITS = ("g", "mg", "µg")
# What a food is made of: together all of it.
PROXIMATES = ("water", "protein", "fat", "carbohydrate", "fibre", "ash")

# Requirements are set for the pair because an animal can make the second from the first.
SUMS = {
    "methionine_cystine": ("methionine", "cystine"),
    "phenylalanine_tyrosine": ("phenylalanine", "tyrosine"),
    "epa_dha": ("epa", "dha"),
}
# What a food holds of a part can never be more than it holds of the whole.
PARTS = {
    "protein": (
        "arginine",
        "histidine",
        "isoleucine",
        "leucine",
        "lysine",
        "methionine",
        "cystine",
        "phenylalanine",
        "tyrosine",
        "threonine",
        "tryptophan",
        "valine",
    ),
    "fat": ("linoleic", "alpha_linolenic", "arachidonic", "epa", "dha"),
}


@dataclass(frozen=True, slots=True)
class Nutrient:
    """One nutrient: amounts are in `unit` per 100 g of food or per 1000 kcal."""

    key: str
    name: str
    unit: str
    decimals: int
    group: str


def read_nutrients(problems: Problems, *, root: Path = DATA) -> dict[str, Nutrient]:
    """Return the nutrients by key, in the order they are shown."""
    columns = ("key", "name", "unit", "decimals", "group")
    rows = read_rows(FILE, columns=columns, problems=problems, unique=("key",), root=root)
    found = {}
    for row in rows:
        has_unit = one_of(row, "unit", UNITS, problems)
        if one_of(row, "decimals", "0123", problems) and has_unit:
            found[row["key"]] = Nutrient(
                row["key"], row["name"], row["unit"], int(row["decimals"]), row["group"]
            )
    return found


@cache
def load_nutrients() -> dict[str, Nutrient]:
    """Return the nutrients of this release.

    Raises
    ------
    TableError
        If the list is faulty.
    """
    problems = Problems()
    found = read_nutrients(problems)
    if problems.found:
        raise TableError(tuple(problems.found))
    return found
