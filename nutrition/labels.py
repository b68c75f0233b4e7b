"""Foods of the household's own, from what their label prints."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from math import isfinite

from nutrition.errors import InputError
from nutrition.food import Amounts, Food, with_sums
from nutrition.food_energy import LabelAnalysis, complete_label
from nutrition.label_energy import STYLES, is_dry, label_energies
from nutrition.label_lines import LabelLine, Serving, amounts_of
from nutrition.nutrients import load_nutrients

MEANS = ("typical", "guaranteed")


@dataclass(frozen=True, slots=True)
class Label:
    """What a household types from a label; None where the label is silent.

    Contents are percentages as fed, or of the dry matter with `basis` dry_matter; the moisture
    is always as fed. With `means` guaranteed protein and fat are minima, the rest maxima.
    """

    protein_pct: float
    fat_pct: float
    fibre_pct: float | None = None
    moisture_pct: float | None = None
    ash_pct: float | None = None
    energy_kcal_per_100g: float | None = None
    nutrients_per_100g: Amounts = field(default_factory=dict)
    means: str | None = None
    basis: str | None = None
    lines: Sequence[LabelLine] = ()
    serving: Serving | None = None


def food_from_label(label: Label, *, key: str, name: str, style: str) -> Food:
    """Return a food of the household's own from its label.

    Parameters
    ----------
    label : Label
        Contents [%], energy [kcal/100 g] and further nutrients [nutrient unit/100 g, or as
        printed in `lines`].
    key, name : str
        Key and name of the food [-].
    style : str
        One of dry, treat, wet, cooked, raw [-].

    Returns
    -------
    Food
        Everything the label does not print stays unknown and has no upper bound. A guaranteed
        minimum is the least there is, a guaranteed maximum the most.

    Raises
    ------
    InputError
        If the label contradicts itself, a nutrient key is unknown, or the energy can neither be
        read nor worked out.

    Notes
    -----
    The energy is the label's own figure if it prints one; else the equation that
    `nutrition.label_energy` names as the better suited.
    """
    if style not in STYLES:
        raise InputError(
            f"{name}: style {style!r} is not known; use one of {', '.join(STYLES)}.",
            fields=("style",),
        )
    check_nutrients(label.nutrients_per_100g, name)
    printed = as_fed(label, style=style)
    energies = label_energies(
        analysis_of(printed, style=style), printed_kcal=label.energy_kcal_per_100g, style=style
    )
    values, low, high = _contents(printed)
    lines = amounts_of(
        label.lines, serving=label.serving, dry_matter_share=_dry_matter_share(printed, style)
    )
    values = {**values, **lines.values, **label.nutrients_per_100g}
    low |= lines.low
    high |= lines.high
    values, low, high = with_sums(values, low, high, {})
    return Food(
        key=key,
        name=name,
        group="own",
        style=_food_style(style),
        energy_kcal_per_100g=energies.used_kcal_per_100g,
        energy_method=energies.method,
        values=values,
        low=low,
        high=high,
        keeping_class="cooked" if style in ("cooked", "wet") else None,
        source="trencher",
        locator="label",
    )


def _food_style(style: str) -> str:
    return {"treat": "dry", "wet": "cooked"}.get(style, style)


def check_nutrients(nutrients: Amounts, name: str) -> None:
    """Raise InputError for an amount of a nutrient that nobody counts, or that cannot be.

    Parameters
    ----------
    nutrients : mapping of str to float
        Amounts by nutrient key [nutrient unit/100 g].
    name : str
        Name of the food, for the message [-].

    Raises
    ------
    InputError
        If a key is unknown or an amount is negative or not finite.
    """
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


def as_fed(label: Label, *, style: str) -> Label:
    """Return the label with its contents as fed, whatever basis it prints them on.

    Parameters
    ----------
    label : Label
        Contents [%] on the label's own basis.
    style : str
        One of dry, treat, wet, cooked, raw [-]; tells the usual moisture of dry food.

    Returns
    -------
    Label
        Contents as fed [%].

    Raises
    ------
    InputError
        If the contents are of the dry matter and a moist food's moisture is missing.
    """
    if label.basis != "dry_matter":
        return label
    water_pct = complete_label(
        is_dry=is_dry(style),
        protein_pct=0,
        fat_pct=0,
        fibre_pct=None,
        moisture_pct=label.moisture_pct,
        ash_pct=None,
    ).water_g
    share = (100 - water_pct) / 100

    def wet(pct: float | None) -> float | None:
        return None if pct is None else pct * share

    return replace(
        label,
        protein_pct=label.protein_pct * share,
        fat_pct=label.fat_pct * share,
        fibre_pct=wet(label.fibre_pct),
        ash_pct=wet(label.ash_pct),
        basis=None,
    )


def analysis_of(label: Label, *, style: str) -> LabelAnalysis:
    """Return the contents of a label as fed, with the usual defaults where it is silent.

    Parameters
    ----------
    label : Label
        Contents as fed [%].
    style : str
        One of dry, treat, wet, cooked, raw [-].

    Returns
    -------
    LabelAnalysis
        Contents [g/100 g] and the names of those assumed.

    Raises
    ------
    InputError
        If the contents cannot be, or a moist food has neither moisture nor printed energy.
    """
    # With the label's own energy nothing has to be assumed, so a silent label is accepted.
    dry = is_dry(style) or label.energy_kcal_per_100g is not None
    return complete_label(
        is_dry=dry,
        protein_pct=label.protein_pct,
        fat_pct=label.fat_pct,
        fibre_pct=label.fibre_pct,
        moisture_pct=label.moisture_pct,
        ash_pct=label.ash_pct,
    )


def _dry_matter_share(label: Label, style: str) -> float | None:
    if label.moisture_pct is None and not is_dry(style):
        return None
    whole = analysis_of(label, style=style)
    return (100 - whole.water_g) / 100


def _contents(label: Label) -> tuple[dict[str, float], dict[str, float], dict[str, float]]:
    printed = {
        "protein": label.protein_pct,
        "fat": label.fat_pct,
        "fibre": label.fibre_pct,
        "water": label.moisture_pct,
        "ash": label.ash_pct,
    }
    values = {key: amount for key, amount in printed.items() if amount is not None}
    if label.means == "guaranteed":
        minima = ("protein", "fat")
        return (
            {},
            {key: amount for key, amount in values.items() if key in minima},
            {key: amount for key, amount in values.items() if key not in minima},
        )
    # By difference only when nothing had to be assumed: an assumed ash would make a false fact.
    if len(values) == len(printed):
        values["carbohydrate"] = max(0.0, 100 - sum(values.values()))
    return values, {}, {}
