"""How much each dog gets of a batch, how many meals it makes, and what is left."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import floor, isfinite

from nutrition.errors import InputError

# A quotient such as 3 that floating point made 2.9999999999 is still three meals.
TOLERANCE = 1e-9


@dataclass(frozen=True, slots=True)
class Eater:
    """A dog that eats from the batch.

    `share` is the part of its day's energy that this batch is to give.
    """

    key: str
    energy_kcal_per_day: float
    meals_per_day: int
    share: float = 1.0


@dataclass(frozen=True, slots=True)
class Portion:
    """What one dog gets: grams per meal as weighed, and the energy in them."""

    key: str
    mass_g_per_meal: float
    mass_g_per_day: float
    energy_kcal_per_meal: float


@dataclass(frozen=True, slots=True)
class PortionPlan:
    """A batch shared out: `meals` is how often every dog can be fed once from it."""

    energy_kcal_per_g: float
    portions: tuple[Portion, ...]
    meal_g: float
    meals: int
    days: float
    left_over_g: float


def share_out(
    eaters: Sequence[Eater], *, energy_kcal: float, yield_g: float, step_g: float = 1.0
) -> PortionPlan:
    """Return each dog's portion, the meals a batch makes and what is left over.

    Parameters
    ----------
    eaters : sequence of Eater
        The dogs with their need [kcal/day] and meals a day; at least one.
    energy_kcal : float
        Energy of the whole batch [kcal], over 0.
    yield_g : float
        Mass of the finished batch [g], over 0.
    step_g : float
        Portions are rounded to this step of the scale [g], over 0.

    Returns
    -------
    PortionPlan
        Masses [g], energies [kcal], days [day].

    Raises
    ------
    InputError
        If the batch has no mass or energy, there is no eater, or a need is not over zero.

    Examples
    --------
    >>> plan = share_out([Eater("a", 1000, 2)], energy_kcal=10000, yield_g=5000)
    >>> plan.portions[0].mass_g_per_meal, plan.meals, plan.left_over_g
    (250.0, 20, 0.0)
    """
    _check(eaters, energy_kcal, yield_g, step_g)
    density = energy_kcal / yield_g
    portions = tuple(_portion(eater, density, step_g) for eater in eaters)
    meal_g = sum(portion.mass_g_per_meal for portion in portions)
    meals = floor(yield_g / meal_g + TOLERANCE)
    return PortionPlan(
        energy_kcal_per_g=density,
        portions=portions,
        meal_g=meal_g,
        meals=meals,
        days=yield_g / sum(portion.mass_g_per_day for portion in portions),
        left_over_g=max(0.0, yield_g - meals * meal_g),
    )


def _portion(eater: Eater, density: float, step_g: float) -> Portion:
    exact_g = eater.energy_kcal_per_day * eater.share / eater.meals_per_day / density
    # Halves go up, as a person rounds; a portion is never rounded away.
    steps = max(1, floor(exact_g / step_g + 0.5 + TOLERANCE))
    mass_g = steps * step_g
    return Portion(eater.key, mass_g, mass_g * eater.meals_per_day, mass_g * density)


def _check(eaters: Sequence[Eater], energy_kcal: float, yield_g: float, step_g: float) -> None:
    amounts = {"energy_kcal": energy_kcal, "yield_g": yield_g, "step_g": step_g}
    for name, amount in amounts.items():
        if not isfinite(amount) or amount <= 0:
            raise InputError(
                f"{name} is {amount}; it must be over zero. Weigh the batch and try again.",
                fields=(name,),
            )
    if not eaters:
        raise InputError("No dog eats from this batch. Choose at least one.", fields=("eaters",))
    for eater in eaters:
        if eater.energy_kcal_per_day <= 0 or eater.meals_per_day < 1 or not 0 < eater.share <= 1:
            raise InputError(
                f"{eater.key}: {eater.energy_kcal_per_day} kcal a day, {eater.meals_per_day} "
                f"meals and a share of {eater.share} were given; the need must be over zero, "
                "meals at least 1, and the share over 0 and up to 1.",
                fields=("eaters",),
            )
