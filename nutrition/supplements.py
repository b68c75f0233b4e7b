"""A supplement from its label: what one tablet, capsule or ml holds."""

from collections.abc import Sequence

from nutrition.errors import InputError
from nutrition.food import Food, with_sums
from nutrition.food_energy import atwater_kcal_per_100g
from nutrition.label_energy import MOST_KCAL_PER_100G
from nutrition.label_lines import MOST_PCT, LabelLine, Serving, amounts_of
from nutrition.nutrients import SUMS, load_nutrients

_GRAMS = {"g": 1.0, "mg": 1e-3, "µg": 1e-6}
_PARTS_OF = {"fatty acids": "fat", "amino acids": "protein"}


def supplement(
    lines: Sequence[LabelLine],
    *,
    key: str,
    name: str,
    serving: Serving,
    energy_kcal_per_100g: float | None = None,
) -> Food:
    """Return a supplement as a food, from what its label lists per serving.

    Parameters
    ----------
    lines : sequence of LabelLine
        What the label lists; at least one.
    key, name : str
        Key and name of the supplement [-].
    serving : Serving
        The unit it is given in, with the mass of one [g].
    energy_kcal_per_100g : float or None
        Energy where the label prints it [kcal/100 g].

    Returns
    -------
    Food
        What is listed is known. What is not listed is unknown, but bounded: by the mass that the
        lines leave for what is counted in g, with the fat or protein it may be part of, and by
        nothing at all for minerals and vitamins, since a supplement lists what it is sold for.

    Raises
    ------
    InputError
        If nothing is listed, a line cannot be converted, or the lines weigh more than the unit.

    Notes
    -----
    Without a printed energy the protein, fat and carbohydrate listed are counted with Atwater
    factors; a tablet that lists none of them counts as no energy.
    """
    if not lines:
        raise InputError(
            f"{name}: nothing is listed. Type at least one line of the label.", fields=("lines",)
        )
    found = amounts_of(lines, serving=serving, dry_matter_share=None)
    listed_g = _listed_g(found.values)
    if listed_g > MOST_PCT:
        raise InputError(
            f"{name}: the lines weigh {listed_g:.0f} % of what one {serving.unit} of "
            f"{serving.mass_g:g} g weighs. Check the units, and the mass of one.",
            fields=("serving", "lines"),
        )
    values, low, high = with_sums(found.values, found.low, found.high, {})
    _bound(values, low, high, rest_g=max(0.0, 100 - listed_g))
    energy_kcal, method = _energy(found.values, energy_kcal_per_100g)
    return Food(
        key=key,
        name=name,
        group="own",
        style="dry",
        energy_kcal_per_100g=energy_kcal,
        energy_method=method,
        values=values,
        low=low,
        high=high,
        source="trencher",
        locator="label of a supplement",
    )


def _listed_g(values: dict[str, float]) -> float:
    nutrients = load_nutrients()
    # A fatty acid is part of the fat, an amino acid of the protein: those are not added twice.
    return sum(
        amount * _GRAMS[nutrients[key].unit]
        for key, amount in values.items()
        if key not in SUMS and _PARTS_OF.get(nutrients[key].group, "") not in values
    )


def _bound(
    values: dict[str, float], low: dict[str, float], high: dict[str, float], *, rest_g: float
) -> None:
    for key, nutrient in load_nutrients().items():
        if key in values or key in high:
            continue
        if nutrient.unit == "g":
            whole_g = values.get(_PARTS_OF.get(nutrient.group, ""), 0.0)
            high[key] = low.get(key, 0.0) + rest_g + whole_g
        elif key not in low:
            high[key] = 0.0


def _energy(values: dict[str, float], printed: float | None) -> tuple[float, str]:
    if printed is not None:
        if not 0 <= printed <= MOST_KCAL_PER_100G:
            raise InputError(
                f"The energy is {printed} kcal per 100 g; pure fat has 900. Check the label and "
                "its unit.",
                fields=("energy_kcal_per_100g",),
            )
        return printed, "label"
    energy_kcal = atwater_kcal_per_100g(
        protein_g=values.get("protein", 0.0),
        fat_g=values.get("fat", 0.0),
        carbohydrate_g=values.get("carbohydrate", 0.0),
    )
    return energy_kcal, "atwater"
