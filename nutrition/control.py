"""Control charts: has an individual dog left its own baseline."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt

from nutrition.errors import InputError


@dataclass(frozen=True, slots=True)
class EwmaPoint:
    """One smoothed value with its limits, in the unit of the series."""

    value: float
    lower: float
    upper: float
    is_outside: bool


def ewma(
    values: Sequence[float],
    *,
    baseline: float,
    deviation: float,
    weight: float = 0.2,
    width: float = 3.0,
) -> tuple[EwmaPoint, ...]:
    """Return the exponentially weighted moving average with its control limits.

    Parameters
    ----------
    values : sequence of float
        The series in time order [any one unit].
    baseline, deviation : float
        The dog's own mean and standard deviation [same unit]; the deviation over 0.
    weight : float
        Weight of the newest value [-], over 0 and up to 1.
    width : float
        Half-width of the limits in standard deviations [-].

    Returns
    -------
    tuple of EwmaPoint
        Smoothed value and limits at each step [same unit].

    Raises
    ------
    InputError
        If the deviation or weight is outside its range.

    References
    ----------
    NIST/SEMATECH e-Handbook of Statistical Methods, section 6.3.2.4.
    """
    if deviation <= 0 or not 0 < weight <= 1:
        raise InputError(
            f"A deviation of {deviation} and a weight of {weight} were given; the deviation must "
            "be over zero and the weight over 0 and up to 1.",
            fields=("deviation", "weight"),
        )
    points = []
    smooth = baseline
    for step, value in enumerate(values, start=1):
        smooth = weight * value + (1 - weight) * smooth
        part = weight / (2 - weight) * (1 - (1 - weight) ** (2 * step))
        reach = width * deviation * sqrt(part)
        lower, upper = baseline - reach, baseline + reach
        points.append(EwmaPoint(smooth, lower, upper, not lower <= smooth <= upper))
    return tuple(points)


@dataclass(frozen=True, slots=True)
class CusumPoint:
    """The summed excess above and below the baseline, in the unit of the series."""

    above: float
    below: float
    is_outside: bool


def cusum(
    values: Sequence[float], *, baseline: float, slack: float, limit: float
) -> tuple[CusumPoint, ...]:
    """Return the tabular cumulative sums.

    Parameters
    ----------
    values : sequence of float
        The series in time order [any one unit].
    baseline : float
        The dog's own mean [same unit].
    slack : float
        Half the shift of interest [same unit], zero or more.
    limit : float
        Sum at which the chart signals [same unit], over 0.

    Returns
    -------
    tuple of CusumPoint
        Sums at each step [same unit].

    Raises
    ------
    InputError
        If the slack is negative or the limit is not over zero.

    References
    ----------
    NIST/SEMATECH e-Handbook of Statistical Methods, section 6.3.2.3.
    """
    if slack < 0 or limit <= 0:
        raise InputError(
            f"A slack of {slack} and a limit of {limit} were given; the slack must be zero or "
            "more and the limit over zero.",
            fields=("slack", "limit"),
        )
    points = []
    above = below = 0.0
    for value in values:
        above = max(0.0, above + value - baseline - slack)
        below = max(0.0, below + baseline - slack - value)
        points.append(CusumPoint(above, below, above > limit or below > limit))
    return tuple(points)
