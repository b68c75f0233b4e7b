"""Published requirements and limits from their files."""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from nutrition.nutrients import Nutrient
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

STAGES = ("adult", "growth_early", "growth_late")
EDITIONS = {
    "nrc-2006": "NRC 2006, recommended allowance",
    "aafco-2016": "AAFCO 2016",
    "fediaf-2021": "FEDIAF 2021",
}
INTAKE_FILE = "standards/intakes.csv"
INTAKE_COLUMNS = (
    "edition",
    "stage",
    "value",
    "unit",
    "rule",
    "mass_kg",
    "adult_mass_kg",
    "fixed",
    *PROVENANCE,
)
RULES = ("proportional", "growth equation")
BASES = {
    "minimum, per 1000 kcal": "minimum",
    "recommended, per 1000 kcal": "recommended",
    "highest, per 1000 kcal": "maximum",
    "minimum, per kg^0.75": "minimum_per_kg075",
    "recommended, per kg^0.75": "recommended_per_kg075",
    "highest, per kg^0.75": "maximum_per_kg075",
}


@dataclass(frozen=True, slots=True)
class Limits:
    """What one edition says of one nutrient at one stage.

    Amounts are in the nutrient's unit per 1000 kcal, or per kg^0.75 of body weight and day.
    `verified` is the weakest mark among the rows that made it.
    """

    minimum: float | None = None
    recommended: float | None = None
    maximum: float | None = None
    minimum_per_kg075: float | None = None
    recommended_per_kg075: float | None = None
    maximum_per_kg075: float | None = None
    source: str = ""
    locator: str = ""
    verified: str = "read"


@dataclass(frozen=True, slots=True)
class AssumedIntake:
    """The energy that an edition takes a dog to eat where it gives amounts per 1000 kcal.

    `rule` says how the amounts follow a dog that eats otherwise: proportional, or along the
    growth equation from the puppy of `mass_kg` that the table describes. `fixed` are the
    nutrients that the edition prints alike whatever the dog eats.
    """

    kcal_per_kg075: float
    rule: str
    mass_kg: float | None
    adult_mass_kg: float | None
    fixed: tuple[str, ...]
    source: str
    locator: str
    verified: str
    note: str


@dataclass(frozen=True, slots=True)
class RatioLimits:
    """The calcium to phosphorus ratio that a stage allows [g/g]."""

    minimum: float
    maximum: float
    source: str


def read_standards(
    nutrients: Mapping[str, Nutrient],
    sources: Mapping[str, Source],
    problems: Problems,
    *,
    root: Path,
) -> dict[str, dict[str, dict[str, Limits]]]:
    """Return limits by edition, stage and nutrient."""
    return {
        edition: _read_edition(edition, nutrients, sources, problems, root) for edition in EDITIONS
    }


def _read_edition(
    edition: str,
    nutrients: Mapping[str, Nutrient],
    sources: Mapping[str, Source],
    problems: Problems,
    root: Path,
) -> dict[str, dict[str, Limits]]:
    rows = read_rows(
        f"standards/{edition}.csv",
        columns=("stage", "key", "value", "unit", "basis", *PROVENANCE),
        problems=problems,
        unique=("stage", "key", "basis"),
        root=root,
    )
    parts: dict[tuple[str, str], list[tuple[Row, str, float]]] = defaultdict(list)
    for row in rows:
        amount = _limit(row, nutrients, sources, problems)
        if amount is not None:
            parts[row["stage"], row["key"]].append((row, BASES[row["basis"]], amount))
    stages: dict[str, dict[str, Limits]] = {stage: {} for stage in STAGES}
    for (stage, key), found in parts.items():
        stages[stage][key] = _limits(found, problems)
    return stages


def _limit(
    row: Row, nutrients: Mapping[str, Nutrient], sources: Mapping[str, Source], problems: Problems
) -> float | None:
    check_provenance(row, sources, problems)
    words = [
        one_of(row, "stage", STAGES, problems),
        one_of(row, "key", nutrients, problems),
        one_of(row, "basis", BASES, problems),
    ]
    if not all(words):
        return None
    unit = nutrients[row["key"]].unit
    return converted(row, problems, to_unit=unit, nutrient=row["key"])


