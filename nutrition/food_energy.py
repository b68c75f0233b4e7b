"""Metabolisable energy of food from its analysis."""

from dataclasses import dataclass

from nutrition.coefficients import load_energy
from nutrition.errors import InputError

METHODS = ("atwater", "modified_atwater", "four_step", "label")


def atwater_kcal_per_100g(*, protein_g: float, fat_g: float, carbohydrate_g: float) -> float:
    """Return the energy of fresh food by the Atwater factors 4, 9 and 4.

    Parameters
    ----------
    protein_g, fat_g, carbohydrate_g : float
        Content as fed [g/100 g]; carbohydrate without fibre.

    Returns
    -------
    float
        Metabolisable energy [kcal/100 g].

    Raises
    ------
    InputError
        If a content is negative.

    References
    ----------
    FEDIAF nutritional guidelines, energy section: for fresh meat, offal, dairy, cooked starch.

    Examples
    --------
    Turkey neck meat, SR28 row 05179.

    >>> round(atwater_kcal_per_100g(protein_g=16.51, fat_g=6.04, carbohydrate_g=0), 1)
    120.4
    """
    return _by_factors("atwater", protein_g, fat_g, carbohydrate_g)


def modified_atwater_kcal_per_100g(
    *, protein_g: float, fat_g: float, carbohydrate_g: float
) -> float:
    """Return the energy of dry or processed food by the factors 3.5, 8.5 and 3.5.

    Parameters
    ----------
    protein_g, fat_g, carbohydrate_g : float
        Content as fed [g/100 g]; carbohydrate without fibre.

    Returns
    -------
    float
        Metabolisable energy [kcal/100 g].

    Raises
    ------
    InputError
        If a content is negative.

    References
    ----------
    AAFCO calorie content rule; worked example in SACN5, Box 1-6, p. 16.

    Examples
    --------
    >>> round(modified_atwater_kcal_per_100g(protein_g=22, fat_g=9, carbohydrate_g=51), 1)
    332.0
    """
    return _by_factors("modified_atwater", protein_g, fat_g, carbohydrate_g)


def _by_factors(method: str, protein_g: float, fat_g: float, carbohydrate_g: float) -> float:
    if min(protein_g, fat_g, carbohydrate_g) < 0:
        raise InputError(
            f"A content cannot be negative: protein {protein_g}, fat {fat_g}, carbohydrate "
            f"{carbohydrate_g} g per 100 g were given. Check the label.",
            fields=("protein_g", "fat_g", "carbohydrate_g"),
        )
    value = load_energy().value
    return (
        value(f"{method}.protein") * protein_g
        + value(f"{method}.fat") * fat_g
        + value(f"{method}.carbohydrate") * carbohydrate_g
    )


def four_step_kcal_per_100g(
    *, protein_g: float, fat_g: float, carbohydrate_g: float, fibre_g: float, water_g: float
) -> float:
    """Return the energy of prepared dog food by the four-step equation of NRC 2006.

    Parameters
    ----------
    protein_g, fat_g, carbohydrate_g, fibre_g, water_g : float
        Content as fed [g/100 g]; carbohydrate without fibre; water under 100.

    Returns
    -------
    float
        Metabolisable energy [kcal/100 g].

    Raises
    ------
    InputError
        If a content is negative or the food is nothing but water.

    Notes
    -----
    Gross energy 5.7 protein + 9.4 fat + 4.1 (carbohydrate + fibre); digestibility
    91.2 - 1.43 (fibre, % of dry matter) percent; less 1.04 kcal per g of protein.

    References
    ----------
    NRC 2006, as quoted by FEDIAF and WikiVet.

    Examples
    --------
    >>> round(four_step_kcal_per_100g(
    ...     protein_g=22, fat_g=9, carbohydrate_g=51, fibre_g=3, water_g=10), 2)
    349.99
    """
    contents = (protein_g, fat_g, carbohydrate_g, fibre_g, water_g)
    if min(contents) < 0 or water_g >= 100:
        raise InputError(
            f"The contents {contents} g per 100 g are not a food: none may be negative and the "
            "moisture must be under 100. Check the label.",
            fields=("protein_g", "fat_g", "carbohydrate_g", "fibre_g", "water_g"),
        )
    value = load_energy().value
    gross_kcal = (
        value("four_step.protein") * protein_g
        + value("four_step.fat") * fat_g
        + value("four_step.carbohydrate") * (carbohydrate_g + fibre_g)
    )
    fibre_pct_of_dry_matter = 100 * fibre_g / (100 - water_g)
    digestibility_pct = max(
        0.0,
        value("four_step.digestibility") - value("four_step.fibre") * fibre_pct_of_dry_matter,
    )
    energy_kcal = gross_kcal * digestibility_pct / 100 - value("four_step.urine") * protein_g
    return max(0.0, energy_kcal)


