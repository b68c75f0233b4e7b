"""The composition of one food: what is known, what bounds it, and what is not known."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from nutrition.nutrients import SUMS

Amounts = Mapping[str, float]


@dataclass(frozen=True, slots=True)
class Provenance:
    """Where one figure comes from: a source of sources.csv, the place in it, and how.

    `verified` is read, memory or computed.
    """

    source: str
    locator: str
    verified: str


@dataclass(frozen=True, slots=True)
class Food:
    """The composition of 100 g of a food.

    `values` has the figures that are known; a nutrient without one is unknown. `low` and `high`
    bound a figure that is published as a range, or an unknown one of which a part is known.
    `upper` is the highest figure published for the food's group. `gap` is the share of the
    food's energy whose value is unknown, where that is not all of it. Amounts are in the
    nutrient's own unit per 100 g. `also` holds the other names people use for the food.

    `energy_lowest_kcal_per_100g` and its counterpart are set where the energy is a range.
    `source`, `locator` and `verified` are those of the record most figures come from; `provenance`
    names, per nutrient, where a value has another one, and `range_provenance` the same for bounds.
    """

    key: str
    name: str
    group: str
    style: str
    energy_kcal_per_100g: float
    energy_method: str
    values: Amounts
    low: Amounts = field(default_factory=dict)
    high: Amounts = field(default_factory=dict)
    upper: Amounts = field(default_factory=dict)
    gap: Amounts = field(default_factory=dict)
    keeping_class: str | None = None
    source: str = ""
    locator: str = ""
    bone_share: float | None = None
    bone_source: str | None = None
    also: tuple[str, ...] = ()
    energy_lowest_kcal_per_100g: float | None = None
    energy_highest_kcal_per_100g: float | None = None
    verified: str = ""
    provenance: Mapping[str, Provenance] = field(default_factory=dict)
    range_provenance: Mapping[str, Provenance] = field(default_factory=dict)

    def least(self, nutrient: str) -> float | None:
        """Return the amount that is certainly there, None when nothing is known."""
        return self.low.get(nutrient, self.values.get(nutrient))

    def most(self, nutrient: str) -> float | None:
        """Return the most there can be, None when nothing published bounds it."""
        if nutrient in self.high:
            return self.high[nutrient]
        return self.values.get(nutrient, self.upper.get(nutrient))

    def unknown_share(self, nutrient: str) -> float:
        """Return the share of this food's energy whose amount of the nutrient is unknown [-]."""
        return 0.0 if nutrient in self.values else self.gap.get(nutrient, 1.0)


def significant(amounts: Amounts, *, digits: int) -> dict[str, float]:
    """Return the amounts with so many significant digits.

    Parameters
    ----------
    amounts : mapping of str to float
        Amounts [any unit].
    digits : int
        Significant digits to keep [-], one or more.

    Returns
    -------
    dict of str to float
        Amounts [same unit]. Figures that are worked out carry digits that nobody measured and
        that every phone would have to carry.

    Examples
    --------
    >>> significant({"zinc": 1.23456789, "iron": 0.0}, digits=4)
    {'zinc': 1.235, 'iron': 0.0}
    """
    return {key: float(f"{amount:.{digits}g}") for key, amount in amounts.items()}


def with_sums(
    values: Amounts, low: Amounts, high: Amounts, upper: Amounts
) -> tuple[dict[str, float], dict[str, float], dict[str, float]]:
    """Return values, low and high with the paired nutrients (EPA and DHA, ...) worked out.

    Parameters
    ----------
    values, low, high, upper : mapping of str to float
        Known amounts, their bounds and the group's ceiling [nutrient unit/100 g].

    Returns
    -------
    tuple of three dicts
        Amounts and bounds with the pairs [nutrient unit/100 g]. A pair of which one part is
        unknown has the other part as its least.
    """
    all_values, all_low, all_high = dict(values), dict(low), dict(high)
    for pair, parts in SUMS.items():
        if pair in all_values:
            continue
        known = [values[part] for part in parts if part in values]
        least = [low.get(part, values.get(part)) for part in parts]
        most = [high.get(part, values.get(part, upper.get(part))) for part in parts]
        if len(known) == len(parts):
            all_values[pair] = sum(known)
        if any(part in low for part in parts) or 0 < len(known) < len(parts):
            all_low[pair] = sum(amount for amount in least if amount is not None)
        if pair not in all_values or any(part in high for part in parts):
            bounded = [amount for amount in most if amount is not None]
            if len(bounded) == len(parts):
                all_high[pair] = sum(bounded)
    return all_values, all_low, all_high
