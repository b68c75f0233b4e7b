"""What a unit of a vitamin or a gram of a salt holds of the nutrient that is counted."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from nutrition.errors import TableError
from nutrition.nutrients import load_nutrients
from nutrition.rows import (
    DATA,
    PROVENANCE,
    Problems,
    Row,
    check_provenance,
    number,
    one_of,
    read_rows,
)
from nutrition.sources import read_sources

FILE = "forms/list-1.csv"
COLUMNS = ("nutrient", "key", "name", "per_iu", "share", "high_factor", "formula", *PROVENANCE)


@dataclass(frozen=True, slots=True)
class Form:
    """A compound in which a label may state a nutrient.

    `per_iu` is the nutrient in one international unit [nutrient unit], None where none is
    defined. `share` is the nutrient in the compound [g/g]. `high_factor` is how many times as
    much it may be worth where sources disagree [-].
    """

    key: str
    nutrient: str
    name: str
    per_iu: float | None
    share: float
    high_factor: float
    formula: str
    source: str
    locator: str
    verified: str
    note: str


def read_forms(problems: Problems, *, root: Path = DATA) -> dict[str, Form]:
    """Return the forms by key, and report every fault of their file."""
    sources = read_sources(Problems(), root=root)
    nutrients = load_nutrients()
    forms: dict[str, Form] = {}
    for row in read_rows(FILE, columns=COLUMNS, problems=problems, unique=("key",), root=root):
        check_provenance(row, sources, problems)
        one_of(row, "nutrient", nutrients, problems)
        form = _form(row, problems)
        if form:
            forms[form.key] = form
    return forms


def _form(row: Row, problems: Problems) -> Form | None:
    share = number(row, "share", problems)
    if share is None or not 0 < share <= 1:
        problems.add(row, "share must be above 0 and at most 1: the nutrient is a part of it.")
        return None
    high_factor = number(row, "high_factor", problems)
    return Form(
        key=row["key"],
        nutrient=row["nutrient"],
        name=row["name"],
        per_iu=number(row, "per_iu", problems),
        share=share,
        high_factor=1.0 if high_factor is None else high_factor,
        formula=row["formula"],
        source=row["source"],
        locator=row["locator"],
        verified=row["verified"],
        note=row["note"],
    )


@cache
def load_forms() -> Mapping[str, Form]:
    """Return the forms by key, in the order they are offered.

    Raises
    ------
    TableError
        If the file is faulty; its message has one line per fault.
    """
    problems = Problems()
    forms = read_forms(problems)
    if problems.found:
        raise TableError(tuple(problems.found))
    return forms
