"""All windows of all dogs at once: what was eaten, as matrices, summed day by day.

Every column below is a plain sum over what was eaten, so days add up to windows and nothing is
ever subtracted. A hole is a column of its own: the grams whose amount is known, and the grams that
nothing bounds. `nutrition.composition.totals` is the definition; this is the fast way to it.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache, cached_property

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_array

from nutrition.composition import Totals
from nutrition.errors import InputError
from nutrition.food import Food
from nutrition.loading import load
from nutrition.nutrients import load_nutrients

Numbers = NDArray[np.float64]
LENGTHS_DAYS = (7, 14, 28)


@dataclass(frozen=True)
class FoodMatrix:
    """The composition of some foods, a row a food, made once and used for every window.

    The columns of `values` are mass [g/g] and energy [kcal/g], then for every nutrient its least
    and its most [nutrient unit/g], the grams whose least is known, the grams whose most is
    unbounded [g/g], and the energy whose amount is unknown [kcal/g].
    """

    foods: tuple[Food, ...]
    values: Numbers

    @cached_property
    def row(self) -> Mapping[str, int]:
        """Return the row of each food by its key."""
        return {food.key: index for index, food in enumerate(self.foods)}

    def joined(self, foods: Iterable[Food]) -> "FoodMatrix":
        """Return the matrix with more foods below, such as those of a label."""
        more = food_matrix(food for food in foods if food.key not in self.row)
        return FoodMatrix(self.foods + more.foods, np.vstack([self.values, more.values]))

    @cached_property
    def unknown_share(self) -> Numbers:
        """Return the unknown share of each food's energy, by nutrient [-]."""
        return np.array([[food.unknown_share(key) for key in _KEYS] for food in self.foods])


_KEYS = tuple(load_nutrients())
_N = len(_KEYS)
_LEAST, _MOST, _KNOWN, _UNBOUNDED, _UNKNOWN = (
    slice(2 + block * _N, 2 + (block + 1) * _N) for block in range(5)
)


def food_matrix(foods: Iterable[Food]) -> FoodMatrix:
    """Return the composition of foods as a matrix, each food once."""
    each = tuple({food.key: food for food in foods}.values())
    values = np.zeros((len(each), 2 + 5 * _N))
    for index, food in enumerate(each):
        least = [food.least(key) for key in _KEYS]
        most = [food.most(key) for key in _KEYS]
        energy_kcal_per_g = food.energy_kcal_per_100g / 100
        values[index, 0] = 1
        values[index, 1] = energy_kcal_per_g
        values[index, _LEAST] = [(amount or 0.0) / 100 for amount in least]
        values[index, _MOST] = [(amount or 0.0) / 100 for amount in most]
        values[index, _KNOWN] = [amount is not None for amount in least]
        values[index, _UNBOUNDED] = [amount is None for amount in most]
        values[index, _UNKNOWN] = [energy_kcal_per_g * food.unknown_share(key) for key in _KEYS]
    return FoodMatrix(each, values)


@cache
def table_matrix() -> FoodMatrix:
    """Return the matrix of the published foods."""
    return food_matrix(load().foods.values())


@dataclass(frozen=True)
class Sums:
    """Sums over rows of masses, a row a meal, a day or a window; columns as in FoodMatrix."""

    matrix: FoodMatrix
    masses_g: Numbers
    values: Numbers

    def totals(self, row: int) -> Totals:
        """Return one row as totals: mass [g], energy [kcal], nutrients [own unit]."""
        return _totals(self.matrix, self.values[row], self.masses_g[row])


def _totals(matrix: FoodMatrix, values: Numbers, masses_g: Numbers) -> Totals:
    mass_g, energy_kcal = float(values[0]), float(values[1])
    if energy_kcal > 0:
        unknown = values[_UNKNOWN] / energy_kcal
    elif mass_g > 0:
        # Without energy the share is taken by mass: salt has holes too.
        unknown = masses_g @ matrix.unknown_share / mass_g
    else:
        unknown = np.zeros(_N)
    return Totals(
        mass_g=mass_g,
        energy_kcal=energy_kcal,
        known=_amounts(values[_LEAST], (values[_KNOWN] > 0) | (mass_g == 0)),
        best=_amounts(values[_MOST], values[_UNBOUNDED] == 0),
        unknown_energy_share={key: float(share) for key, share in zip(_KEYS, unknown, strict=True)},
    )


def _amounts(amounts: Numbers, is_there: NDArray[np.bool_]) -> dict[str, float | None]:
    return {
        key: float(amount) if there else None
        for key, amount, there in zip(_KEYS, amounts, is_there, strict=True)
    }