def _limits(found: list[tuple[Row, str, float]], problems: Problems) -> Limits:
    amounts = {name: amount for _, name, amount in found}
    rows = [row for row, _, _ in found]
    for low, high in (("minimum", "recommended"), ("recommended", "maximum")):
        if low in amounts and high in amounts and amounts[low] > amounts[high]:
            problems.add(rows[0], f"{low} {amounts[low]} is above {high} {amounts[high]}.")
    marks = {row["verified"] for row in rows}
    weakest = next(mark for mark in ("memory", "computed", "read") if mark in marks)
    return Limits(**amounts, source=rows[0]["source"], locator=rows[0]["locator"], verified=weakest)


def read_ratios(
    sources: Mapping[str, Source], problems: Problems, *, root: Path
) -> dict[str, RatioLimits]:
    """Return the allowed calcium to phosphorus ratio by stage."""
    rows = read_rows(
        "ratios/calcium-1.csv",
        columns=("stage", "key", "value", "unit", "basis", *PROVENANCE),
        problems=problems,
        unique=("stage", "key", "basis"),
        root=root,
    )
    ends: dict[tuple[str, str], tuple[float, str]] = {}
    for row in rows:
        check_provenance(row, sources, problems)
        one_of(row, "basis", ("lowest by mass", "highest by mass"), problems)
        value = number(row, "value", problems)
        if value is not None and one_of(row, "stage", STAGES, problems):
            ends[row["stage"], row["basis"]] = (value, row["source"])
    found = {}
    for stage in STAGES:
        low, high = ends.get((stage, "lowest by mass")), ends.get((stage, "highest by mass"))
        if low is None or high is None:
            problems.add_file("ratios/calcium-1.csv", f"{stage} needs a lowest and a highest.")
        else:
            found[stage] = RatioLimits(low[0], high[0], high[1])
    return found


def read_intakes(
    nutrients: Mapping[str, Nutrient],
    sources: Mapping[str, Source],
    problems: Problems,
    *,
    root: Path,
) -> dict[str, dict[str, AssumedIntake]]:
    """Return the assumed intake by edition and stage; where none is given, nothing follows it."""
    rows = read_rows(
        INTAKE_FILE,
        columns=INTAKE_COLUMNS,
        problems=problems,
        unique=("edition", "stage"),
        root=root,
    )
    found: dict[str, dict[str, AssumedIntake]] = {edition: {} for edition in EDITIONS}
    for row in rows:
        made = _intake(row, nutrients, sources, problems)
        if made is not None:
            found[row["edition"]][row["stage"]] = made
    return found


def _intake(
    row: Row, nutrients: Mapping[str, Nutrient], sources: Mapping[str, Source], problems: Problems
) -> AssumedIntake | None:
    check_provenance(row, sources, problems)
    fixed = tuple(word for word in row["fixed"].split(";") if word)
    words = [
        one_of(row, "edition", EDITIONS, problems),
        one_of(row, "stage", STAGES, problems),
        one_of(row, "rule", RULES, problems),
        one_of(row, "unit", ("kcal/kg^0.75",), problems),
    ]
    for each in fixed:
        if each not in nutrients:
            problems.add(row, f"fixed names {each!r}, which is no nutrient.")
    value, mass_kg, adult_mass_kg = (
        number(row, column, problems) for column in ("value", "mass_kg", "adult_mass_kg")
    )
    if row["rule"] == "growth equation" and not (mass_kg and adult_mass_kg):
        problems.add(row, "the growth equation needs mass_kg and adult_mass_kg of the puppy.")
        return None
    if not value:
        problems.add(row, "value is missing or zero; an assumed intake needs one.")
        return None
    if not all(words):
        return None
    return AssumedIntake(
        value,
        row["rule"],
        mass_kg,
        adult_mass_kg,
        fixed,
        *(row[column] for column in PROVENANCE),
    )
