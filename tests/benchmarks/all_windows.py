"""A year of a household with four dogs: every window of every dog, three ways, side by side.

Run: python -m tests.benchmarks.all_windows
"""

import sys
from collections.abc import Callable
from time import perf_counter

import numpy as np

from nutrition.composition import Food, Totals, combined, totals
from nutrition.tables import load
from nutrition.windows import LENGTHS_DAYS, Windows, food_matrix, windows

DOGS, DAYS, SERVINGS, FOODS, PARTS, SEED = 4, 365, 3000, 250, 8, 20261125
TIMES = 25


def least_of(*works: Callable[[], object]) -> list[float]:
    """The fewest seconds of each, taken in turns: what else the machine does hits all alike."""
    spent: list[list[float]] = [[] for _ in works]
    for _ in range(TIMES):
        for work, times in zip(works, spent, strict=True):
            start = perf_counter()
            work()
            times.append(perf_counter() - start)
    return [min(times) for times in spent]


def year(foods: int) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Masses of each serving [g], its dog and its day."""
    rng = np.random.default_rng(SEED)
    masses_g = np.zeros((SERVINGS, foods))
    for row in range(SERVINGS):
        masses_g[row, rng.choice(foods, PARTS, replace=False)] = rng.uniform(1, 300, PARTS)
    return masses_g, rng.integers(0, DOGS, SERVINGS), rng.integers(0, DAYS, SERVINGS)


def row_by_row(
    servings: list[list[tuple[Food, float]]], dog: np.ndarray, day: np.ndarray
) -> list[Totals]:
    """The plain definition: totals of every serving, put together for every window."""
    by_day: dict[tuple[int, int], list[Totals]] = {}
    for portions, whose, when in zip(servings, dog, day, strict=True):
        by_day.setdefault((int(whose), int(when)), []).append(totals(portions))
    return [
        combined([one for when in window for one in by_day.get((whose, when), [])])
        for whose in range(DOGS)
        for length in LENGTHS_DAYS
        for window in (range(last + 1 - length, last + 1) for last in range(DAYS))
    ]


def main() -> int:
    matrix = food_matrix(list(load().foods.values())[:FOODS])
    masses_g, dog, day = year(len(matrix.foods))
    nutrients = len(load().nutrients)
    plain = np.random.default_rng(SEED).uniform(size=(len(matrix.foods), nutrients))

    def fast() -> object:
        return windows(matrix, masses_g, dog=dog, day=day, shape=(DOGS, DAYS))

    ours, product = least_of(fast, lambda: masses_g @ plain)
    servings = [
        [(matrix.foods[column], float(row[column])) for column in np.flatnonzero(row)]
        for row in masses_g
    ]
    start = perf_counter()
    slow = row_by_row(servings, dog, day)
    loop = perf_counter() - start
    worst = _worst(slow, windows(matrix, masses_g, dog=dog, day=day, shape=(DOGS, DAYS)))
    print(f"{SERVINGS} servings, {len(matrix.foods)} foods, {nutrients} nutrients, {DOGS} dogs,")
    print(f"{len(slow)} windows of {', '.join(map(str, LENGTHS_DAYS))} days\n")
    print(f"{'way':<44}{'ms':>12}{'ratio':>12}")
    print(f"{'one plain matrix product of that size':<44}{product * 1e3:>12.2f}{1:>12.1f}")
    print(f"{'all windows of all dogs, one call':<44}{ours * 1e3:>12.2f}{ours / product:>12.1f}")
    print(f"{'row by row in Python':<44}{loop * 1e3:>12.0f}{loop / product:>12.0f}")
    print(f"\nthe one call is {loop / ours:.0f} times as fast as row by row")
    print(f"largest relative difference of a known amount: {worst:.1e}")
    return 0


def _worst(slow: list[Totals], found: Windows) -> float:
    worst = 0.0
    index = 0
    for whose in range(DOGS):
        for length in LENGTHS_DAYS:
            for last in range(DAYS):
                one = found.totals(whose, last=last, length_days=length)
                for key, amount in slow[index].known.items():
                    other = one.known[key]
                    if amount and other:
                        worst = max(worst, abs(other - amount) / amount)
                index += 1
    return worst


if __name__ == "__main__":
    sys.exit(main())
