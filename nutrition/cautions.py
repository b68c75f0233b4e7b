"""Which cautions are shown, and when."""

from collections.abc import Iterable

from nutrition.composition import Totals, per_1000_kcal
from nutrition.errors import UnknownKeyError
from nutrition.food import Food
from nutrition.loading import load
from nutrition.rule_tables import MOMENTS, Caution
from nutrition.standards import DEFAULT_EDITION, targets

_MEAT_GROUPS = {
    "red_meat",
    "poultry",
    "game",
    "heart",
    "liver",
    "kidney",
    "organ",
    "tripe",
    "bone_in",
    "whole_prey",
    "oily_fish",
    "white_fish",
    "shellfish",
}
_GROUP_MOMENTS = {
    "poultry": "poultry_raw",
    "game": "game_raw",
    "oily_fish": "fish_raw",
    "white_fish": "fish_raw",
    "bone_in": "bone",
    "whole_prey": "bone",
    "liver": "liver",
    "fish_oil": "supplement",
    "mineral": "supplement",
    "supplement": "supplement",
    "seaweed": "seaweed",
    "own": "own_food",
}
_RAW_ONLY = {"poultry_raw", "game_raw", "fish_raw"}
_PIGS = {"pork", "wild_boar"}


def at(moment: str) -> tuple[Caution, ...]:
    """Return the cautions of one moment.

    Raises
    ------
    UnknownKeyError
        If there is no such moment.
    """
    if moment not in MOMENTS:
        raise UnknownKeyError("moment", moment, MOMENTS)
    return tuple(caution for caution in load().cautions if caution.moment == moment)


def for_batch(
    foods: Iterable[Food], *, method: str, total: Totals | None = None
) -> tuple[Caution, ...]:
    """Return the cautions that a batch of these foods calls for, each once, in table order.

    Parameters
    ----------
    foods : iterable of Food
        What goes in.
    method : str
        ground, chopped, cooked, bone_in or dry_mix [-].
    total : Totals or None
        The batch's totals: fat [g] and energy [kcal], for the caution about fat.
    """
    moments: set[str] = set()
    for food in foods:
        is_raw_meat = food.style == "raw" and food.group in _MEAT_GROUPS
        if is_raw_meat:
            moments |= {"raw", "weigh_in", "batch_done"}
        moment = _GROUP_MOMENTS.get(food.group)
        if moment and (is_raw_meat or moment not in _RAW_ONLY):
            moments.add(moment)
        if food.group == "egg" and food.style == "raw":
            moments.add("egg_raw")
        origin = load().origins.by_food.get(food.key)
        if is_raw_meat and origin is not None and origin.species in _PIGS:
            moments.add("pork_raw")
        if food.bone_share is not None and "poultry" in (food.keeping_class or ""):
            moments.add("poultry_raw")
    if method == "ground":
        moments |= {"grinder", "grinder_bone"} if "bone" in moments else {"grinder"}
    if total is not None and _is_fatty(total):
        moments.add("fatty")
    return tuple(caution for caution in load().cautions if caution.moment in moments)


def _is_fatty(total: Totals) -> bool:
    limit = targets(DEFAULT_EDITION, "adult").limits["fat"].maximum
    fat = per_1000_kcal(total.known["fat"], energy_kcal=total.energy_kcal)
    return limit is not None and fat is not None and fat > limit


def for_dog(*, age_band: str, is_first_raw: bool = False) -> tuple[Caution, ...]:
    """Return the cautions that go with a dog's age, and with its first raw meal."""
    moments = {"puppy": {"puppy"}, "senior": {"senior"}}.get(age_band, set())
    if is_first_raw:
        moments = moments | {"first_raw"}
    return tuple(caution for caution in load().cautions if caution.moment in moments)
