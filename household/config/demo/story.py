"""Reads the story in fixtures/demo into plain values; days count from the day it is loaded."""

import csv
import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

MEALS = ("breakfast", "midday", "supper")


@dataclass(frozen=True)
class Recipe:
    """Parts are shares [-] of what is put in; the yield is the share left after cooking."""

    method: str
    plate_mm: int | None
    cooked_yield: float
    parts: Mapping[str, float]


@dataclass(frozen=True)
class BatchLine:
    number: int
    day: int
    time: str
    recipe: str
    by: str
    pull_by: str
    days: int
    note: str


@dataclass(frozen=True)
class MenuDay:
    """What each meal serves: "dry", a bone-in food's word, or "batch 31"; empty for nothing."""

    day: int
    served: Mapping[str, str]
    by: Mapping[str, str]
    morag_supper: str


@dataclass(frozen=True)
class Appetite:
    """How one dog took one meal. `left_share` None: nobody noted what was left."""

    word: str | None
    left_share: float | None


KEEN = Appetite("keen", 0.0)


@dataclass(frozen=True)
class Story:
    facts: Mapping[str, Any]  # Any: household.json as it is written, read once, key by key.
    recipes: Mapping[str, Recipe]
    batches: tuple[BatchLine, ...]
    menu: tuple[MenuDay, ...]
    appetite: Mapping[tuple[int, str, str], Appetite]
    weighings: tuple[Mapping[str, str], ...]
    conditions: tuple[Mapping[str, str], ...]
    notes: tuple[Mapping[str, str], ...]
    duties: tuple[Mapping[str, str], ...]
    rotas: tuple[Mapping[str, str], ...]


def read_story(folder: Path) -> Story:
    """The story told by the files of a folder.

    Raises
    ------
    FileNotFoundError
        When a file of the story is missing; the demo needs the source tree, not an installed wheel.
    """
    facts = json.loads((folder / "household.json").read_text(encoding="utf-8"))
    return Story(
        facts=facts,
        recipes={name: _recipe(recipe) for name, recipe in facts["recipes"].items()},
        batches=tuple(_batch(row) for row in _rows(folder / "batches.csv")),
        menu=tuple(_menu_day(row) for row in _rows(folder / "menu.csv")),
        appetite={
            (int(row["day"]), row["meal"], row["dog"]): Appetite(
                row["word"] or None, float(row["left_share"]) if row["left_share"] else None
            )
            for row in _rows(folder / "appetite.csv")
        },
        weighings=tuple(_rows(folder / "weighings.csv")),
        conditions=tuple(_rows(folder / "conditions.csv")),
        notes=tuple(_rows(folder / "notes.csv")),
        duties=tuple(_rows(folder / "duties.csv")),
        rotas=tuple(_rows(folder / "rotas.csv")),
    )


def _rows(path: Path) -> Iterator[Mapping[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        yield from csv.DictReader(file)


def _recipe(facts: Mapping[str, Any]) -> Recipe:
    return Recipe(
        facts["method"], facts["plate_mm"], facts.get("cooked_yield", 1.0), facts["parts"]
    )


def _batch(row: Mapping[str, str]) -> BatchLine:
    return BatchLine(
        number=int(row["number"]),
        day=int(row["day"]),
        time=row["time"],
        recipe=row["recipe"],
        by=row["by"],
        pull_by=row["pull_by"],
        days=int(row["days"]),
        note=row["note"],
    )


def _menu_day(row: Mapping[str, str]) -> MenuDay:
    return MenuDay(
        day=int(row["day"]),
        served={meal: row[meal] for meal in MEALS},
        by=dict(zip(MEALS, (row["morning_by"], row["noon_by"], row["evening_by"]), strict=True)),
        morag_supper=row["morag_supper"],
    )
