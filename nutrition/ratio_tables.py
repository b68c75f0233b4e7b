"""Ratios beside calcium to phosphorus, from their file."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from nutrition.nutrients import Nutrient
from nutrition.rows import PROVENANCE, Problems, check_provenance, number, one_of, read_rows
from nutrition.sources import Source


@dataclass(frozen=True, slots=True)
class OtherRatio:
    """One sum of nutrients over another [g/g], and the most that is published for it, if any."""

    key: str
    name: str
    top: tuple[str, ...]
    bottom: tuple[str, ...]
    maximum: float | None
    source: str
    locator: str
    verified: str
    note: str


def read_other_ratios(
    nutrients: Mapping[str, Nutrient],
    sources: Mapping[str, Source],
    problems: Problems,
    *,
    root: Path,
) -> dict[str, OtherRatio]:
    """Return the ratios beside calcium to phosphorus; one without a value has no limit."""
    rows = read_rows(
        "ratios/others-1.csv",
        columns=("key", "name", "top", "bottom", "value", "unit", "basis", *PROVENANCE),
        problems=problems,
        unique=("key",),
        root=root,
    )
    found = {}
    for row in rows:
        check_provenance(row, sources, problems)
        one_of(row, "basis", ("highest by mass",), problems)
        top, bottom = (tuple(row[side].split(";")) for side in ("top", "bottom"))
        units = {nutrients[key].unit for key in (*top, *bottom) if key in nutrients}
        if not nutrients.keys() >= {*top, *bottom} or len(units) != 1:
            problems.add(row, "top and bottom must name nutrients that share one unit.")
        found[row["key"]] = OtherRatio(
            row["key"],
            row["name"],
            top,
            bottom,
            number(row, "value", problems),
            *(row[column] for column in PROVENANCE),
        )
    return found