def sums(masses_g: Numbers, matrix: FoodMatrix) -> Sums:
    """Return what each row of masses holds, in one matrix product.

    Parameters
    ----------
    masses_g : ndarray
        A row a meal, day or window, a column a food of the matrix [g], zero or more.
    matrix : FoodMatrix
        The composition of the foods.

    Returns
    -------
    Sums
        The rows' sums.

    Raises
    ------
    InputError
        If a mass is negative or not finite, or the columns are not the foods of the matrix.
    """
    if masses_g.ndim != 2 or masses_g.shape[1] != len(matrix.foods):
        raise InputError(
            f"The masses have the shape {masses_g.shape}; a column is needed for each of "
            f"{len(matrix.foods)} foods.",
            fields=("masses_g",),
        )
    if not np.isfinite(masses_g).all() or (masses_g < 0).any():
        raise InputError(
            "A mass is negative or not finite; masses are zero or more. Weigh it again.",
            fields=("masses_g",),
        )
    return Sums(matrix, masses_g, masses_g @ matrix.values)


@dataclass(frozen=True)
class Windows:
    """The sums of every window, by length; a row a dog, a column the last day of the window."""

    matrix: FoodMatrix
    daily_g: Numbers
    values: Mapping[int, Numbers]

    def totals(self, dog: int, *, last: int, length_days: int) -> Totals:
        """Return what a dog ate in the days that end with `last`, counted from the first day.

        Parameters
        ----------
        dog, last : int
            Number of the dog and of the last day, from 0 [-].
        length_days : int
            One of the lengths asked for [day].

        Returns
        -------
        Totals
            Mass [g], energy [kcal], nutrients [own unit].
        """
        first = max(0, last + 1 - length_days)
        masses_g = self.daily_g[dog, first : last + 1].sum(axis=0)
        return _totals(self.matrix, self.values[length_days][dog, last], masses_g)


def windows(
    matrix: FoodMatrix,
    masses_g: Numbers,
    *,
    dog: NDArray[np.intp],
    day: NDArray[np.intp],
    shape: tuple[int, int],
    lengths_days: Sequence[int] = LENGTHS_DAYS,
) -> Windows:
    """Return what every dog ate in every window, from single servings, in one call.

    Parameters
    ----------
    matrix : FoodMatrix
        The composition of the foods.
    masses_g : ndarray
        A row a serving, a column a food of the matrix [g].
    dog, day : ndarray of int
        Number of the dog and of the day of each serving, from 0 [-].
    shape : tuple of int
        How many dogs and days there are [-].
    lengths_days : sequence of int
        Lengths of the windows [day], each over zero. A window that begins before the first day
        holds the days there are.

    Returns
    -------
    Windows
        Sums by dog, last day and length.

    Raises
    ------
    InputError
        If a mass, a number or a length is not allowed.
    """
    dogs, days = shape
    if any(length < 1 for length in lengths_days):
        raise InputError("A window has one day or more.", fields=("lengths_days",))
    if len(dog) and not (
        dog.min() >= 0 and dog.max() < dogs and day.min() >= 0 and day.max() < days
    ):
        raise InputError(
            f"A serving lies outside {dogs} dogs and {days} days.", fields=("dog", "day")
        )
    daily_g = _by_day(masses_g, dog * days + day, dogs * days)
    found = sums(daily_g, matrix).values.reshape(dogs, days, -1)
    return Windows(
        matrix, daily_g.reshape(dogs, days, -1), _rolling(found, sorted(set(lengths_days)))
    )


def _by_day(masses_g: Numbers, row: NDArray[np.intp], rows: int) -> Numbers:
    """Return the masses of every day of every dog, its servings added up."""
    size = len(row)
    adding = csr_array((np.ones(size), (row, np.arange(size))), shape=(rows, size))
    found: Numbers = np.asarray(adding @ masses_g)
    return found


def _rolling(daily: Numbers, lengths_days: Sequence[int]) -> dict[int, Numbers]:
    """Return sums over the days that end with each day, by length.

    One block of memory for all lengths, filled dog by dog: the days of one dog fit the processor's
    cache, and asking for memory takes longer than the sums do.
    """
    block = np.empty((len(lengths_days), *daily.shape))
    found = dict(zip(lengths_days, block, strict=True))
    for dog, days in enumerate(daily):
        _roll(days, {length: rows[dog] for length, rows in found.items()})
    return found


def _roll(daily: Numbers, into: Mapping[int, Numbers]) -> None:
    """Fill in one dog's sums, by length.

    Halves build a length: a running sum that drops its oldest day by subtraction would keep the
    rounding of every day it ever held.
    """
    made: dict[int, Numbers] = {1: daily}

    def of(length: int) -> Numbers:
        if length not in made:
            whole = into[length] if length in into else np.empty_like(daily)
            _double(of(length // 2), length // 2, whole)
            if length % 2:
                whole[length - 1 :] += daily[: max(0, len(daily) - length + 1)]
            made[length] = whole
        return made[length]

    if 1 in into:
        into[1][:] = daily
    for length in into:
        of(length)


def _double(sums: Numbers, days: int, out: Numbers) -> None:
    """Write sums over so many days, with those of the days before them added."""
    out[:days] = sums[:days]
    np.add(sums[days:], sums[: max(0, len(sums) - days)], out=out[days:])
