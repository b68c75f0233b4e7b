"""Ordered words such as appetite and stool: how often each, and whether they drift."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import sqrt

from scipy.stats import norm

from nutrition.coefficients import load_thresholds
from nutrition.errors import InputError


@dataclass(frozen=True, slots=True)
class MannKendall:
    """A test for a trend: the sum of signs S, its variance, and Z [-]."""

    s: int
    variance: float
    z: float
    one_sided_p: float
    is_exact: bool


def mann_kendall(values: Sequence[float]) -> MannKendall:
    """Return the Mann-Kendall test of a series in time order.

    Parameters
    ----------
    values : sequence of float
        The series [any one unit]; at least two values.

    Returns
    -------
    MannKendall
        S, variance and Z [-]; the one-sided p is exact up to ten values without ties, else from
        the normal approximation with the tie correction.

    Raises
    ------
    InputError
        If fewer than two values are given.

    References
    ----------
    US EPA QA/G-9S, data quality assessment, Mann-Kendall boxes.

    Examples
    --------
    >>> mann_kendall([5, 6, 11, 8, 10]).s
    6
    """
    n = len(values)
    if n < 2:
        raise InputError("A trend needs at least two values.", fields=("values",))
    s = sum(
        (later > earlier) - (later < earlier)
        for i, earlier in enumerate(values)
        for later in values[i + 1 :]
    )
    ties = [list(values).count(value) for value in set(values)]
    tied = sum(t * (t - 1) * (2 * t + 5) for t in ties)
    variance = (n * (n - 1) * (2 * n + 5) - tied) / 18
    z = 0.0 if variance == 0 else (s - (s > 0) + (s < 0)) / sqrt(variance)
    is_exact = n <= 10 and max(ties) == 1
    p = _exact_p(n, abs(s)) if is_exact else float(norm.sf(abs(z)))
    return MannKendall(s, variance, z, p, is_exact)


def _exact_p(n: int, s: int) -> float:
    # The number of orders of n values with each count of inversions, built up value by value.
    orders = [1]
    for size in range(2, n + 1):
        grown = [0] * (len(orders) + size - 1)
        for inversions, count in enumerate(orders):
            for extra in range(size):
                grown[inversions + extra] += count
        orders = grown
    pairs = n * (n - 1) // 2
    at_least = sum(count for inv, count in enumerate(orders) if pairs - 2 * inv >= s)
    return at_least / sum(orders)


@dataclass(frozen=True, slots=True)
class WordCounts:
    """Ordered words counted: how often each, the middle one, and whether they drift.

    `drift` is falling, rising or none, along the order of the scale; it is said only when the
    middle of the later half lies at least two steps from that of the earlier half, because one
    step is within the disagreement of two people.
    """

    counts: Mapping[str, int]
    total: int
    middle: str | None
    drift: str
    one_sided_p: float | None
    source: str


def word_counts(words: Sequence[str], *, scale: Sequence[str]) -> WordCounts:
    """Return the distribution of an ordinal series such as appetite or stool.

    Parameters
    ----------
    words : sequence of str
        The words in time order [-].
    scale : sequence of str
        The words of the scale in order [-].

    Returns
    -------
    WordCounts
        Counts [-] for every word of the scale.

    Raises
    ------
    InputError
        If a word is not of the scale.

    References
    ----------
    Cavett 2021: vets and owners agree on stool scores only to within about a step.
    """
    places = {word: place for place, word in enumerate(scale)}
    for word in words:
        if word not in places:
            raise InputError(
                f"{word!r} is not on the scale; use one of {', '.join(scale)}.", fields=("words",)
            )
    ranks = [places[word] for word in words]
    drift, p = _drift(ranks)
    return WordCounts(
        counts={word: words.count(word) for word in scale},
        total=len(words),
        middle=scale[_middle(ranks)] if ranks else None,
        drift=drift,
        one_sided_p=p,
        source="cavett-2021",
    )


def _middle(ranks: Sequence[int]) -> int:
    # The lower middle: with an even number the word towards the start of the scale.
    return sorted(ranks)[(len(ranks) - 1) // 2]


def _drift(ranks: Sequence[int]) -> tuple[str, float | None]:
    if len(ranks) < 4:
        return "none", None
    half = len(ranks) // 2
    step = _middle(ranks[-half:]) - _middle(ranks[:half])
    p = mann_kendall(ranks).one_sided_p
    if abs(step) < load_thresholds().value("stool_steps"):
        return "none", p
    return ("rising" if step > 0 else "falling"), p
