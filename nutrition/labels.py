"""Foods of the household's own, from what their label prints."""

from dataclasses import dataclass, field
from math import isfinite

from nutrition.errors import InputError
from nutrition.food import Amounts, Food, with_sums
from nutrition.food_energy import (
    LabelAnalysis,
    atwater_kcal_per_100g,
    complete_label,
    four_step_kcal_per_100g,
)
from nutrition.nutrients import load_nutrients


@dataclass(frozen=True, slots=True)
class Label:
    """What a household types from a label, per 100 g as fed; None where the label is silent."""

    protein_pct: float
    fat_pct: float
    fibre_pct: float | None = None
    moisture_pct: float | None = None
    ash_pct: float | None = None
    energy_kcal_per_100g: float | None = None
    nutrients_per_100g: Amounts = field(default_factory=dict)


DRY_STYLES = ("dry", "treat")
STYLES = ("dry", "cooked", "raw", "treat")


def food_from_label(label: Label, *, key: str, name: str, style: str) -> Food:
    """Return a food of the household's own from its label.

    Parameters
    ----------
    label : Label
        Contents [% as fed], energy [kcal/100 g] and further nutrients [nutrient unit/100 g].
    key, name : str
        Key and name of the food [-].
    style : str
        One of dry, treat, cooked, raw [-].

    Returns
    -------
    Food
        Everything the label does not print stays unknown and has no upper bound.

    Raises
    ------
    InputError
        If the label contradicts itself, a nutrient key is unknown, or the energy can neither be
        read nor worked out.

    Notes
    -----
    The energy is the label's own figure if it prints one; else the four-step equation of NRC
    2006 for dry food and treats, and Atwater factors for raw and cooked food.
    """
    if style not in STYLES:
        raise InputError(
            f"{name}: style {style!r} is not known; use one of {', '.join(STYLES)}.",
            fields=("style",),
        )
    _check_nutrients(label.nutrients_per_100g, name)
    energy_kcal, method = _label_energy(label, is_dry=style in DRY_STYLES)
    values = _label_values(label)
    values, low, high = with_sums(values, {}, {}, {})
    return Food(
        key=key,
        name=name,
        group="own",
        style="dry" if style in DRY_STYLES else style,
        energy_kcal_per_100g=energy_kcal,
        energy_method=method,
        values=values,
        low=low,
        high=high,
        keeping_class="cooked" if style == "cooked" else None,
        source="trencher",
        locator="label",
    )


def _check_nutrients(nutrients: Amounts, name: str) -> None:
    known = load_nutrients()
    for key, amount in nutrients.items():
        if key not in known:
            raise InputError(
                f"{name}: there is no nutrient called {key!r}; use one of "
                f"{', '.join(list(known)[:8])}, ...",
                fields=("nutrients_per_100g",),
            )
        if not isfinite(amount) or amount < 0:
            raise InputError(
                f"{name}: {known[key].name} is {amount} {known[key].unit} per 100 g; it must be "
                "zero or more. Check the label.",
                fields=("nutrients_per_100g",),
            )


def _label_energy(label: Label, *, is_dry: bool) -> tuple[float, str]:
    if label.energy_kcal_per_100g is not None:
        if not 0 <= label.energy_kcal_per_100g <= 950:
            raise InputError(
                f"The energy is {label.energy_kcal_per_100g} kcal per 100 g; pure fat has 900. "
                "Check the label and its unit.",
                fields=("energy_kcal_per_100g",),
            )
        _analysis(label, is_dry=True)
        return label.energy_kcal_per_100g, "label"
    whole = _analysis(label, is_dry=is_dry)
    if is_dry:
        energy_kcal = four_step_kcal_per_100g(
            protein_g=whole.protein_g,
            fat_g=whole.fat_g,
            carbohydrate_g=whole.carbohydrate_g,
            fibre_g=whole.fibre_g,
            water_g=whole.water_g,
        )
        return energy_kcal, "four_step"
    energy_kcal = atwater_kcal_per_100g(
        protein_g=whole.protein_g, fat_g=whole.fat_g, carbohydrate_g=whole.carbohydrate_g
    )
    return energy_kcal, "atwater"


def _analysis(label: Label, *, is_dry: bool) -> LabelAnalysis:
    return complete_label(
        is_dry=is_dry,
        protein_pct=label.protein_pct,
        fat_pct=label.fat_pct,
        fibre_pct=label.fibre_pct,
        moisture_pct=label.moisture_pct,
        ash_pct=label.ash_pct,
    )


def _label_values(label: Label) -> dict[str, float]:
    printed = {
        "protein": label.protein_pct,
        "fat": label.fat_pct,
        "fibre": label.fibre_pct,
        "water": label.moisture_pct,
        "ash": label.ash_pct,
    }
    values = {key: amount for key, amount in printed.items() if amount is not None}
    # By difference only when nothing had to be assumed: an assumed ash would make a false fact.
    if len(values) == len(printed):
        values["carbohydrate"] = max(0.0, 100 - sum(values.values()))
    return {**values, **label.nutrients_per_100g}
