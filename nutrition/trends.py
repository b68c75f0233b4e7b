"""Where a dog is heading: weight slopes with intervals, and ordered words counted."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import isfinite, sqrt
from statistics import median

from scipy.stats import norm, theilslopes

from nutrition.coefficients import load_thresholds
from nutrition.errors import InputError

DAYS_PER_WEEK = 7


@dataclass(frozen=True, slots=True)
class WeightTrend:
    """The slope of a dog's weight, with its interval, and what it amounts to.

    `word` is too_few, steady, unclear, losing, losing_fast, gaining or gaining_fast; `grade`
    (mild, moderate, severe) is given for a loss. `sentence` says it for people.
    """

    weighings: int
    span_days: float
    slope_g_per_day: float | None
    slope_low_g_per_day: float | None
    slope_high_g_per_day: float | None
    percent_per_week: float | None
    percent_per_week_low: float | None
    percent_per_week_high: float | None
    change_percent: float | None
    word: str
    grade: str | None
    sentence: str
    sources: tuple[str, ...]


def weight_trend(weighings: Sequence[tuple[float, float]]) -> WeightTrend:
    """Return the trend of a dog's weight over the weighings given.

    Parameters
    ----------
    weighings : sequence of (float, float)
        Day [day] and body weight [g] of each weighing, in any order.

    Returns
    -------
    WeightTrend
        Slopes [g/day], rates [%/week], change over the span [%].

    Raises
    ------
    InputError
        If a day is not finite or a weight is not over zero.

    Notes
    -----
    Theil-Sen: the median of all pairwise slopes, which up to 29 % of wild weighings cannot
    move; the 95 % interval is Kendall's. Percentages are of the fitted weight on the first day.
    Fewer than three weighings, three different days or two weeks give no slope.

    References
    ----------
    Steady within 5 %: Divol and Priymenko 2017. Grades of loss: Jergens 2003. Two percent a
    week as the fastest planned loss: SACN5 p. 540.
    """
    for day, mass_g in weighings:
        if not isfinite(day) or not isfinite(mass_g) or mass_g <= 0:
            raise InputError(
                f"A weighing of {mass_g} g on day {day} was given; a weight is over zero. Check "
                "the weighing.",
                fields=("weighings",),
            )
    value = load_thresholds().value
    points = sorted(weighings)
    days = [day for day, _ in points]
    span_days = days[-1] - days[0] if days else 0.0
    fewest = int(value("weighings"))
    if len(set(days)) < fewest or span_days < value("span"):
        return _too_few(len(points), span_days)
    masses = [mass_g for _, mass_g in points]
    fit = theilslopes(masses, days, alpha=value("interval") / 100)
    slope = float(fit.slope)
    # The fitted line goes through the median of what is left once the slope is taken away.
    start_g = median(
        mass_g - slope * (day - days[0]) for mass_g, day in zip(masses, days, strict=True)
    )
    rates = _Rates(start_g, slope, float(fit.low_slope), float(fit.high_slope), span_days)
    return _described(len(points), rates)


def _too_few(weighings: int, span_days: float) -> WeightTrend:
    value = load_thresholds().value
    sentence = (
        f"{weighings} weighings over {span_days:.0f} days: a trend needs at least "
        f"{value('weighings'):.0f} on different days over {value('span'):.0f} days."
    )
    none = (None, None, None, None, None, None, None)
    return WeightTrend(weighings, span_days, *none, "too_few", None, sentence, ("trencher",))


@dataclass(frozen=True, slots=True)
class _Rates:
    start_g: float
    slope: float
    low: float
    high: float
    span_days: float

    def percent_per_week(self, slope_g_per_day: float) -> float:
        return slope_g_per_day * DAYS_PER_WEEK / self.start_g * 100

    @property
    def change_percent(self) -> float:
        return self.slope * self.span_days / self.start_g * 100


def _described(weighings: int, rates: _Rates) -> WeightTrend:
    word, grade = _word(rates)
    return WeightTrend(
        weighings=weighings,
        span_days=rates.span_days,
        slope_g_per_day=rates.slope,
        slope_low_g_per_day=rates.low,
        slope_high_g_per_day=rates.high,
        percent_per_week=rates.percent_per_week(rates.slope),
        percent_per_week_low=rates.percent_per_week(rates.low),
        percent_per_week_high=rates.percent_per_week(rates.high),
        change_percent=rates.change_percent,
        word=word,
        grade=grade,
        sentence=_sentence(rates, word),
        sources=("divol-2017", "jergens-2003", "sacn5"),
    )


def _word(rates: _Rates) -> tuple[str, str | None]:
    value = load_thresholds().value
    change = rates.change_percent
    if rates.low <= 0 <= rates.high:
        return ("steady" if abs(change) < value("steady") else "unclear"), None
    fast = abs(rates.percent_per_week(rates.slope)) > value("fast")
    if rates.slope < 0:
        grade = "mild"
        if -change > value("severe"):
            grade = "severe"
        elif -change >= value("moderate"):
            grade = "moderate"
        return ("losing_fast" if fast else "losing"), grade
    return ("gaining_fast" if fast else "gaining"), None


def _sentence(rates: _Rates, word: str) -> str:
    per_week = rates.percent_per_week(rates.slope)
    ends = sorted((rates.percent_per_week(rates.low), rates.percent_per_week(rates.high)))
    range_text = f"({ends[0]:+.1f} to {ends[1]:+.1f} % a week)"
    change = f"{abs(rates.change_percent):.1f} % over {rates.span_days:.0f} days"
    if word == "steady":
        return f"Steady: no clear change {range_text}."
    if word == "unclear":
        return f"Not clear yet: the weighings differ too much to tell {range_text}."
    direction = "Losing" if rates.slope < 0 else "Gaining"
    speed = ", faster than the 2 % a week that is safe even when planned" if "fast" in word else ""
    speed = speed if rates.slope < 0 else ""
    return f"{direction} {abs(per_week):.1f} % a week {range_text}, {change}{speed}."


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
