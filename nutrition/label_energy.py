"""The energy of a food by every equation that fits its label, and which of them is used."""

from collections.abc import Mapping
from dataclasses import dataclass

from nutrition.coefficients import load_energy
from nutrition.errors import InputError
from nutrition.food_energy import (
    LabelAnalysis,
    atwater_kcal_per_100g,
    four_step_kcal_per_100g,
    modified_atwater_kcal_per_100g,
)

DRY_STYLES = ("dry", "treat")
PREPARED_STYLES = ("dry", "treat", "wet")
STYLES = ("dry", "treat", "wet", "cooked", "raw")
MOST_KCAL_PER_100G = 950


@dataclass(frozen=True, slots=True)
class LabelEnergies:
    """The energy of a food by method [kcal/100 g], and why one of them is used.

    `why` is printed, prepared, fibrous or fresh; `assumed` names what the label does not print.
    """

    method: str
    why: str
    used_kcal_per_100g: float
    by_method: Mapping[str, float]
    carbohydrate_g: float
    assumed: tuple[str, ...]


def is_dry(style: str) -> bool:
    """Return whether the defaults of dry food stand in where a label is silent."""
    return style in DRY_STYLES


def label_energies(
    whole: LabelAnalysis, *, printed_kcal: float | None, style: str
) -> LabelEnergies:
    """Return the energy of a label by every method, the label's own figure first.

    Parameters
    ----------
    whole : LabelAnalysis
        Contents as fed [g/100 g].
    printed_kcal : float or None
        The label's own figure [kcal/100 g].
    style : str
        One of dry, treat, wet, cooked, raw [-].

    Returns
    -------
    LabelEnergies
        Energies [kcal/100 g] with the method in use and the reason for it.

    Raises
    ------
    InputError
        If the printed energy is more than pure fat holds, or less than nothing.

    Notes
    -----
    The label's figure comes first. Else prepared food takes the four-step equation (NRC 2006),
    but modified Atwater above 8 % of fibre in the dry matter, where FEDIAF notes that the four
    steps run low; fresh food takes Atwater factors.

    Examples
    --------
    >>> whole = LabelAnalysis(22, 9, 3, 10, 5, 51, ())
    >>> found = label_energies(whole, printed_kcal=None, style="dry")
    >>> found.method, found.why, round(found.used_kcal_per_100g, 1)
    ('four_step', 'prepared', 350.0)
    """
    three = {
        "protein_g": whole.protein_g,
        "fat_g": whole.fat_g,
        "carbohydrate_g": whole.carbohydrate_g,
    }
    by_method = {
        "four_step": four_step_kcal_per_100g(**three, fibre_g=whole.fibre_g, water_g=whole.water_g),
        "modified_atwater": modified_atwater_kcal_per_100g(**three),
        "atwater": atwater_kcal_per_100g(**three),
    }
    if printed_kcal is not None:
        _check_printed(printed_kcal)
        by_method["label"] = printed_kcal
    method, why = _chosen(whole, printed_kcal, style)
    return LabelEnergies(
        method, why, by_method[method], by_method, whole.carbohydrate_g, whole.assumed
    )


def _chosen(whole: LabelAnalysis, printed_kcal: float | None, style: str) -> tuple[str, str]:
    if printed_kcal is not None:
        return "label", "printed"
    if style not in PREPARED_STYLES:
        return "atwater", "fresh"
    fibre_pct_of_dry_matter = 100 * whole.fibre_g / (100 - whole.water_g)
    if fibre_pct_of_dry_matter > load_energy().value("four_step.fibre.limit"):
        return "modified_atwater", "fibrous"
    return "four_step", "prepared"


def _check_printed(energy_kcal: float) -> None:
    if not 0 <= energy_kcal <= MOST_KCAL_PER_100G:
        raise InputError(
            f"The energy is {energy_kcal} kcal per 100 g; pure fat has 900. Check the label and "
            "its unit.",
            fields=("energy_kcal_per_100g",),
        )
