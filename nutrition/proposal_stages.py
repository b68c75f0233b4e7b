"""Linear programmes with several aims in order, solved one after the other by HiGHS.

The programme is: least of objectives @ x, for rows_low <= rows @ x <= rows_high and
low <= x <= high, some of x whole numbers. The first aim is brought to its least; then the second,
with the first held there; and so on.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csr_array, vstack

from nutrition.errors import NutritionError

Array = NDArray[np.float64]

# An aim is held at its least up to this much at the least, as rounding is no giving way.
HELD = 1e-6  # [unit of the aim]
ROUNDED = 1e-6  # what rounding may add to a whole number
STATUS_OPTIMAL = 0  # of scipy.optimize.milp


class ProgrammeError(NutritionError):
    """A programme has no solution: its rows or bounds contradict each other."""


@dataclass(frozen=True, slots=True)
class Stage:
    """One aim: what is made least, and how far later aims may let it slip.

    `needs_whole` says that the aim looks at variables that must be whole. From the first such
    aim on they are; before it they do not matter, and the programme is a plain linear one.
    """

    key: str
    objective: Array
    slack: float = 0.0
    needs_whole: bool = False


@dataclass(frozen=True, slots=True)
class Programme:
    """The matrices: rows (m × n), bounds of rows (m) and of variables (n), and which are whole."""

    rows: csr_array
    rows_low: Array
    rows_high: Array
    low: Array
    high: Array
    whole: NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Staged:
    """The values that fulfil the aims in order, and the least that each aim could be brought to.

    `is_proved` is False when time ran out before the best choice of whole packs was certain.
    """

    values: Array
    least: tuple[float, ...]
    is_proved: bool = True


def solve_staged(
    programme: Programme, stages: Sequence[Stage], *, seconds_per_stage: float = 10.0
) -> Staged:
    """Return the solution that is best by the first aim, then by the second, and so on.

    Parameters
    ----------
    programme : Programme
        Rows and bounds [own units].
    stages : sequence of Stage
        The aims in order; at least one.
    seconds_per_stage : float
        Time for one aim [s], over 0. Only choices of whole numbers can take long.

    Returns
    -------
    Staged
        Values [own units]; the least of each aim [own unit].

    Raises
    ------
    ProgrammeError
        If nothing fulfils rows and bounds.
    """
    rows, low, high = programme.rows, programme.rows_low, programme.rows_high
    least: list[float] = []
    values = np.zeros(len(programme.low))
    is_whole, is_proved = False, True
    for stage in stages:
        is_first = not least or (stage.needs_whole and not is_whole)
        is_whole = is_whole or stage.needs_whole
        # An aim that looks at nothing is fulfilled by whatever fulfils the ones before it.
        if is_first or stage.objective.any():
            current = Programme(rows, low, high, programme.low, programme.high, programme.whole)
            values, is_best = _least(current, stage, values, is_whole, seconds_per_stage)
            is_proved = is_proved and is_best
        least.append(float(stage.objective @ values))
        rows = csr_array(vstack([rows, csr_array(stage.objective.reshape(1, -1))]))
        low = np.append(low, -np.inf)
        high = np.append(high, least[-1] + max(stage.slack, HELD))
    return Staged(values, tuple(least), is_proved)


def _least(
    programme: Programme, stage: Stage, before: Array, is_whole: bool, seconds: float
) -> tuple[Array, bool]:
    whole = programme.whole if is_whole else np.zeros_like(programme.whole)
    if not whole.any():
        plain = _highs(programme, stage.objective, whole, seconds)
        if plain is None:
            raise ProgrammeError(
                "The programme has no solution: its rows and bounds contradict each other. "
                "Loosen a bound, or take out a row."
            )
        return plain
    # HiGHS takes longer to presolve such a programme, again and again, than to solve it: 60 lots
    # take a third less time without. But either way it now and then takes one that has a solution
    # for one that has none, or gives one that does not stand when made exact.
    found = None
    for presolve in (False, True):
        tried = _highs(programme, stage.objective, whole, seconds, presolve=presolve)
        if tried is None:
            continue
        exact = _exact(programme, stage, tried[0], whole, seconds)
        if exact is not None:
            return exact, tried[1]
        found = found or tried
    if found is not None and found[1]:
        # An aim before this one leaves no room for the millionth: then it stays.
        return found
    # No choice of whole numbers in the time: what the aim before came to, rounded up.
    exact = _exact(programme, stage, np.ceil(before - ROUNDED), whole, seconds)
    if exact is None:
        raise ProgrammeError("No choice of whole numbers was found in the time. Give it more time.")
    return exact, False


def _exact(
    programme: Programme, stage: Stage, values: Array, whole: NDArray[np.bool_], seconds: float
) -> Array | None:
    """Return the solution with the whole numbers made exact for good, and the rest solved again.

    HiGHS lets a whole number be off by a millionth, which is a gram in a kilogram.
    """
    low, high = programme.low.copy(), programme.high.copy()
    low[whole] = high[whole] = np.clip(np.round(values[whole]), low[whole], high[whole])
    fixed = replace(programme, low=low, high=high)
    exact = _highs(fixed, stage.objective, np.zeros_like(whole), seconds)
    return None if exact is None else exact[0]


def _highs(
    programme: Programme,
    objective: Array,
    whole: NDArray[np.bool_],
    seconds: float,
    *,
    presolve: bool = True,
) -> tuple[Array, bool] | None:
    found = milp(
        c=objective,
        constraints=LinearConstraint(programme.rows, programme.rows_low, programme.rows_high),
        bounds=Bounds(programme.low, programme.high),
        integrality=whole.astype(np.int64),
        options={"time_limit": seconds, "mip_rel_gap": 0.0, "presolve": presolve},
    )
    if found.x is None:
        return None
    return np.asarray(found.x, dtype=np.float64), found.status == STATUS_OPTIMAL
