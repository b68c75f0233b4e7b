"""What is in food: totals over portions that keep what is unknown, and their ratios."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import isfinite

from nutrition.cuts import cut_with_bone
from nutrition.errors import InputError
from nutrition.food import Food
from nutrition.labels import Label, food_from_label
from nutrition.nutrients import load_nutrients

__all__ = [
    "Food",
    "Label",
    "Ratio",
    "Totals",
    "calcium_to_phosphorus",
    "combined",
    "cut_with_bone",
    "food_from_label",
    "per_1000_kcal",
    "scaled",
    "totals",
]


@dataclass(frozen=True, slots=True)
class Totals:
    """The sum over portions of food.

    `known` is the part that is certain (None when nothing is known), `best` the most there can
    be (None when something in it is unbounded), `unknown_energy_share` the share of the energy
    that comes from food whose value is unknown.
    """

    mass_g: float
    energy_kcal: float
    known: Mapping[str, float | None]
    best: Mapping[str, float | None]
    unknown_energy_share: Mapping[str, float]


def totals(portions: Sequence[tuple[Food, float]]) -> Totals:
    """Return mass, energy and nutrients of several portions, with what is unknown in them.

    Parameters
    ----------
    portions : sequence of (Food, float)
        Each food with its mass [g], zero or more.

    Returns
    -------
    Totals
        Mass [g], energy [kcal], nutrients [each in its own unit].

    Raises
    ------
    InputError
        If a mass is negative or not finite.

    Notes
    -----
    Of nothing everything is known: an empty batch holds zero of each nutrient. When no portion
    has energy the unknown share is taken by mass.
    """
    for food, mass_g in portions:
        if not isfinite(mass_g) or mass_g < 0:
            raise InputError(
                f"{food.name}: {mass_g} g was given; a mass is zero or more. Weigh it again.",
                fields=("mass_g",),
            )
    eaten = [(food, mass_g) for food, mass_g in portions if mass_g > 0]
    mass_g = sum(mass_g for _, mass_g in eaten)
    energy_kcal = sum(mass_g / 100 * food.energy_kcal_per_100g for food, mass_g in eaten)
    keys = tuple(load_nutrients())
    return Totals(
        mass_g=mass_g,
        energy_kcal=energy_kcal,
        known={key: _known(eaten, key) for key in keys},
        best={key: _best(eaten, key) for key in keys},
        unknown_energy_share={key: _unknown_share(eaten, key) for key in keys},
    )


def _known(eaten: Sequence[tuple[Food, float]], nutrient: str) -> float | None:
    amounts = [(food.least(nutrient), mass_g) for food, mass_g in eaten]
    if amounts and all(amount is None for amount, _ in amounts):
        return None
    return sum(mass_g / 100 * amount for amount, mass_g in amounts if amount is not None)


def _best(eaten: Sequence[tuple[Food, float]], nutrient: str) -> float | None:
    total = 0.0
    for food, mass_g in eaten:
        amount = food.most(nutrient)
        if amount is None:
            return None
        total += mass_g / 100 * amount
    return total


def _unknown_share(eaten: Sequence[tuple[Food, float]], nutrient: str) -> float:
    weights = [mass_g / 100 * food.energy_kcal_per_100g for food, mass_g in eaten]
    if sum(weights) == 0:
        weights = [mass_g for _, mass_g in eaten]
    whole = sum(weights)
    if whole == 0:
        return 0.0
    unknown = sum(
        weight * food.unknown_share(nutrient)
        for weight, (food, _) in zip(weights, eaten, strict=True)
    )
    return unknown / whole


def per_1000_kcal(amount: float | None, *, energy_kcal: float) -> float | None:
    """Return an amount per 1000 kcal, None when it is unknown or there is no energy.

    Parameters
    ----------
    amount : float or None
        Amount in the whole [nutrient unit].
    energy_kcal : float
        Metabolisable energy of the whole [kcal].

    Returns
    -------
    float or None
        Amount [nutrient unit/1000 kcal].
    """
    if amount is None or energy_kcal <= 0:
        return None
    return amount / energy_kcal * 1000


@dataclass(frozen=True, slots=True)
class Ratio:
    """Calcium to phosphorus by mass [-]: from the known parts, and the range it can be in."""

    known: float | None
    lowest: float | None
    highest: float | None


def calcium_to_phosphorus(total: Totals) -> Ratio:
    """Return the calcium to phosphorus ratio of a total, with its range.

    Parameters
    ----------
    total : Totals
        A batch or an intake; calcium and phosphorus [mg].

    Returns
    -------
    Ratio
        Mass ratios [-]; None where phosphorus is zero or unknown.

    Notes
    -----
    The calcium and phosphorus of bone rise and fall together, so while both are fully known the
    range runs from least over least to most over most. As soon as one has a hole the range is
    widened to least over most and most over least.
    """
    least_ca, least_p = total.known["calcium"], total.known["phosphorus"]
    most_ca, most_p = total.best["calcium"], total.best["phosphorus"]
    known = _divide(least_ca, least_p)
    share = total.unknown_energy_share
    if share["calcium"] == 0 and share["phosphorus"] == 0:
        ends = [end for end in (known, _divide(most_ca, most_p)) if end is not None]
        return Ratio(known, min(ends, default=None), max(ends, default=None))
    return Ratio(known, _divide(least_ca, most_p), _divide(most_ca, least_p))


def _divide(top: float | None, bottom: float | None) -> float | None:
    return None if top is None or bottom is None or bottom == 0 else top / bottom


def combined(parts: Sequence[Totals]) -> Totals:
    """Return the sum of several totals, such as the meals of a window.

    Parameters
    ----------
    parts : sequence of Totals
        Totals to add; none gives the total of nothing.

    Returns
    -------
    Totals
        Mass [g], energy [kcal], nutrients [each in its own unit].

    Notes
    -----
    A part that knows nothing of a nutrient adds nothing to the known sum and takes the upper
    bound away; the unknown shares are weighed by energy, or by mass when there is no energy.
    """
    parts = [part for part in parts if part.mass_g > 0]
    if not parts:
        return totals([])
    energy_kcal = sum(part.energy_kcal for part in parts)
    weights = [part.energy_kcal if energy_kcal > 0 else part.mass_g for part in parts]
    keys = tuple(load_nutrients())
    return Totals(
        mass_g=sum(part.mass_g for part in parts),
        energy_kcal=energy_kcal,
        known={key: _sum_of_known([part.known[key] for part in parts]) for key in keys},
        best={key: _sum_of_all([part.best[key] for part in parts]) for key in keys},
        unknown_energy_share={
            key: sum(
                weight * part.unknown_energy_share[key]
                for weight, part in zip(weights, parts, strict=True)
            )
            / sum(weights)
            for key in keys
        },
    )


def _sum_of_known(amounts: Sequence[float | None]) -> float | None:
    known = [amount for amount in amounts if amount is not None]
    return sum(known) if known else None


def _sum_of_all(amounts: Sequence[float | None]) -> float | None:
    known = [amount for amount in amounts if amount is not None]
    return sum(known) if len(known) == len(amounts) else None


def scaled(total: Totals, *, share: float) -> Totals:
    """Return a part of a total, such as one serving of a batch.

    Parameters
    ----------
    total : Totals
        The whole, well mixed.
    share : float
        Part of the whole by mass [g/g], zero or more.

    Returns
    -------
    Totals
        Mass [g], energy [kcal], nutrients [each in its own unit].

    Raises
    ------
    InputError
        If the share is negative or not finite.
    """
    if not isfinite(share) or share < 0:
        raise InputError(
            f"The share is {share}; it must be zero or more. Check the masses.", fields=("share",)
        )
    if share == 0:
        return totals([])
    return Totals(
        mass_g=total.mass_g * share,
        energy_kcal=total.energy_kcal * share,
        known={key: _times(amount, share) for key, amount in total.known.items()},
        best={key: _times(amount, share) for key, amount in total.best.items()},
        unknown_energy_share=total.unknown_energy_share,
    )


def _times(amount: float | None, factor: float) -> float | None:
    return None if amount is None else amount * factor
