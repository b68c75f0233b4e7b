"""A copy of a table's food with figures of the household's own."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from nutrition.coefficients import load_energy
from nutrition.cuts import cut_with_bone
from nutrition.errors import InputError
from nutrition.food import Amounts, Food, with_sums
from nutrition.label_energy import MOST_KCAL_PER_100G
from nutrition.labels import check_nutrients
from nutrition.nutrients import PROXIMATES, SUMS

# Tables add up to a little more or less than 100, since each figure is an analysis of its own.
MOST_PROXIMATES_G = 103


@dataclass(frozen=True, slots=True)
class CutParts:
    """The two foods that a cut with bone is mixed from."""

    boneless: Food
    bone: Food


def edited_copy(
    base: Food,
    *,
    key: str,
    name: str,
    own: Amounts,
    energy_kcal_per_100g: float | None = None,
    bone_share_pct: float | None = None,
    parts: CutParts | None = None,
) -> Food:
    """Return a copy of a food with some figures replaced; all others stay as they are.

    Parameters
    ----------
    base : Food
        The food of the table.
    key, name : str
        Key and name of the copy [-].
    own : mapping of str to float
        The household's own figures [nutrient unit/100 g].
    energy_kcal_per_100g : float or None
        The household's own energy [kcal/100 g].
    bone_share_pct : float or None
        The household's own share of bone in a cut [%], 0 to 100.
    parts : CutParts or None
        What the cut is mixed from; needed with a bone share.

    Returns
    -------
    Food
        An own figure is a figure: it has no range. What the table does not know and nobody typed
        stays unknown.

    Raises
    ------
    InputError
        If a figure cannot be, the contents add up to too much, or the food has no bone.

    Notes
    -----
    Own protein, fat or carbohydrate change the energy by the Atwater factors the table used.
    """
    check_nutrients(own, name)
    mixed = base if bone_share_pct is None else _with_share(base, parts, bone_share_pct)
    values, low, high = _replaced(mixed, own)
    total_g = sum(values.get(part, 0.0) for part in PROXIMATES)
    if own.keys() & set(PROXIMATES) and total_g > MOST_PROXIMATES_G:
        raise InputError(
            f"{name}: water, protein, fat, carbohydrate, fibre and ash add up to {total_g:.1f} g "
            "per 100 g. Change the others too, the water most likely.",
            fields=("nutrients_per_100g",),
        )
    return replace(
        mixed,
        key=key,
        name=name,
        energy_kcal_per_100g=_energy(mixed, own, energy_kcal_per_100g),
        energy_method=mixed.energy_method if energy_kcal_per_100g is None else "label",
        values=values,
        low=low,
        high=high,
        # The table's own account of each figure and of its range no longer holds for a copy.
        verified="",
        provenance={},
        range_provenance={},
        energy_lowest_kcal_per_100g=None,
        energy_highest_kcal_per_100g=None,
        gap={nutrient: share for nutrient, share in mixed.gap.items() if nutrient not in values},
    )


def _with_share(base: Food, parts: CutParts | None, bone_share_pct: float) -> Food:
    if parts is None:
        raise InputError(
            f"{base.name} is not a cut with bone in the table, so it has no share of bone to "
            "change. Take the share out.",
            fields=("bone_share_pct",),
        )
    if not 0 <= bone_share_pct <= 100:
        raise InputError(
            f"The share of bone is {bone_share_pct} %; it lies between 0 and 100 %.",
            fields=("bone_share_pct",),
        )
    cut = cut_with_bone(
        key=base.key,
        name=base.name,
        boneless=parts.boneless,
        bone=parts.bone,
        bone_share=bone_share_pct / 100,
        keeping_class=base.keeping_class,
        bone_source="your own figure",
        group=base.group,
    )
    return replace(cut, style=base.style, also=base.also)


def _replaced(
    base: Food, own: Amounts
) -> tuple[dict[str, float], dict[str, float], dict[str, float]]:
    # A pair whose part is replaced no longer holds, unless it was typed itself.
    stale = {pair for pair, parts in SUMS.items() if own.keys() & set(parts)}
    gone = own.keys() | stale

    def kept(amounts: Mapping[str, float]) -> dict[str, float]:
        return {nutrient: amount for nutrient, amount in amounts.items() if nutrient not in gone}

    return with_sums({**kept(base.values), **own}, kept(base.low), kept(base.high), base.upper)


def _energy(base: Food, own: Amounts, printed: float | None) -> float:
    if printed is not None:
        if not 0 <= printed <= MOST_KCAL_PER_100G:
            raise InputError(
                f"The energy is {printed} kcal per 100 g; pure fat has 900. Check it.",
                fields=("energy_kcal_per_100g",),
            )
        return printed
    method = "modified_atwater" if base.energy_method == "modified_atwater" else "atwater"
    energy_kcal = base.energy_kcal_per_100g
    for part in ("protein", "fat", "carbohydrate"):
        if part in own:
            change_g = own[part] - base.values.get(part, 0.0)
            energy_kcal += load_energy().value(f"{method}.{part}") * change_g
    return max(0.0, energy_kcal)
