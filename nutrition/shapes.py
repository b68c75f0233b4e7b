"""Shapes of frozen packs, as Plank's equation wants them."""

from dataclasses import dataclass, replace
from math import isfinite, log, pi, sqrt

from nutrition.errors import InputError, UnknownKeyError

FORMS = ("block", "flat_bag", "log", "piece", "tray")
# Where nobody measured: common practice, no source. A bag frozen flat, a shop's tray.
USUAL_THICKNESS_MM = {"flat_bag": 30.0, "tray": 40.0}
BLOCK_SIDES = (1.0, 1.5, 2.0)  # Of a block or an irregular piece, against its thickness.
FLAT_SIDE = 1.25  # Length of a pack of known thickness against its width.
LOG_LENGTHS = 3.0  # Length of a log against its diameter.
NEARLY_A_CUBE = 1e-6


@dataclass(frozen=True, slots=True)
class PlankShape:
    """A shape by its thickness or diameter [m] and Plank's two factors [-]."""

    thickness_m: float
    surface: float
    inside: float
    is_assumed: bool


def brick(thickness_m: float, *, width_m: float, length_m: float) -> PlankShape:
    """Return Plank's factors of a brick.

    Parameters
    ----------
    thickness_m, width_m, length_m : float
        Its sides in any order [m], over 0.

    Returns
    -------
    PlankShape
        With the shortest side as thickness [m].

    References
    ----------
    Plank's shape factors for a brick, ASHRAE Handbook - Refrigeration 2006, ch. 10.

    Examples
    --------
    A cube has 1/6 and 1/24, a very wide slab 1/2 and 1/8.

    >>> cube = brick(0.1, width_m=0.1, length_m=0.1)
    >>> round(cube.surface, 4), round(cube.inside, 4)
    (0.1667, 0.0417)
    >>> slab = brick(0.1, width_m=1e5, length_m=1e5)
    >>> round(slab.surface, 3), round(slab.inside, 3)
    (0.5, 0.125)
    """
    shortest, middle, longest = sorted((thickness_m, width_m, length_m))
    b1, b2 = middle / shortest, longest / shortest
    surface = b1 * b2 / (2 * (b1 * b2 + b1 + b2))
    return PlankShape(shortest, surface, _inside(b1, b2), is_assumed=False)


def _inside(b1: float, b2: float) -> float:
    """Plank's second factor, by how many times longer the two other sides are."""
    root = sqrt((b1 - b2) * (b1 - 1) + (b2 - 1) ** 2)
    ends = (2 * b1 + 2 * b2 - 1) / 72
    if root < NEARLY_A_CUBE:
        return 1 / 24
    m, n = (b1 + b2 + 1 + root) / 3, (b1 + b2 + 1 - root) / 3
    return (_part(m, b1, b2) - _part(n, b1, b2)) / (8 * root) + ends


def _part(root: float, b1: float, b2: float) -> float:
    if root <= 1:  # The logarithm grows without bound where its factor is zero: nothing is left.
        return 0.0
    return (root - 1) * (b1 - root) * (b2 - root) * log(root / (root - 1))


def cylinder(diameter_m: float, *, length_m: float) -> PlankShape:
    """Return Plank's factors of a log that is longer than it is thick.

    Parameters
    ----------
    diameter_m, length_m : float
        Its size [m], over 0.

    Returns
    -------
    PlankShape
        With the diameter as thickness [m]; the ends count for the surface alone, so that the
        time is rather too long than too short.

    Examples
    --------
    >>> log = cylinder(0.1, length_m=1e5)
    >>> round(log.surface, 3), log.inside
    (0.25, 0.0625)
    """
    surface = length_m / (4 * length_m + 2 * diameter_m)
    return PlankShape(diameter_m, surface, 1 / 16, is_assumed=False)


def shape_of(form: str, *, volume_m3: float, thickness_mm: float | None) -> PlankShape:
    """Return the shape of a pack from its form and volume.

    Parameters
    ----------
    form : str
        block, flat_bag, log, piece or tray [-].
    volume_m3 : float
        Volume of the pack [m3], over 0.
    thickness_mm : float or None
        Thickness or diameter as measured [mm], over 0; None takes what is usual of the form.

    Returns
    -------
    PlankShape
        `is_assumed` says that nobody measured the thickness.

    Raises
    ------
    UnknownKeyError
        If the form is not known.
    InputError
        If volume or thickness is not over zero.

    Notes
    -----
    Common practice, no source: how long and wide a pack of a thickness is.
    """
    if form not in FORMS:
        raise UnknownKeyError("form", form, FORMS)
    _check(volume_m3, "the volume of a pack", "m3")
    given = thickness_mm if thickness_mm is not None else USUAL_THICKNESS_MM.get(form)
    if given is not None:
        _check(given, "thickness", "mm")
    made = _made(form, volume_m3, None if given is None else given / 1000)
    return replace(made, is_assumed=thickness_mm is None)


def _made(form: str, volume_m3: float, thickness_m: float | None) -> PlankShape:
    if form == "log":
        diameter_m = thickness_m or (4 * volume_m3 / (pi * LOG_LENGTHS)) ** (1 / 3)
        return cylinder(diameter_m, length_m=4 * volume_m3 / (pi * diameter_m**2))
    if thickness_m is None:
        one, two, three = BLOCK_SIDES
        side_m = (volume_m3 / (one * two * three)) ** (1 / 3)
        return brick(side_m * one, width_m=side_m * two, length_m=side_m * three)
    width_m = sqrt(volume_m3 / thickness_m / FLAT_SIDE)
    return brick(thickness_m, width_m=width_m, length_m=width_m * FLAT_SIDE)


def _check(value: float, name: str, unit: str) -> None:
    if not (isfinite(value) and value > 0):
        raise InputError(f"{name} is {value} {unit}; it must be over zero.", fields=(name,))
