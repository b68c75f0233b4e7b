"""How much of what the standards ask for a food's table can answer."""

from collections.abc import Mapping, Sequence

from nutrition.food import Food
from nutrition.standard_tables import EditionLimits


def required_nutrients(standards: Mapping[str, EditionLimits]) -> tuple[str, ...]:
    """Return every nutrient that an edition sets an amount for, in any column, sorted."""
    columns = (
        limits
        for edition in standards.values()
        for stages in edition.values()
        for limits in stages.values()
    )
    return tuple(sorted({key for limits in columns for key in limits}))


def completeness(food: Food, nutrients: Sequence[str]) -> float:
    """Return the share of the nutrients that the food has a value for.

    Parameters
    ----------
    food : Food
        The food [per 100 g].
    nutrients : sequence of str
        Keys of the nutrients that are asked for; none gives a share of 1.

    Returns
    -------
    float
        Share [-], 0 to 1. A bound without a value does not count; a published zero does.

    Examples
    --------
    >>> food = Food("a", "A", "own", "raw", 100.0, "atwater", {"zinc": 1.0, "iron": 0.0})
    >>> completeness(food, ("copper", "iodine", "iron", "zinc"))
    0.5
    """
    if not nutrients:
        return 1.0
    return sum(key in food.values for key in nutrients) / len(nutrients)
