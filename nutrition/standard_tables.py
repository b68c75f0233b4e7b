"""Published requirements and limits from their files."""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from nutrition.chemical_forms import Form
from nutrition.nutrients import Nutrient
from nutrition.rows import (
    PROVENANCE,
    Problems,
    Row,
    check_provenance,
    converted,
    one_of,
    read_rows,
)
from nutrition.sources import Source

STAGES = ("adult", "growth_early", "growth_late", "reproduction")
EDITIONS = {
    "nrc-2006": "NRC 2006, recommended allowance",
    "aafco-2016": "AAFCO 2016",
    "fediaf-2021": "FEDIAF 2021",
}
# One sentence for the household that chooses a yardstick.
EDITION_WORDS = {
    "nrc-2006": "What a dog needs by the scientists' review of 2006, with a margin of safety; the "
    "base of the other two.",
    "aafco-2016": "What complete dog food sold in the United States must hold; more protein and "
    "minerals than the review asks.",
    "fediaf-2021": "What European makers of dog food agree to put in, and the legal ceilings of "
    "the European Union.",
}
BASES = {
    "minimum, per 1000 kcal": "minimum",
    "recommended, per 1000 kcal": "recommended",
    "highest, per 1000 kcal": "maximum",
    "legal highest, per 1000 kcal": "legal_maximum",
    "minimum, per kg^0.75": "minimum_per_kg075",
    "recommended, per kg^0.75": "recommended_per_kg075",
    "highest, per kg^0.75": "maximum_per_kg075",
}
MAXIMUM_KINDS = {
    "nrc-2006": "safe upper limit",
    "aafco-2016": "maximum",
    "fediaf-2021": "nutritional maximum",
}
LEGAL = "legal maximum"
ORDER = ("memory", "computed", "read")

Part = tuple[Row, str, float]
# Limits by variant ("" is the base), stage and nutrient.
EditionLimits = Mapping[str, Mapping[str, Mapping[str, "Limits"]]]


@dataclass(frozen=True, slots=True)
class Limits:
    """What one edition says of one nutrient at one stage.

    Amounts are in the nutrient's unit per 1000 kcal, or per kg^0.75 of body weight and day.
    `maximum_kind` says what the maximum is: a legal one stands where no nutritional one is
    printed, and `legal_maximum` is always the legal one. `verified` is the weakest mark among the
    rows that made it. `form` is set where the chemical form needs a word, and says whether food
    can be compared at all.
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
    maximum_kind: str | None = None
    legal_maximum: float | None = None
    form: Form | None = None


def read_standards(
    nutrients: Mapping[str, Nutrient],
    sources: Mapping[str, Source],
    problems: Problems,
    *,
    root: Path,
) -> dict[str, EditionLimits]:
    """Return limits by edition, variant, stage and nutrient."""
    return {
        edition: _read_edition(edition, nutrients, sources, problems, root) for edition in EDITIONS
    }


def _read_edition(
    edition: str,
    nutrients: Mapping[str, Nutrient],
    sources: Mapping[str, Source],
    problems: Problems,
    root: Path,
) -> EditionLimits:
    rows = read_rows(
        f"standards/{edition}.csv",
        columns=("stage", "key", "value", "unit", "basis", "variant", *PROVENANCE),
        problems=problems,
        unique=("stage", "key", "basis", "variant"),
        root=root,
    )
    parts: dict[tuple[str, str], dict[str, list[Part]]] = defaultdict(lambda: defaultdict(list))
    for row in rows:
        amount = _limit(row, nutrients, sources, problems)
        if amount is not None:
            part = (row, BASES[row["basis"]], amount)
            parts[row["variant"], row["stage"]][row["key"]].append(part)
    made: dict[str, dict[str, dict[str, Limits]]] = {"": {stage: {} for stage in STAGES}}
    for (variant, stage), by_key in parts.items():
        base = parts["", stage] if variant else {}
        # A variant changes some figures of its stage; all the others stay.
        merged = {key: _changed(base.get(key, []), by_key.get(key, [])) for key in base | by_key}
        made.setdefault(variant, {})[stage] = {
            key: _limits(edition, found, problems) for key, found in merged.items()
        }
    return made


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


def _changed(base: list[Part], changes: list[Part]) -> list[Part]:
    changed = {name for _, name, _ in changes}
    return [*(part for part in base if part[1] not in changed), *changes]


def _limits(edition: str, found: list[Part], problems: Problems) -> Limits:
    amounts = {name: amount for _, name, amount in found}
    rows = [row for row, _, _ in found]
    kind = MAXIMUM_KINDS[edition] if "maximum" in amounts else None
    if kind is None and "legal_maximum" in amounts:
        amounts["maximum"], kind = amounts["legal_maximum"], LEGAL
    for low, high in (("minimum", "recommended"), ("recommended", "maximum")):
        if low in amounts and high in amounts and amounts[low] > amounts[high]:
            problems.add(rows[0], f"{low} {amounts[low]} is above {high} {amounts[high]}.")
    marks = {row["verified"] for row in rows}
    weakest = next(mark for mark in ORDER if mark in marks)
    return Limits(
        **amounts,
        source=rows[0]["source"],
        locator=rows[0]["locator"],
        verified=weakest,
        maximum_kind=kind,
        form=None,
    )


def with_forms(
    standards: Mapping[str, EditionLimits], forms: Mapping[str, Mapping[str, Form]]
) -> dict[str, EditionLimits]:
    """Return the limits, each with the chemical form it is stated in where that needs a word."""
    return {
        edition: {
            variant: {
                stage: {
                    key: replace(row, form=forms[edition].get(key)) for key, row in rows.items()
                }
                for stage, rows in stages.items()
            }
            for variant, stages in variants.items()
        }
        for edition, variants in standards.items()
    }