@dataclass(frozen=True, slots=True)
class LabelAnalysis:
    """A label made whole: what it printed, and what had to be assumed [g/100 g]."""

    protein_g: float
    fat_g: float
    fibre_g: float
    water_g: float
    ash_g: float
    carbohydrate_g: float
    assumed: tuple[str, ...]


def complete_label(
    *,
    is_dry: bool,
    protein_pct: float,
    fat_pct: float,
    fibre_pct: float | None,
    moisture_pct: float | None,
    ash_pct: float | None,
) -> LabelAnalysis:
    """Return a label's analysis with carbohydrate by difference and the usual defaults.

    Parameters
    ----------
    is_dry : bool
        Whether the dry-food defaults apply [-].
    protein_pct, fat_pct : float
        Printed contents as fed [%].
    fibre_pct, moisture_pct, ash_pct : float or None
        Printed contents as fed [%]; None where the label is silent.

    Returns
    -------
    LabelAnalysis
        All contents [g/100 g], with the names of those assumed.

    Raises
    ------
    InputError
        If a content is outside 0 to 100, the contents exceed 100 together, or a moist food has
        no moisture.

    References
    ----------
    Default ash 6 % dry, 2 % moist: veterinary school handout; moisture 10 %: SACN5 Box 1-6.
    """
    printed = {
        "protein_pct": protein_pct,
        "fat_pct": fat_pct,
        "fibre_pct": fibre_pct,
        "moisture_pct": moisture_pct,
        "ash_pct": ash_pct,
    }
    _check_percentages(printed)
    assumed = tuple(name for name, value in printed.items() if value is None)
    if moisture_pct is None and not is_dry:
        raise InputError(
            "The moisture is missing. It is printed on the label of every moist food: type it, "
            "or type the energy per 100 g.",
            fields=("moisture_pct",),
        )
    value = load_energy().value
    fibre_g = value("label.fibre.missing") if fibre_pct is None else fibre_pct
    ash_g = value("label.ash.dry" if is_dry else "label.ash.moist") if ash_pct is None else ash_pct
    water_g = value("label.moisture.dry") if moisture_pct is None else moisture_pct
    rest_g = 100 - protein_pct - fat_pct - fibre_g - ash_g - water_g
    return LabelAnalysis(protein_pct, fat_pct, fibre_g, water_g, ash_g, max(0.0, rest_g), assumed)


def _check_percentages(printed: dict[str, float | None]) -> None:
    for name, value in printed.items():
        if value is not None and not 0 <= value <= 100:
            raise InputError(
                f"{name} is {value}; a content is between 0 and 100 %. Check the label.",
                fields=(name,),
            )
    total_pct = sum(value for value in printed.values() if value is not None)
    # Labels round each figure, so half a percent too much is still a label and not a slip.
    if total_pct > 100.5:
        raise InputError(
            f"The contents add up to {total_pct:.1f} %; they cannot pass 100 %. Check the label.",
            fields=tuple(name for name, value in printed.items() if value is not None),
        )
