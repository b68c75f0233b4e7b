"""Where a food comes from: the animal, and the part of it; worked out by rules from a file.

A food is matched by its key, else its group, else a word of its name, and every food must come out
with an animal (or a plain word such as "plant") and a part: a new food cannot be forgotten.
"""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

from nutrition.food import Food
from nutrition.rows import Problems, Row, one_of, read_rows

RULES, NAMES = "origins/rules-1.csv", "origins/names-1.csv"
KINDS = ("species", "part")
MATCHES = ("food", "group", "word")  # The most certain first.


@dataclass(frozen=True, slots=True)
class Origin:
    """The animal a food comes from, and the part of it."""

    species: str
    part: str


@dataclass(frozen=True, slots=True)
class Origins:
    """The origin of each food by its key, and the names of animals and parts by theirs."""

    by_food: Mapping[str, Origin]
    species: Mapping[str, str]
    parts: Mapping[str, str]


def read_origins(foods: Iterable[Food], problems: Problems, *, root: Path) -> Origins:
    """Return the origin of every food; one without a rule is reported with what to add."""
    names = _read_names(problems, root)
    rules = _read_rules(names, problems, root)
    by_food = {}
    for food in foods:
        found = {kind: _first(rules, food, kind) for kind in KINDS}
        for kind in KINDS:
            if not found[kind]:
                problems.add_file(
                    RULES,
                    f"{food.key} ({food.name!r}, group {food.group}) has no {kind}; add a rule on "
                    "its key, its group or a word of its name.",
                )
        by_food[food.key] = Origin(**found)
    return Origins(by_food, names["species"], names["part"])


def _read_names(problems: Problems, root: Path) -> dict[str, dict[str, str]]:
    columns = ("kind", "key", "name")
    rows = read_rows(NAMES, columns=columns, problems=problems, unique=columns[:2], root=root)
    names: dict[str, dict[str, str]] = {kind: {} for kind in KINDS}
    for row in rows:
        if one_of(row, "kind", KINDS, problems):
            names[row["kind"]][row["key"]] = row["name"]
    return names


def _read_rules(
    names: Mapping[str, Mapping[str, str]], problems: Problems, root: Path
) -> list[Row]:
    rules = read_rows(
        RULES,
        columns=("on", "match", "species", "part", "note"),
        problems=problems,
        unique=("on", "match"),
        root=root,
    )
    for row in rules:
        one_of(row, "on", MATCHES, problems)
        for kind in KINDS:
            if row[kind]:
                one_of(row, kind, names[kind], problems)
        if not any(row[kind] for kind in KINDS):
            problems.add(row, "the rule says nothing; name an animal, a part or both.")
    return rules


def _first(rules: Iterable[Row], food: Food, kind: str) -> str:
    """Return what the first rule says that fits the food, rules on its key before others."""
    words = set(re.findall(r"[a-z]+", food.name.casefold()))
    words |= {word.removesuffix("s") for word in words}
    fits = {"food": {food.key}, "group": {food.group}, "word": words}
    said = [row for row in rules if row[kind] and row["match"] in fits.get(row["on"], ())]
    said.sort(key=lambda row: MATCHES.index(row["on"]))
    return said[0][kind] if said else ""
