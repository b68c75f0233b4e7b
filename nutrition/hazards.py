"""Foods that hurt dogs, found by any of their names."""

import re
from dataclasses import dataclass
from functools import cache

from nutrition.energy_equations import check_range
from nutrition.loading import load
from nutrition.rule_tables import Hazard


def find(name: str) -> Hazard | None:
    """Return the gravest hazard that a food's name points to, None when there is none.

    Whole words are compared, so "grape" is not found in "grapefruit"; names that merely contain
    a hazard's word, such as grape seed oil, are listed with the hazard and left alone.

    Examples
    --------
    >>> found = find("Red onion, chopped")
    >>> found.key if found else None
    'onion'
    >>> find("Grape seed oil") is None
    True
    """
    found = find_all(name)
    return min(found, key=lambda hazard: hazard.severity != "stop", default=None)


def find_all(name: str) -> tuple[Hazard, ...]:
    """Return every hazard that a food's name points to, in the order of the table."""
    text = " ".join(re.findall(r"[\w']+", name.casefold()))
    return tuple(
        hazard for hazard, pattern, harmless in _patterns() if _hit(text, pattern, harmless)
    )


@dataclass(frozen=True, slots=True)
class Dose:
    """What is published to harm a dog of one weight: of the substance, and as products."""

    amount: float
    unit: str
    products: tuple[tuple[str, float], ...]


def dose_for(hazard: Hazard, mass_kg: float) -> Dose | None:
    """Return the published dose of a hazard for a dog of this weight.

    Parameters
    ----------
    hazard : Hazard
        A hazard of the table, with its dose per weight [g/kg or mg/kg].
    mass_kg : float
        Body weight [kg], 0.05 to 150.

    Returns
    -------
    Dose or None
        The amount [g or mg, as `unit` says], and the grams of each product that hold it [g]. None
        where no dose is published: that does not mean that some is safe.

    Raises
    ------
    InputError
        If the weight is outside its range.
    """
    check_range("mass_kg", mass_kg, 0.05, 150, "kg")
    if hazard.amount is None:
        return None
    amount = hazard.amount * mass_kg
    products = tuple(
        (content.name, amount / content.amount_mg_per_g) for content in hazard.contents
    )
    return Dose(amount, hazard.unit.removesuffix("/kg"), products)


def _hit(text: str, pattern: re.Pattern[str], harmless: re.Pattern[str] | None) -> bool:
    if harmless is not None:
        text = harmless.sub(" ", text)
    return pattern.search(text) is not None


@cache
def _patterns() -> tuple[tuple[Hazard, re.Pattern[str], re.Pattern[str] | None], ...]:
    return tuple(
        (
            hazard,
            _any_of(hazard.synonyms),
            _any_of(hazard.not_names) if hazard.not_names else None,
        )
        for hazard in load().hazards
    )


def _any_of(names: tuple[str, ...]) -> re.Pattern[str]:
    words = (" ".join(re.findall(r"[\w']+", name.casefold())) for name in names)
    return re.compile(r"\b(?:" + "|".join(map(re.escape, words)) + r")\b")
