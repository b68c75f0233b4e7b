"""The nutrients that are counted, and the unit each is counted in."""

from dataclasses import dataclass
from functools import cache

from nutrition.errors import TableError
from nutrition.rows import Problems, one_of, read_rows

FILE = "nutrients/list-1.csv"
UNITS = ("g", "mg", "µg")

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


@cache
def load_nutrients() -> dict[str, Nutrient]:
    """Return the nutrients by key, in the order they are shown.

    Raises
    ------
    TableError
        If the list is faulty.
    """
    problems = Problems()
    columns = ("key", "name", "unit", "decimals", "group")
    rows = read_rows(FILE, columns=columns, problems=problems, unique=("key",))
    for row in rows:
        one_of(row, "unit", UNITS, problems)
        one_of(row, "decimals", "0123", problems)
    if problems.found:
        raise TableError(tuple(problems.found))
    return {
        row["key"]: Nutrient(
            row["key"], row["name"], row["unit"], int(row["decimals"]), row["group"]
        )
        for row in rows
    }
