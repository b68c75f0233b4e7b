"""What goes with an edition's figures: its variants, the intake it assumes, and its ratios."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from nutrition.nutrients import Nutrient
from nutrition.rows import PROVENANCE, Problems, Row, check_provenance, number, one_of, read_rows
from nutrition.sources import Source
from nutrition.standard_tables import EDITIONS, STAGES

VARIANT_FILE = "standards/variants.csv"
INTAKE_FILE = "standards/intakes.csv"
RATIO_FILE = "ratios/calcium-1.csv"
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
VARIANT_COLUMNS = (
    "edition",
    "stage",
    "variant",
    "name",
    "adult_mass_kg_to",
    "age_months_from",
    *PROVENANCE,
)
RULES = ("proportional", "growth equation")
LOWEST, HIGHEST = "lowest by mass", "highest by mass"


@dataclass(frozen=True, slots=True)
class Variant:
    """Another column of an edition for some dogs of a stage.

    It is chosen for a dog of an expected adult weight up to `adult_mass_kg_to`, or of an age from
    `age_months_from`; one with neither is there to be looked up.
    """

    key: str
    stage: str
    name: str
    adult_mass_kg_to: float | None
    age_months_from: float | None
    source: str
    locator: str
    verified: str
    note: str


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


def read_variants(
    sources: Mapping[str, Source], problems: Problems, *, root: Path
) -> dict[str, tuple[Variant, ...]]:
    """Return the variants of each edition."""
    rows = read_rows(
        VARIANT_FILE,
        columns=VARIANT_COLUMNS,
        problems=problems,
        unique=("edition", "stage", "variant"),
        root=root,
    )
    found: dict[str, list[Variant]] = {edition: [] for edition in EDITIONS}
    for row in rows:
        check_provenance(row, sources, problems)
        if one_of(row, "edition", EDITIONS, problems) and one_of(row, "stage", STAGES, problems):
            found[row["edition"]].append(
                Variant(
                    row["variant"],
                    row["stage"],
                    row["name"],
                    number(row, "adult_mass_kg_to", problems),
                    number(row, "age_months_from", problems),
                    *(row[column] for column in PROVENANCE),
                )
            )
    return {edition: tuple(made) for edition, made in found.items()}


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


def read_ratios(
    sources: Mapping[str, Source], problems: Problems, *, root: Path
) -> dict[str, dict[tuple[str, str], RatioLimits]]:
    """Return the allowed calcium to phosphorus ratio by edition, and by variant and stage."""
    rows = read_rows(
        RATIO_FILE,
        columns=("edition", "stage", "key", "value", "unit", "basis", "variant", *PROVENANCE),
        problems=problems,
        unique=("edition", "stage", "key", "basis", "variant"),
        root=root,
    )
    ends: dict[tuple[str, str, str, str], tuple[float, str]] = {}
    for row in rows:
        check_provenance(row, sources, problems)
        one_of(row, "basis", (LOWEST, HIGHEST), problems)
        one_of(row, "edition", EDITIONS, problems)
        value = number(row, "value", problems)
        if value is not None and one_of(row, "stage", STAGES, problems):
            key = (row["edition"], row["variant"], row["stage"], row["basis"])
            ends[key] = (value, row["source"])
    return {edition: _ratios(edition, ends, problems) for edition in EDITIONS}


def _ratios(
    edition: str, ends: Mapping[tuple[str, str, str, str], tuple[float, str]], problems: Problems
) -> dict[tuple[str, str], RatioLimits]:
    variants = {(variant, stage) for owner, variant, stage, _ in ends if owner == edition}
    found = {}
    for variant, stage in sorted(variants | {("", stage) for stage in STAGES}):
        low, high = (
            ends.get((edition, variant, stage, basis), ends.get((edition, "", stage, basis)))
            for basis in (LOWEST, HIGHEST)
        )
        if low is None or high is None:
            problems.add_file(RATIO_FILE, f"{edition} {stage} needs a lowest and a highest.")
        else:
            found[variant, stage] = RatioLimits(low[0], high[0], high[1])
    return found
