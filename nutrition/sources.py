"""Who says so: the sources of every figure, and the groups foods are put in."""

from dataclasses import dataclass
from pathlib import Path

from nutrition.rows import DATA, Problems, Row, read_rows

SOURCE_COLUMNS = (
    "id",
    "title",
    "publisher",
    "year",
    "address",
    "licence",
    "retrieved",
    "checked",
    "note",
)


@dataclass(frozen=True, slots=True)
class Source:
    """A publication; `year` is None where the page has no date."""

    id: str
    title: str
    publisher: str
    year: int | None
    address: str
    licence: str
    retrieved: str
    checked: str
    note: str

    @property
    def url(self) -> str | None:
        """Return an address that can be opened, None when there is none."""
        if self.address.startswith("doi:"):
            return "https://doi.org/" + self.address.removeprefix("doi:")
        return self.address or None


def read_sources(problems: Problems, *, root: Path = DATA) -> dict[str, Source]:
    """Return the sources by id."""
    rows = read_rows(
        "sources.csv", columns=SOURCE_COLUMNS, problems=problems, unique=("id",), root=root
    )
    return {row["id"]: _source(row, problems) for row in rows}


def _source(row: Row, problems: Problems) -> Source:
    for column in ("id", "title", "publisher", "licence", "retrieved", "checked"):
        if not row[column]:
            problems.add(row, f"{column} is empty; every source needs one.")
    year = row["year"]
    if year and not year.isdigit():
        problems.add(row, f"year is {year!r}; write four digits or leave it empty.")
        year = ""
    return Source(
        id=row["id"],
        title=row["title"],
        publisher=row["publisher"],
        year=int(year) if year else None,
        address=row["address"],
        licence=row["licence"],
        retrieved=row["retrieved"],
        checked=row["checked"],
        note=row["note"],
    )


def read_groups(problems: Problems, *, root: Path = DATA) -> dict[str, str]:
    """Return the names of the food groups by key."""
    rows = read_rows(
        "groups/list-1.csv",
        columns=("key", "name"),
        problems=problems,
        unique=("key",),
        root=root,
    )
    return {row["key"]: row["name"] for row in rows}
