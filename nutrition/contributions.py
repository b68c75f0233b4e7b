"""What is behind a figure: the foods, grams and sources that made it."""

from collections.abc import Sequence
from dataclasses import dataclass

from nutrition.composition import Totals, totals
from nutrition.errors import UnknownKeyError
from nutrition.food import Food, Provenance
from nutrition.nutrients import load_nutrients


@dataclass(frozen=True, slots=True)
class Contribution:
    """What one food gives of a nutrient.

    `least` and `most` bound the amount; None is unknown, never zero. `share` is of the known
    amount of the whole [-], None when the food has no figure. `unknown_share` is the part of the
    food's own energy whose amount is unknown [-].
    """

    food: str
    mass_g: float
    least: float | None
    most: float | None
    share: float | None
    unknown_share: float
    source: str
    locator: str
    verified: str | None


@dataclass(frozen=True, slots=True)
class Contributions:
    """The known amount of a nutrient, the most there can be, and each food's part of them."""

    nutrient: str
    known: float | None
    best: float | None
    rows: tuple[Contribution, ...]


def contributions(portions: Sequence[tuple[Food, float]], nutrient: str) -> Contributions:
    """Return what each food gives of a nutrient, the largest share first.

    Parameters
    ----------
    portions : sequence of (Food, float)
        Each food with its mass [g]; a food that comes twice is added up.
    nutrient : str
        Key of the nutrient [-].

    Returns
    -------
    Contributions
        Amounts in the nutrient's own unit. The foods' least amounts add up to the known amount
        of the whole. Foods without a figure stand last, the heaviest first.

    Raises
    ------
    UnknownKeyError
        If there is no such nutrient.
    InputError
        If a mass is negative or not finite.
    """
    if nutrient not in load_nutrients():
        raise UnknownKeyError("nutrient", nutrient, tuple(load_nutrients()))
    whole = totals(portions)
    masses: dict[str, tuple[Food, float]] = {}
    for food, mass_g in portions:
        if mass_g > 0:
            before_g = masses[food.key][1] if food.key in masses else 0.0
            masses[food.key] = (food, before_g + mass_g)
    rows = [_row(food, mass_g, nutrient, whole) for food, mass_g in masses.values()]
    rows.sort(key=_order)
    return Contributions(nutrient, whole.known[nutrient], whole.best[nutrient], tuple(rows))


def _row(food: Food, mass_g: float, nutrient: str, whole: Totals) -> Contribution:
    least, most = food.least(nutrient), food.most(nutrient)
    amount = None if least is None else least * mass_g / 100
    known = whole.known[nutrient]
    share = None
    if amount is not None and known is not None:
        share = amount / known if known > 0 else 0.0
    said = _provenance(food, nutrient)
    return Contribution(
        food=food.key,
        mass_g=mass_g,
        least=amount,
        most=None if most is None else most * mass_g / 100,
        share=share,
        unknown_share=food.unknown_share(nutrient),
        source=said.source,
        locator=said.locator,
        verified=said.verified or None,
    )


def _provenance(food: Food, nutrient: str) -> Provenance:
    """Return who gives the figure: this nutrient's own source, or else the food's own record.

    Where there is no figure but bounds, it is the source of the bounds.
    """
    own = Provenance(food.source, food.locator, food.verified)
    if nutrient not in food.values:
        own = food.range_provenance.get(nutrient, own)
    return food.provenance.get(nutrient, own)


def _order(row: Contribution) -> tuple[bool, float, float, str]:
    return (row.least is None, -(row.least or 0.0), -row.mass_g, row.food)
