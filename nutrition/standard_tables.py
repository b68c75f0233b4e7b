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
