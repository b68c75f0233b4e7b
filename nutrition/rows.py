"""Reading the data files: every fault is collected with its file and line."""

import csv
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from math import isfinite
from pathlib import Path

from nutrition.errors import UnitError
from nutrition.units import factor

DATA = Path(__file__).parent / "data"
VERIFIED = ("read", "memory", "computed")
PROVENANCE = ("source", "locator", "verified", "note")


@dataclass(frozen=True, slots=True)
class Row:
    """One line of a data file."""

    file: str
    line: int
    cells: dict[str, str]

    def __getitem__(self, column: str) -> str:
        return self.cells[column]


class Problems:
    """The faults found so far, one sentence each."""

    def __init__(self) -> None:
        self.found: list[str] = []

    def add(self, row: Row, text: str) -> None:
        """Note a fault of one line."""
        self.found.append(f"{row.file}, line {row.line}: {text}")

    def add_file(self, file: str, text: str) -> None:
        """Note a fault of a whole file."""
        self.found.append(f"{file}, line 1: {text}")


def read_rows(
    file: str,
    *,
    columns: tuple[str, ...],
    problems: Problems,
    unique: tuple[str, ...] = (),
    root: Path = DATA,
) -> list[Row]:
    """Return the rows of `file`, with wrong headers, short lines and repeated keys reported."""
    path = root / file
    try:
        with path.open(encoding="utf-8", newline="") as handle:
            reader = csv.reader(handle)
            header = tuple(next(reader, ()))
            lines = [(reader.line_num, cells) for cells in reader]
    except (OSError, UnicodeDecodeError, csv.Error) as error:
        problems.add_file(file, f"the file cannot be read ({error}).")
        return []
    if header != columns:
        problems.add_file(
            file, f"the columns are {', '.join(header)}; they must be {', '.join(columns)}."
        )
        return []
    rows = list(_whole_rows(file, lines, columns, problems))
    _report_repeats(rows, unique, problems)
    return rows


def _whole_rows(
    file: str,
    lines: Iterable[tuple[int, list[str]]],
    columns: tuple[str, ...],
    problems: Problems,
) -> Iterator[Row]:
    for line, cells in lines:
        row = Row(file, line, dict(zip(columns, cells, strict=False)))
        if len(cells) != len(columns):
            problems.add(row, f"{len(cells)} cells were given; {len(columns)} are needed.")
        else:
            yield row


def _report_repeats(rows: list[Row], unique: tuple[str, ...], problems: Problems) -> None:
    first: dict[tuple[str, ...], int] = {}
    for row in rows:
        key = tuple(row[column] for column in unique)
        if unique and key in first:
            problems.add(row, f"{' '.join(key)} is already on line {first[key]}; keep one.")
        first.setdefault(key, row.line)


def number(row: Row, column: str, problems: Problems) -> float | None:
    """Return the figure in a cell, None when it is empty: empty means unknown, never zero."""
    text = row[column]
    if text == "":
        return None
    try:
        value = float(text)
    except ValueError:
        problems.add(row, f"{column} is {text!r}; write a plain number or leave it empty.")
        return None
    if not isfinite(value) or value < 0:
        problems.add(row, f"{column} is {text}; it must be zero or more.")
        return None
    return value


def converted(
    row: Row, problems: Problems, *, to_unit: str, nutrient: str = "", column: str = "value"
) -> float | None:
    """Return the figure in a cell, brought from the row's own unit to `to_unit`."""
    value = number(row, column, problems)
    try:
        size = factor(row["unit"], to_unit, nutrient=nutrient)
    except UnitError as error:
        problems.add(row, error.message)
        return None
    return None if value is None else value * size


def one_of(row: Row, column: str, allowed: Iterable[str], problems: Problems) -> bool:
    """Report a word that is not in the list."""
    choices = tuple(allowed)
    if row[column] in choices:
        return True
    shown = ", ".join(choices[:12]) + (", ..." if len(choices) > 12 else "")
    problems.add(row, f"{column} is {row[column]!r}; use one of {shown}.")
    return False


def check_provenance(row: Row, sources: Iterable[str], problems: Problems) -> None:
    """Report a row that does not say where its figure comes from."""
    one_of(row, "verified", VERIFIED, problems)
    if row["source"] not in sources:
        problems.add(row, f"source {row['source']!r} is not in sources.csv; add it there.")
    if not row["locator"]:
        problems.add(row, "locator is empty; say which page, table or record was read.")
