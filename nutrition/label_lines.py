"""The lines of a label beyond its analysis: minerals, vitamins, and the contents of a tablet."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import isfinite

from nutrition.errors import InputError
from nutrition.forms import Form, load_forms
from nutrition.nutrients import Nutrient, load_nutrients

AMOUNT_UNITS = ("pct", "g", "mg", "µg", "IU")
PER = ("100g", "kg", "serving")
BOUNDS = ("min", "max")
BASES = ("as_fed", "dry_matter")
SERVING_UNITS = ("tablet", "capsule", "ml", "scoop", "teaspoon", "drop", "piece", "cup", "g")

_UNITS_PER_GRAM = {"g": 1.0, "mg": 1e3, "µg": 1e6}
# Labels round each figure, so half a percent too much is still a label and not a slip.
MOST_PCT = 100.5


@dataclass(frozen=True, slots=True)
class LabelLine:
    """One line as printed: so much of a nutrient, in a unit, per 100 g, per kg or per serving.

    `form` is the compound the amount is stated in, None for the nutrient itself. `bound` is min
    or max where the label guarantees no more than that. `basis` is dry_matter or as fed.
    """

    nutrient: str
    amount: float
    unit: str
    per: str
    form: str | None = None
    bound: str | None = None
    basis: str | None = None


@dataclass(frozen=True, slots=True)
class Serving:
    """A household measure: one tablet, cup, ml, with its mass [g].

    `count` is how many of them the label's amounts per serving are for [-].
    """

    unit: str
    mass_g: float
    count: float = 1.0


@dataclass(frozen=True, slots=True)
class LineAmounts:
    """What lines say per 100 g as fed, in each nutrient's own unit."""

    values: dict[str, float]
    low: dict[str, float]
    high: dict[str, float]


def amounts_of(
    lines: Sequence[LabelLine], *, serving: Serving | None, dry_matter_share: float | None
) -> LineAmounts:
    """Return what the lines of a label say, per 100 g as fed.

    Parameters
    ----------
    lines : sequence of LabelLine
        The lines as printed; two for one nutrient where it prints a minimum and a maximum, or
        what each of two compounds brings: such lines add up.
    serving : Serving or None
        The measure that amounts per serving are for: mass of one [g].
    dry_matter_share : float or None
        Dry matter of the food [g/g]; None when nobody knows it.

    Returns
    -------
    LineAmounts
        Values and bounds [nutrient unit/100 g]. A guaranteed minimum is the least, a maximum
        the most, and neither is a value by itself.

    Raises
    ------
    InputError
        If a line cannot be converted or says more than its food weighs.
    """
    found = LineAmounts({}, {}, {})
    typical_most: dict[str, float] = {}
    for line in lines:
        key = line.nutrient
        least, most = _per_100g(line, serving, dry_matter_share)
        if line.bound == "min":
            found.low[key] = found.low.get(key, 0) + least
        elif line.bound == "max":
            found.high[key] = found.high.get(key, 0) + most
        else:
            found.values[key] = found.values.get(key, 0) + least
            typical_most[key] = typical_most.get(key, 0) + most
    for key, most in typical_most.items():
        if most != found.values[key]:
            found.low[key], found.high[key] = found.values[key], most
    for key in found.low.keys() & found.high.keys() - found.values.keys():
        if found.low[key] > found.high[key]:
            raise InputError(
                f"{load_nutrients()[key].name}: the minimum is above the maximum. Check the lines.",
                fields=("lines",),
            )
        found.values[key] = (found.low[key] + found.high[key]) / 2
    return found


def line_per_100g(
    line: LabelLine, *, serving: Serving | None = None, dry_matter_share: float | None = None
) -> tuple[float, float]:
    """Return the least and the most that one line says.

    Parameters
    ----------
    line : LabelLine
        The line as printed.
    serving : Serving or None
        The measure that an amount per serving is for: mass of one [g].
    dry_matter_share : float or None
        Dry matter of the food [g/g].

    Returns
    -------
    tuple of two floats
        Least and most [nutrient unit/100 g]; equal unless sources disagree about the form.

    Raises
    ------
    InputError
        If the nutrient, unit or form is not known, an IU has no form, or the serving has no mass.

    Examples
    --------
    A tablet of 0.5 g with 25 µg (1000 IU) of vitamin D3 holds 5000 µg per 100 g.

    >>> line = LabelLine("vitamin_d", 1000, "IU", "serving", form="cholecalciferol")
    >>> line_per_100g(line, serving=Serving("tablet", 0.5))
    (5000.0, 5000.0)
    """
    return _per_100g(line, serving, dry_matter_share)


