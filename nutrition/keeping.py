"""Until when food keeps: published cold-storage times, the earliest component wins."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from nutrition.errors import UnknownKeyError
from nutrition.loading import load
from nutrition.rule_tables import PLACES, Keeping

METHODS = ("ground", "chopped", "cooked", "bone_in", "dry_mix")
# Grinding spreads what was on the surface through the whole, so any ground or cut meat keeps
# as the chart says of ground or stew meat, whatever it was before.
_AS_MADE = {
    "ground": {"stew_meat", "red_meat_pieces", "poultry_pieces", "poultry_whole"},
    "chopped": {"red_meat_pieces"},
}
_BECOMES = {"ground": "ground_meat", "chopped": "stew_meat"}


@dataclass(frozen=True, slots=True)
class Component:
    """A part of what is put by: its class in the chart, and its own deadline if it has one."""

    name: str
    food_class: str | None
    deadline: date | None = None


@dataclass(frozen=True, slots=True)
class UseBy:
    """Until when something keeps.

    `use_by` is the cautious day, `at_latest` the last one the chart allows; both are None when
    no chart covers any component. `no_figure` names the components no chart covers.
    """

    use_by: date | None
    at_latest: date | None
    decided_by: str
    source: str
    note: str
    no_figure: tuple[str, ...]


def class_as_made(food_class: str | None, method: str) -> str | None:
    """Return the chart's class of a food once it is prepared by `method`.

    Raises
    ------
    UnknownKeyError
        If the method is not known.
    """
    if method not in METHODS:
        raise UnknownKeyError("method", method, METHODS)
    # No chart has a row for dry food that is wet: it keeps as leftovers do.
    if method == "cooked" or (method == "dry_mix" and food_class is None):
        return "cooked"
    if food_class in _AS_MADE.get(method, set()):
        return _BECOMES[method]
    return food_class


def find(food_class: str, place: str) -> Keeping | None:
    """Return the chart's entry for a class in a place, None when there is none.

    Raises
    ------
    UnknownKeyError
        If the place is not known.
    """
    if place not in PLACES:
        raise UnknownKeyError("place", place, PLACES)
    return next(
        (k for k in load().keeping if k.food_class == food_class and k.place == place), None
    )


def use_by(
    components: Sequence[Component], *, since: date, place: str, method: str = "bone_in"
) -> UseBy:
    """Return until when a mix keeps, from the component that keeps least.

    Parameters
    ----------
    components : sequence of Component
        What is in it [-].
    since : date
        The day it was put there [-].
    place : str
        fridge, freezer, or thawed (in the fridge after thawing there) [-].
    method : str
        ground, chopped, cooked, dry_mix (mixed with dry food), or bone_in for food left whole [-].

    Returns
    -------
    UseBy
        The dates, what decided them and what no chart covers.

    Raises
    ------
    UnknownKeyError
        If the place or method is not known.

    References
    ----------
    FoodSafety.gov cold food storage chart; times in a freezer are about quality only.
    """
    if place not in PLACES:
        raise UnknownKeyError("place", place, PLACES)
    ends: list[tuple[date, date, str, str, str]] = []
    without: list[str] = []
    for part in components:
        made = class_as_made(part.food_class, method)
        kept = find(made, place) if made else None
        if kept is None:
            without.append(part.name)
        else:
            first = since + timedelta(days=kept.days_min)
            last = since + timedelta(days=kept.days_max)
            ends.append((first, last, part.name, kept.source, kept.note))
        if part.deadline is not None:
            note = "its own use-by date"
            ends.append((part.deadline, part.deadline, part.name, "trencher", note))
    if not ends:
        return UseBy(None, None, "", "", "", tuple(without))
    first_end = min(ends, key=lambda end: end[0])
    at_latest = min(end[1] for end in ends)
    return UseBy(first_end[0], at_latest, *first_end[2:], no_figure=tuple(without))
