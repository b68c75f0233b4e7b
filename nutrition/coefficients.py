"""Constants of the energy equations and of the trend rules, each with its source."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache

from nutrition.errors import TableError, UnknownKeyError
from nutrition.rows import PROVENANCE, Problems, Row, number, one_of, read_rows

ENERGY_FILE = "energy/coefficients-1.csv"
TREND_FILE = "trends/thresholds-1.csv"
THAW_FILE = "thaw/coefficients-1.csv"
COLUMNS = ("key", "value", "unit", "basis", *PROVENANCE)
UNITS = (
    "kcal/kg^0.75",
    "MJ/kg^0.75",
    "kcal/kg",
    "kcal/g",
    "percent",
    "dimensionless",
    "year",
    "month",
    "week",
    "day",
    "kg",
    "count",
    "kJ/kg",
    "kJ/kgK",
    "W/m2K",
    "degree",
    "hour",
    "hour/kg",
)


@dataclass(frozen=True, slots=True)
class Coefficient:
    """A published constant, in the unit its source prints."""

    key: str
    value: float
    unit: str
    source: str
    locator: str
    verified: str
    note: str


class Coefficients(Mapping[str, Coefficient]):
    """Constants by key; an unknown key raises an error that names the known ones."""

    def __init__(self, items: Mapping[str, Coefficient]) -> None:
        self._items = dict(items)

    def __getitem__(self, key: str) -> Coefficient:
        try:
            return self._items[key]
        except KeyError:
            raise UnknownKeyError("coefficient", key, tuple(self._items)) from None

    def __iter__(self) -> Iterator[str]:
        return iter(self._items)

    def __len__(self) -> int:
        return len(self._items)

    def value(self, key: str) -> float:
        """Return the figure alone, in the unit of its row."""
        return self[key].value


def _read(file: str) -> Coefficients:
    problems = Problems()
    items: dict[str, Coefficient] = {}
    for row in read_rows(file, columns=COLUMNS, problems=problems, unique=("key",)):
        made = _coefficient(row, problems)
        if made:
            items[made.key] = made
    if problems.found:
        raise TableError(tuple(problems.found))
    return Coefficients(items)


def _coefficient(row: Row, problems: Problems) -> Coefficient | None:
    value = number(row, "value", problems)
    if value is None:
        problems.add(row, "value is missing; a constant needs one.")
        return None
    one_of(row, "unit", UNITS, problems)
    return Coefficient(
        key=row["key"],
        value=value,
        unit=row["unit"],
        source=row["source"],
        locator=row["locator"],
        verified=row["verified"],
        note=row["note"],
    )


@cache
def load_energy() -> Coefficients:
    """Return the constants of the energy equations."""
    return _read(ENERGY_FILE)


@cache
def load_thresholds() -> Coefficients:
    """Return the limits that decide the words of a trend."""
    return _read(TREND_FILE)


@cache
def load_thaw() -> Coefficients:
    """Return the constants of the thawing model and of the kitchen rules beside it."""
    return _read(THAW_FILE)
