"""Thermal properties of food by what it is made of: density, conductivity, heat content.

Pure components by Choi and Okos, put together as the ASHRAE handbook does: density and
conductivity by volume, heat content by Chen's equations, ice by Tchigeov's.
"""

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from functools import cache
from math import isfinite, log

from nutrition.coefficients import load_thaw
from nutrition.errors import InputError, TableError
from nutrition.rows import PROVENANCE, Problems, Row, read_rows

FILE = "thaw/components-1.csv"
COLUMNS = ("component", "property", "c0", "c1", "c2", "unit", *PROVENANCE)
UNITS = {"density": "kg/m3", "conductivity": "W/mK", "specific_heat": "kJ/kgK"}
# Lean beef, for a food whose own parts are unknown: ASHRAE's sirloin (from memory), rounded.
LEAN_G_PER_100G = {"water": 72.0, "protein": 22.0, "fat": 5.0, "carbohydrate": 0.0, "ash": 1.0}


@dataclass(frozen=True, slots=True)
class Parts:
    """What a food is made of, as mass fractions that add up to 1."""

    water: float
    protein: float
    fat: float
    carbohydrate: float
    ash: float

    @property
    def solids(self) -> float:
        """Everything but water."""
        return 1.0 - self.water

    @property
    def bound_water(self) -> float:
        """Water that never freezes, held by protein."""
        return min(self.water, load_thaw().value("bound_water_per_protein") * self.protein)


def parts_of(per_100g: Mapping[str, float | None]) -> Parts | None:
    """Return the parts of a food from its composition, None when water or fat is unknown.

    Parameters
    ----------
    per_100g : mapping of str to float or None
        water, protein, fat, carbohydrate and ash [g/100 g]; what is missing or unknown is taken
        as the rest, in the order protein, ash, carbohydrate.

    Returns
    -------
    Parts or None
        Mass fractions [-] that add up to 1.

    Raises
    ------
    InputError
        If a figure is negative or not finite, or there is neither water nor solids.
    """
    for name, value in per_100g.items():
        if value is not None and not (isfinite(value) and value >= 0):
            raise InputError(
                f"{name} is {value} g per 100 g; it must be zero or more.", fields=(name,)
            )
    water, fat = per_100g.get("water"), per_100g.get("fat")
    if water is None or fat is None:
        return None
    known = {"water": water, "fat": fat}
    for name in ("protein", "ash", "carbohydrate"):
        rest = max(0.0, 100.0 - sum(known.values()))
        given = per_100g.get(name)
        known[name] = rest if given is None else given
    total = sum(known.values())
    if total <= 0:
        raise InputError("The food has neither water nor solids.", fields=("water", "fat"))
    return Parts(**{name: value / total for name, value in known.items()})


def lean_meat() -> Parts:
    """Return the parts of lean beef, for a food whose own are unknown."""
    made = parts_of(LEAN_G_PER_100G)
    assert made is not None
    return made


@cache
def load_components() -> Mapping[tuple[str, str], tuple[float, float, float]]:
    """Return the polynomial of each component and quantity, by temperature [degC].

    Raises
    ------
    TableError
        If the file is faulty; its message has one line per fault.
    """
    problems = Problems()
    rows = read_rows(FILE, columns=COLUMNS, problems=problems, unique=("component", "property"))
    made = {
        (row["component"], row["property"]): (
            _signed(row, "c0", problems),
            _signed(row, "c1", problems),
            _signed(row, "c2", problems),
        )
        for row in rows
        if _has_known_unit(row, problems)
    }
    if problems.found:
        raise TableError(tuple(problems.found))
    return made


def _has_known_unit(row: Row, problems: Problems) -> bool:
    if UNITS.get(row["property"]) == row["unit"]:
        return True
    problems.add(row, f"property and unit must be one of {UNITS}.")
    return False


def _signed(row: Row, column: str, problems: Problems) -> float:
    try:
        return float(row[column])
    except ValueError:
        problems.add(row, f"{column} is {row[column]!r}; write a plain number.")
        return 0.0


def component(name: str, *, quantity: str, at_c: float) -> float:
    """Return a property of a pure component of food.

    Parameters
    ----------
    name : str
        water, ice, protein, fat, carbohydrate or ash [-].
    quantity : str
        density [kg/m3], conductivity [W/mK] or specific_heat [kJ/kgK].
    at_c : float
        Temperature [degC], -40 to 150.

    Returns
    -------
    float
        The property in the unit above.

    References
    ----------
    Choi and Okos 1986, as in ASHRAE Handbook - Refrigeration 2006, ch. 9, tables 1 and 2.

    Examples
    --------
    >>> round(component("water", quantity="conductivity", at_c=0), 3)
    0.571
    """
    c0, c1, c2 = load_components()[name, quantity]
    return c0 + c1 * at_c + c2 * at_c**2