def _per_100g(
    line: LabelLine, serving: Serving | None, dry_matter_share: float | None
) -> tuple[float, float]:
    nutrient = _nutrient(line)
    least, most = _in_nutrient_unit(line, nutrient)
    size = _per(line, nutrient, serving)
    if line.basis == "dry_matter":
        if dry_matter_share is None:
            raise InputError(
                f"{nutrient.name} is printed per dry matter, so the moisture is needed. Type it.",
                fields=("moisture_pct",),
            )
        size *= dry_matter_share
    least, most = least * size, most * size
    if least > 100 * _UNITS_PER_GRAM[nutrient.unit]:
        raise InputError(
            f"{nutrient.name}: {line.amount:g} {line.unit} is more than the food itself weighs. "
            "Check the unit and the mass.",
            fields=("lines",),
        )
    return least, most


def _nutrient(line: LabelLine) -> Nutrient:
    known = load_nutrients()
    if line.nutrient not in known:
        raise InputError(
            f"There is no nutrient called {line.nutrient!r}; use one of "
            f"{', '.join(list(known)[:8])}, ...",
            fields=("lines",),
        )
    if not isfinite(line.amount) or line.amount < 0:
        raise InputError(
            f"{known[line.nutrient].name} is {line.amount} {line.unit}; it must be zero or more. "
            "Check the label.",
            fields=("lines",),
        )
    return known[line.nutrient]


def _in_nutrient_unit(line: LabelLine, nutrient: Nutrient) -> tuple[float, float]:
    form = _form(line, nutrient)
    if line.unit == "IU":
        if form is None or form.per_iu is None:
            forms = [
                f.name for f in load_forms().values() if f.nutrient == nutrient.key and f.per_iu
            ]
            raise InputError(
                f"{nutrient.name}: what an international unit holds depends on the form. "
                + (f"Choose one of {', '.join(forms)}." if forms else "Give it in mg or µg."),
                fields=("lines",),
            )
        amount = line.amount * form.per_iu
    elif line.unit in _UNITS_PER_GRAM or line.unit == "pct":
        grams_unit = "g" if line.unit == "pct" else line.unit
        amount = line.amount / _UNITS_PER_GRAM[grams_unit] * _UNITS_PER_GRAM[nutrient.unit]
        amount *= 1.0 if form is None else form.share
    else:
        raise InputError(
            f"{nutrient.name}: the unit {line.unit!r} is not known; use one of "
            f"{', '.join(AMOUNT_UNITS)}.",
            fields=("lines",),
        )
    return amount, amount * (1.0 if form is None else form.high_factor)


def _form(line: LabelLine, nutrient: Nutrient) -> Form | None:
    if line.form is None:
        return None
    form = load_forms().get(line.form)
    if form is None or form.nutrient != nutrient.key:
        forms = [each.key for each in load_forms().values() if each.nutrient == nutrient.key]
        raise InputError(
            f"{nutrient.name} has no form called {line.form!r}; use "
            f"{', '.join(forms) or 'no form'}.",
            fields=("lines",),
        )
    return form


def _per(line: LabelLine, nutrient: Nutrient, serving: Serving | None) -> float:
    if line.unit == "pct" or line.per == "100g":
        return 1.0
    if line.per == "kg":
        return 0.1
    if line.per != "serving":
        raise InputError(
            f"{nutrient.name}: {line.per!r} is not known; use one of {', '.join(PER)}.",
            fields=("lines",),
        )
    if serving is None or not serving.mass_g > 0 or not serving.count > 0:
        raise InputError(
            f"{nutrient.name} is printed per serving, so the mass of one is needed. Weigh ten on "
            "a fine scale and divide.",
            fields=("serving",),
        )
    return 100 / (serving.mass_g * serving.count)
