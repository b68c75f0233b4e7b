"""Keeping times, hazards and cautions from their files."""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from nutrition.rows import (
    PROVENANCE,
    Problems,
    Row,
    check_provenance,
    number,
    one_of,
    read_rows,
)
from nutrition.sources import Source

PLACES = ("fridge", "freezer", "thawed")
# A month of a cold-storage chart is taken as 30 days, the cautious reading.
DAYS = {"day": 1, "week": 7, "month": 30}
SEVERITIES = ("stop", "warn")
MOMENTS = (
    "raw",
    "first_raw",
    "weigh_in",
    "look",
    "batch_done",
    "pull",
    "feed_raw",
    "poultry_raw",
    "fish_raw",
    "game_raw",
    "pork_raw",
    "egg_raw",
    "bone",
    "grinder",
    "grinder_bone",
    "mix",
    "mix_bone",
    "supplement",
    "supplement_vitamin_a",
    "supplement_vitamin_d",
    "supplement_iodine",
    "supplement_iron",
    "supplement_calcium",
    "supplement_selenium",
    "supplement_zinc",
    "seaweed",
    "liver",
    "fatty",
    "puppy",
    "senior",
    "sick",
    "not_eating",
    "ring_now",
    "weight_loss",
    "requirement",
    "balance",
    "own_food",
)


@dataclass(frozen=True, slots=True)
class Keeping:
    """How long a class of food keeps in a place, in days from the day it is put there."""

    food_class: str
    place: str
    days_min: int
    days_max: int
    source: str
    locator: str
    verified: str
    note: str


@dataclass(frozen=True, slots=True)
class Content:
    """How much of what harms a product holds [mg/g]."""

    name: str
    amount_mg_per_g: float
    source: str
    locator: str
    verified: str


@dataclass(frozen=True, slots=True)
class Hazard:
    """A food that hurts dogs; `dose` is in words, `amount` its figure where one is published.

    `contents` tells how much a product holds where the amount is not of the food itself.
    """

    key: str
    name: str
    synonyms: tuple[str, ...]
    not_names: tuple[str, ...]
    amount: float | None
    unit: str
    basis: str
    dose: str
    effect: str
    severity: str
    source: str
    locator: str
    verified: str
    contents: tuple[Content, ...] = ()


@dataclass(frozen=True, slots=True)
class Caution:
    """A sentence shown at one moment."""

    key: str
    moment: str
    text: str
    source: str
    locator: str
    verified: str


def read_keeping(
    sources: Mapping[str, Source], problems: Problems, *, root: Path
) -> tuple[Keeping, ...]:
    """Return how long each class keeps in each place."""
    rows = read_rows(
        "keeping/foodsafety-gov-undated.csv",
        columns=("class", "place", "key", "value", "unit", "basis", *PROVENANCE),
        problems=problems,
        unique=("class", "place", "key"),
        root=root,
    )
    pairs: dict[tuple[str, str], dict[str, tuple[Row, int]]] = defaultdict(dict)
    for row in rows:
        check_provenance(row, sources, problems)
        words = [
            one_of(row, "place", PLACES, problems),
            one_of(row, "unit", DAYS, problems),
            one_of(row, "key", ("days_min", "days_max"), problems),
        ]
        value = number(row, "value", problems)
        if all(words) and value is not None:
            days = int(value * DAYS[row["unit"]])
            pairs[row["class"], row["place"]][row["key"]] = (row, days)
    return tuple(kept for ends in pairs.values() if (kept := _keeping(ends, problems)))


def _keeping(ends: dict[str, tuple[Row, int]], problems: Problems) -> Keeping | None:
    row = next(iter(ends.values()))[0]
    if len(ends) < 2 or ends["days_min"][1] > ends["days_max"][1]:
        problems.add(row, f"{row['class']} in the {row['place']} needs a shortest and a longest.")
        return None
    return Keeping(
        food_class=row["class"],
        place=row["place"],
        days_min=ends["days_min"][1],
        days_max=ends["days_max"][1],
        source=row["source"],
        locator=row["locator"],
        verified=row["verified"],
        note=row["note"],
    )


def read_hazards(
    sources: Mapping[str, Source], problems: Problems, *, root: Path
) -> tuple[Hazard, ...]:
    """Return the foods that hurt dogs."""
    rows = read_rows(
        "hazards/dogs-1.csv",
        columns=(
            "key",
            "name",
            "synonyms",
            "not_names",
            "value",
            "unit",
            "basis",
            "dose",
            "effect",
            "severity",
            *PROVENANCE,
        ),
        problems=problems,
        unique=("key",),
        root=root,
    )
    contents = _read_contents({row["key"] for row in rows}, sources, problems, root)
    return tuple(_hazard(row, contents[row["key"]], sources, problems) for row in rows)


def _read_contents(
    hazards: set[str], sources: Mapping[str, Source], problems: Problems, root: Path
) -> dict[str, list[Content]]:
    rows = read_rows(
        "hazards/contents-1.csv",
        columns=("hazard", "name", "value", "unit", *PROVENANCE),
        problems=problems,
        unique=("hazard", "name"),
        root=root,
    )
    found: dict[str, list[Content]] = defaultdict(list)
    for row in rows:
        check_provenance(row, sources, problems)
        one_of(row, "unit", ("mg/g",), problems)
        amount = number(row, "value", problems)
        if one_of(row, "hazard", hazards, problems) and amount:
            cells = (row[column] for column in ("source", "locator", "verified"))
            found[row["hazard"]].append(Content(row["name"], amount, *cells))
    return found


def _hazard(
    row: Row, contents: list[Content], sources: Mapping[str, Source], problems: Problems
) -> Hazard:
    check_provenance(row, sources, problems)
    one_of(row, "severity", SEVERITIES, problems)
    one_of(row, "unit", ("g/kg", "mg/kg"), problems)
    if not row["synonyms"] or not row["effect"]:
        problems.add(row, "a hazard needs synonyms and an effect.")
    return Hazard(
        key=row["key"],
        name=row["name"],
        synonyms=tuple(filter(None, row["synonyms"].split(";"))),
        not_names=tuple(filter(None, row["not_names"].split(";"))),
        amount=number(row, "value", problems),
        unit=row["unit"],
        basis=row["basis"],
        dose=row["dose"],
        effect=row["effect"],
        severity=row["severity"],
        source=row["source"],
        locator=row["locator"],
        verified=row["verified"],
        contents=tuple(contents),
    )


def read_cautions(
    sources: Mapping[str, Source], problems: Problems, *, root: Path
) -> tuple[Caution, ...]:
    """Return the sentences that are shown where the risk is."""
    rows = read_rows(
        "cautions/trencher-1.csv",
        columns=("key", "moment", "text", *PROVENANCE),
        problems=problems,
        unique=("key",),
        root=root,
    )
    for row in rows:
        check_provenance(row, sources, problems)
        one_of(row, "moment", MOMENTS, problems)
    return tuple(
        Caution(
            row["key"], row["moment"], row["text"], row["source"], row["locator"], row["verified"]
        )
        for row in rows
    )
