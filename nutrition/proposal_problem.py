"""What a batch is to be proposed from: foods, stock, what the dogs want, and what people chose."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from math import isfinite
from typing import Any

from nutrition.errors import InputError
from nutrition.food import Food
from nutrition.loading import load

Amounts = Mapping[str, float]

LIVER = "liver"  # the group of foods that a cap on liver means
# The parts of an animal that a cap on organs means, liver among them: muscles such as heart,
# tongue and gizzard are none, nor is tripe.
ORGANS = frozenset(
    {
        "liver",
        "kidney",
        "spleen",
        "pancreas",
        "brain",
        "thymus",
        "testicle",
        "lung",
        "blood",
        "giblets",
        "udder",
        "uterus",
        "eye",
    }
)
# [g/g] Common practice at home, about one half of it liver; no source, and nobody published a
# limit. So it gives way to a dog's own cap and to its energy, and comes before the shortfalls: a
# batch that is one third spleen mends much on paper that nobody would feed.
COMMON_ORGAN_SHARE = 0.10


@dataclass(frozen=True, slots=True)
class Ingredient:
    """A food that may go into the batch, per 100 g.

    `least` has what is certainly there and `most` the most there can be; a nutrient without an
    entry is unknown. `fed_share` is the part of the last fortnight's energy that came from the
    same animal [-].
    """

    key: str
    energy_kcal_per_100g: float
    least: Amounts
    most: Amounts
    bone_share: float = 0.0
    is_liver: bool = False
    is_organ: bool = False
    fed_share: float = 0.0


@dataclass(frozen=True, slots=True)
class Lot:
    """What lies in store of a food: `mass_g` of it in packs of `pack_g` [g].

    Without packs any part of it can be taken and nothing is left over in an opened pack.
    `age_days` counts from the day it was frozen or bought [day]; `price_per_kg` is in any
    currency. None is unknown.
    """

    key: str
    food: str
    mass_g: float
    pack_g: float | None = None
    age_days: float | None = None
    price_per_kg: float | None = None


@dataclass(frozen=True, slots=True)
class Wanted:
    """What every eater asks of the batch together, per 1000 kcal in the nutrient's unit.

    `minimum` is that of the most demanding dog, `maximum` that of the most sensitive. `lacked` is
    what the last fortnight lacked, spread over the energy of this batch.
    """

    nutrient: str
    minimum: float | None = None
    maximum: float | None = None
    lacked: float = 0.0


@dataclass(frozen=True, slots=True)
class RatioWanted:
    """One sum of nutrients over another, both in the same unit, and its limits [-]."""

    key: str
    top: tuple[str, ...]
    bottom: tuple[str, ...]
    minimum: float | None = None
    maximum: float | None = None


@dataclass(frozen=True, slots=True)
class Choice:
    """What a person settled of a food: at least and at most so much of it [g].

    Equal ends pin it, a most of 0 leaves it out.
    """

    food: str
    least_g: float = 0.0
    most_g: float | None = None


@dataclass(frozen=True, slots=True)
class Problem:
    """A batch to be proposed: its energy [kcal] and all that bears on it.

    `bone_cap`, `liver_cap` and `organ_cap` are the largest shares of the mass that a dog may have
    [g/g]. `organ_practice` is the share of organs that is common, for dogs without a cap [g/g].
    `forbidden` names foods that one of the dogs may not have.
    """

    energy_kcal: float
    ingredients: tuple[Ingredient, ...]
    lots: tuple[Lot, ...]
    wanted: tuple[Wanted, ...] = ()
    ratios: tuple[RatioWanted, ...] = ()
    choices: tuple[Choice, ...] = ()
    forbidden: tuple[str, ...] = ()
    bone_cap: float | None = None
    liver_cap: float | None = None
    organ_cap: float | None = None
    organ_practice: float | None = None
    by_food: Mapping[str, Ingredient] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        foods = {each.key: each for each in self.ingredients}
        object.__setattr__(self, "by_food", foods)
        _check(self)


def certain(food: Ingredient, nutrients: Sequence[str]) -> float:
    """Return the part of some nutrients that is certain in 100 g of a food [nutrient's unit]."""
    return sum(food.least.get(key, 0.0) for key in nutrients)


def at_most(food: Ingredient, nutrients: Sequence[str]) -> float:
    """Return the most there can be of some nutrients; the certain part where nothing bounds it."""
    return sum(food.most.get(key, food.least.get(key, 0.0)) for key in nutrients)


def counted(food: Ingredient, nutrients: Sequence[str]) -> float:
    """Return the certain part of some nutrients, or the most where no part is certain."""
    return sum(food.least.get(key, food.most.get(key, 0.0)) for key in nutrients)


def ingredient_of(food: Food, *, fed_share: float = 0.0) -> Ingredient:
    """Return a food of the tables as something that may go into a batch.

    Parameters
    ----------
    food : Food
        The food, per 100 g [nutrient's unit].
    fed_share : float
        Part of the last fortnight's energy that came from the same animal [-].

    Returns
    -------
    Ingredient
        Per 100 g [nutrient's unit].
    """
    keys = {*food.values, *food.low, *food.high, *food.upper}
    return Ingredient(
        food.key,
        food.energy_kcal_per_100g,
        {key: least for key in sorted(keys) if (least := food.least(key)) is not None},
        {key: most for key in sorted(keys) if (most := food.most(key)) is not None},
        food.bone_share or 0.0,
        food.group == LIVER,
        load().origins.by_food[food.key].part in ORGANS,
        fed_share,
    )


def problem_from_json(given: Mapping[str, Any]) -> Problem:
    """Return a problem from its JSON form, in which the parts have the same names."""
    return Problem(
        energy_kcal=given["energy_kcal"],
        ingredients=tuple(Ingredient(**each) for each in given["ingredients"]),
        lots=tuple(Lot(**each) for each in given["lots"]),
        wanted=tuple(Wanted(**each) for each in given.get("wanted", ())),
        ratios=tuple(
            RatioWanted(**{**each, "top": tuple(each["top"]), "bottom": tuple(each["bottom"])})
            for each in given.get("ratios", ())
        ),
        choices=tuple(Choice(**each) for each in given.get("choices", ())),
        forbidden=tuple(given.get("forbidden", ())),
        bone_cap=given.get("bone_cap"),
        liver_cap=given.get("liver_cap"),
        organ_cap=given.get("organ_cap"),
        organ_practice=given.get("organ_practice"),
    )


def _check(problem: Problem) -> None:
    if not isfinite(problem.energy_kcal) or problem.energy_kcal <= 0:
        raise InputError(
            f"The batch is to hold {problem.energy_kcal} kcal; it must be over zero. Choose dogs "
            "whose need is known, and at least one day.",
            fields=("energy_kcal",),
        )
    for lot in problem.lots:
        packs_g = 1.0 if lot.pack_g is None else lot.pack_g
        if lot.food not in problem.by_food:
            raise InputError(
                f"The composition of {lot.food!r} was not given. Add it, or leave the lot out.",
                fields=("lots",),
            )
        if not isfinite(lot.mass_g) or lot.mass_g < 0 or packs_g <= 0:
            raise InputError(
                f"{lot.food}: {lot.mass_g} g in packs of {lot.pack_g} g was given; the mass is "
                "zero or more and a pack over zero. Count the lot again.",
                fields=("lots",),
            )
    for wanted in problem.wanted:
        if wanted.maximum is not None and wanted.maximum <= 0:
            raise InputError(
                f"{wanted.nutrient}: a maximum of {wanted.maximum} was given; it must be over "
                "zero. To keep a food out altogether, forbid the food.",
                fields=("wanted",),
            )
    for choice in problem.choices:
        most_g = choice.least_g if choice.most_g is None else choice.most_g
        if choice.food not in problem.by_food or not 0 <= choice.least_g <= most_g:
            raise InputError(
                f"{choice.food}: from {choice.least_g} g to {choice.most_g} g was chosen; the "
                "food must be known, and the least not over the most.",
                fields=("choices",),
            )
