"""How varied the food is: what the energy of some days came from, and how long ago each was fed."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from math import isfinite

from nutrition.errors import InputError
from nutrition.food import Food
from nutrition.loading import load

NOT_SAID = "not_said"
STYLES = ("ground", "chopped", "bone_in", "cooked", "dry", "raw", "treat", "other")


@dataclass(frozen=True, slots=True)
class Fed:
    """One serving as eaten: its day, how it was made, and the grams of each food in it."""

    day: date
    style: str
    portions: Sequence[tuple[Food, float]]


@dataclass(frozen=True, slots=True)
class Turn:
    """One animal, part or style of feeding.

    `share` is of the energy of the window [-], None when nothing in it has energy; `days_since`
    counts from the last day of the window back to the day it was last fed.
    """

    key: str
    energy_kcal: float
    share: float | None
    days_since: int


@dataclass(frozen=True, slots=True)
class Rotation:
    """What the energy of a window came from, the largest share first."""

    energy_kcal: float
    species: tuple[Turn, ...]
    parts: tuple[Turn, ...]
    styles: tuple[Turn, ...]


def rotation(fed: Sequence[Fed], *, first: date, last: date) -> Rotation:
    """Return what the energy from the first to the last day came from.

    Parameters
    ----------
    fed : sequence of Fed
        What was eaten: masses [g]. Servings before the first day add no energy; they only tell
        how long ago something was fed. Servings after the last day are left out.
    first, last : date
        The window, both days within it.

    Returns
    -------
    Rotation
        Energy [kcal] and its shares [-] by animal, part of the animal and style of feeding. Food
        whose origin nobody gave, such as a household's own, stands as "not_said".

    Raises
    ------
    InputError
        If the first day is after the last, or a style or a mass is not one.
    """
    if first > last:
        raise InputError(
            f"The window runs from {first} to {last}; its first day is not after its last.",
            fields=("first", "last"),
        )
    parts = [part for serving in fed for part in _parts(serving, first) if part.day <= last]
    whole_kcal = sum(part.energy_kcal for part in parts)
    found = {kind: _turns(parts, kind, whole_kcal, last) for kind in ("species", "part", "style")}
    return Rotation(whole_kcal, found["species"], found["part"], found["style"])


@dataclass(frozen=True, slots=True)
class _Part:
    day: date
    energy_kcal: float
    keys: Mapping[str, str]


def _parts(serving: Fed, first: date) -> list[_Part]:
    if serving.style not in STYLES:
        raise InputError(
            f"{serving.style!r} is no style of feeding; use one of {', '.join(STYLES)}.",
            fields=("style",),
        )
    counts = serving.day >= first
    found = []
    for food, mass_g in serving.portions:
        if not isfinite(mass_g) or mass_g < 0:
            raise InputError(
                f"{food.name}: {mass_g} g was given; a mass is zero or more. Weigh it again.",
                fields=("mass_g",),
            )
        origin = load().origins.by_food.get(food.key)
        keys = {
            "species": origin.species if origin else NOT_SAID,
            "part": origin.part if origin else NOT_SAID,
            "style": serving.style,
        }
        energy_kcal = mass_g / 100 * food.energy_kcal_per_100g if counts else 0.0
        if mass_g > 0:
            found.append(_Part(serving.day, energy_kcal, keys))
    return found


def _turns(parts: Sequence[_Part], kind: str, whole_kcal: float, last: date) -> tuple[Turn, ...]:
    energy_kcal: dict[str, float] = defaultdict(float)
    day: dict[str, date] = {}
    for part in parts:
        key = part.keys[kind]
        energy_kcal[key] += part.energy_kcal
        day[key] = max(day.get(key, part.day), part.day)
    turns = (
        Turn(key, amount, amount / whole_kcal if whole_kcal else None, (last - day[key]).days)
        for key, amount in energy_kcal.items()
    )
    return tuple(sorted(turns, key=lambda turn: (-turn.energy_kcal, turn.days_since, turn.key)))