def ice_share(parts: Parts, *, at_c: float, freezing_c: float) -> float:
    """Return the mass fraction of a food that is ice.

    Parameters
    ----------
    parts : Parts
        What it is made of [-].
    at_c : float
        Temperature [degC].
    freezing_c : float
        Where the first ice forms [degC], below 0.

    Returns
    -------
    float
        Mass of ice per mass of food [-], 0 at and above freezing, at most all of its water.

    References
    ----------
    Tchigeov 1979, as in ASHRAE Handbook - Refrigeration 2006, ch. 9, equation 6.

    Examples
    --------
    A beef carcass at -20 C with 58.21 % water: that handbook's first example.

    >>> beef = Parts(water=0.5821, protein=0.1748, fat=0.2405, carbohydrate=0, ash=0.0081)
    >>> round(ice_share(beef, at_c=-20, freezing_c=-1.7), 2)
    0.52
    """
    if at_c >= freezing_c:
        return 0.0
    value = load_thaw().value
    frozen = value("ice.factor") * parts.water
    return min(parts.water, frozen / (1 + value("ice.constant") / log(freezing_c - at_c + 1)))


def _shares(parts: Parts, at_c: float, freezing_c: float) -> dict[str, float]:
    """Mass fractions of the components, ice apart from water [-]."""
    ice = ice_share(parts, at_c=at_c, freezing_c=freezing_c)
    return {**asdict(parts), "water": parts.water - ice, "ice": ice}


def _volumes(parts: Parts, at_c: float, freezing_c: float) -> dict[str, float]:
    """Volumes of the components [m3 per kg of food]."""
    return {
        name: share / component(name, quantity="density", at_c=at_c)
        for name, share in _shares(parts, at_c, freezing_c).items()
    }


def density_kg_per_m3(parts: Parts, *, at_c: float, freezing_c: float) -> float:
    """Return the density of a food without air in it, its components side by side.

    Parameters
    ----------
    parts : Parts
        What it is made of [-].
    at_c : float
        Temperature [degC].
    freezing_c : float
        Where the first ice forms [degC], below 0.

    Returns
    -------
    float
        Density [kg/m3].
    """
    return 1.0 / sum(_volumes(parts, at_c, freezing_c).values())


def conductivity_w_per_mk(parts: Parts, *, at_c: float, freezing_c: float) -> float:
    """Return how well a food conducts heat, its components side by side by volume.

    Parameters
    ----------
    parts : Parts
        What it is made of [-].
    at_c : float
        Temperature [degC].
    freezing_c : float
        Where the first ice forms [degC], below 0.

    Returns
    -------
    float
        Conductivity [W/mK].

    References
    ----------
    The parallel model of ASHRAE Handbook - Refrigeration 2006, ch. 9.
    """
    volumes = _volumes(parts, at_c, freezing_c)
    weighted = sum(
        volume * component(name, quantity="conductivity", at_c=at_c)
        for name, volume in volumes.items()
    )
    return weighted / sum(volumes.values())


def specific_heat_thawed_kj_per_kgk(parts: Parts) -> float:
    """Return the heat it takes to warm thawed food.

    Parameters
    ----------
    parts : Parts
        What it is made of [-].

    Returns
    -------
    float
        Specific heat above freezing [kJ/kgK].

    References
    ----------
    Chen 1985, as in ASHRAE Handbook - Refrigeration 2006, ch. 9.
    """
    value = load_thaw().value
    return (
        value("thawed.base")
        - value("thawed.solids") * parts.solids
        - value("thawed.solids_cubed") * parts.solids**3
    )


def specific_heat_frozen_kj_per_kgk(parts: Parts, *, at_c: float, freezing_c: float) -> float:
    """Return the heat it takes to warm the components of frozen food, without any that melts.

    Parameters
    ----------
    parts : Parts
        What it is made of [-].
    at_c : float
        Temperature [degC], below freezing.
    freezing_c : float
        Where the first ice forms [degC], below 0.

    Returns
    -------
    float
        Specific heat [kJ/kgK].

    References
    ----------
    Components by mass, as in ASHRAE Handbook - Refrigeration 2006, ch. 9.
    """
    return sum(
        share * component(name, quantity="specific_heat", at_c=at_c)
        for name, share in _shares(parts, at_c, freezing_c).items()
    )


def enthalpy_kj_per_kg(parts: Parts, *, at_c: float, freezing_c: float) -> float:
    """Return the heat in a food, counted from -40 C.

    Parameters
    ----------
    parts : Parts
        What it is made of [-].
    at_c : float
        Temperature [degC], -40 or more.
    freezing_c : float
        Where the first ice forms [degC], below 0.

    Returns
    -------
    float
        Heat [kJ/kg].

    References
    ----------
    Chen 1985, as in ASHRAE Handbook - Refrigeration 2006, ch. 9, equations 15 and 17.
    """
    if at_c >= freezing_c:
        at_freezing = enthalpy_kj_per_kg(parts, at_c=freezing_c - 1e-12, freezing_c=freezing_c)
        return at_freezing + (at_c - freezing_c) * specific_heat_thawed_kj_per_kgk(parts)
    value = load_thaw().value
    reference_c = -value("enthalpy.reference_depression")
    freezable = parts.water - parts.bound_water
    warming = value("enthalpy.frozen_base") + value("enthalpy.frozen_solids") * parts.solids
    melting = freezable * value("fusion_heat") * freezing_c / (reference_c * at_c)
    return (at_c - reference_c) * (warming - melting)
