"""Where a dog is heading: the slope of its weight, with an interval and a word."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import isfinite
from statistics import median

from scipy.stats import theilslopes

from nutrition.coefficients import load_thresholds
from nutrition.errors import InputError
from nutrition.ordinals import MannKendall, WordCounts, mann_kendall, word_counts

__all__ = [
    "MannKendall",
    "WeightTrend",
    "WordCounts",
    "mann_kendall",
    "weight_trend",
    "word_counts",
]

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
