"""The published energy figures, as rows with the dogs that each describes."""

from dataclasses import dataclass
from functools import cache

from nutrition.errors import TableError
from nutrition.rows import PROVENANCE, Problems, Row, number, one_of, read_rows

METHOD_FILE = "energy/methods-1.csv"
LIVES = ("grown", "growing", "gestation_early", "gestation_late", "lactation")
TIMES_RESTING = "times resting"
COLUMNS = (
    "key",
    "name",
    "life",
    "activity",
    "neutered",
    "condition",
    "breed",
    "age_years_from",
    "age_years_to",
    "grown_from",
    "grown_to",
    "adult_mass_kg_from",
    "week_from",
    "week_to",
    "pups_from",
    "pups_to",
    "value",
    "lowest",
    "highest",
    "unit",
    "mass_exponent",
    "age_exponent",
    "per_kg",
    *PROVENANCE,
)


@dataclass(frozen=True, slots=True)
class MethodRow:
    """A published figure: value x mass^exponent x age^exponent + per_kg x mass [kcal/day].

    Conditions that are empty hold for every dog. Ages and shares of adult weight run from `from`
    up to but not including `to`; weeks and pups include both ends.
    """

    key: str
    name: str
    life: str
    activity: tuple[str, ...]
    neutered: str
    condition: str
    breed: str
    age_years_from: float | None
    age_years_to: float | None
    grown_from: float | None
    grown_to: float | None
    adult_mass_kg_from: float | None
    week_from: float | None
    week_to: float | None
    pups_from: float | None
    pups_to: float | None
    value: float
    lowest: float | None
    highest: float | None
    unit: str
    mass_exponent: float
    age_exponent: float | None
    per_kg: float
    source: str
    locator: str
    verified: str
    note: str


@cache
def method_rows() -> tuple[MethodRow, ...]:
    """Return the published figures.

    Raises
    ------
    TableError
        If the data file is faulty.
    """
    problems = Problems()
    rows = read_rows(METHOD_FILE, columns=COLUMNS, problems=problems, unique=("key",))
    made = tuple(_row(row, problems) for row in rows)
    if problems.found:
        raise TableError(tuple(problems.found))
    return made


def _row(row: Row, problems: Problems) -> MethodRow:
    one_of(row, "life", LIVES, problems)
    one_of(row, "unit", ("kcal", TIMES_RESTING), problems)
    text = row["age_exponent"]

    def figure(column: str) -> float | None:
        return number(row, column, problems)

    return MethodRow(
        key=row["key"],
        name=row["name"],
        life=row["life"],
        activity=tuple(word for word in row["activity"].split(";") if word),
        neutered=row["neutered"],
        condition=row["condition"],
        breed=row["breed"],
        age_years_from=figure("age_years_from"),
        age_years_to=figure("age_years_to"),
        grown_from=figure("grown_from"),
        grown_to=figure("grown_to"),
        adult_mass_kg_from=figure("adult_mass_kg_from"),
        week_from=figure("week_from"),
        week_to=figure("week_to"),
        pups_from=figure("pups_from"),
        pups_to=figure("pups_to"),
        value=figure("value") or 0.0,
        lowest=figure("lowest"),
        highest=figure("highest"),
        unit=row["unit"],
        mass_exponent=figure("mass_exponent") or 0.0,
        # The only figure of the tables that may fall below zero.
        age_exponent=float(text) if text else None,
        per_kg=figure("per_kg") or 0.0,
        source=row["source"],
        locator=row["locator"],
        verified=row["verified"],
        note=row["note"],
    )
