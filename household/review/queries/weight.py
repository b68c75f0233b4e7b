"""A dog's weight: the latest, the trend with its interval, and whether a loss is worth a flag."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from itertools import groupby
from statistics import median
from typing import TypedDict

from household.review.queries import wording
from household.review.queries.records import Weighing
from household.review.queries.weeks import Week
from nutrition.coefficients import load_thresholds
from nutrition.trends import WeightTrend, weight_trend

POINTS_DAYS = 70  # [day] What a chart of the week shows: ten weeks.
TREND_DAYS = (
    42  # [day] What the slope is taken over: six weeks, enough for weekly weighings to speak.
)
# 5 % in twelve months is the consensus on human cachexia quoted by Freeman 2012, J Vet Intern Med
# 26:3-17 (from memory): a slope flatter than that counts as steady.
STEADY_PCT_PER_WEEK = 5 / 52
# AAHA weight management guidelines 2014: each point above 5 of 9 is about 10 % over the ideal.
OVERWEIGHT_FROM_BCS = 6


class WeightPart(TypedDict):
    latest_g: float | None
    latest_at: str | None
    change_g: float | None
    slope_pct_per_week: float | None
    low: float | None
    high: float | None
    points: list[list[str | float]]  # [day, mass_g], oldest first
    sentence: str


@dataclass(frozen=True)
class WeightLoss:
    """A loss worth telling: how much, how fast, how sure."""

    since: date
    grade: str
    share: float
    is_too_fast: bool
    certainty: str
    text: str

    @property
    def is_urgent(self) -> bool:
        return self.grade == "severe"


def known_by(weighings: Sequence[Weighing], week: Week) -> list[Weighing]:
    """The weighings up to the end of the week, oldest first."""
    return sorted((w for w in weighings if w.day <= week.sunday), key=lambda w: w.at)


def latest_mass_g(weighings: Sequence[Weighing], week: Week) -> float | None:
    """The last weight [g] known by the end of the week, or None."""
    known = known_by(weighings, week)
    return known[-1].mass_g if known else None


def trend(weighings: Sequence[Weighing], week: Week) -> WeightTrend:
    """The slope over the last six weeks with its interval, if the weighings suffice for one.

    Two weights of one day say how well the scale repeats itself, and nothing of a slope: a few
    grams in five minutes would be kilograms a week.
    """
    first = week.sunday - timedelta(days=TREND_DAYS)
    recent = [w for w in known_by(weighings, week) if w.day > first]
    return weight_trend([((w.day - recent[0].day).days, w.mass_g) for w in recent])


def weight_part(
    weighings: Sequence[Weighing], week: Week, *, is_growing: bool = False
) -> WeightPart:
    """The weight section of a summary."""
    known = known_by(weighings, week)
    first = week.sunday - timedelta(days=POINTS_DAYS)
    points = [w for w in known if w.day > first]
    found = trend(weighings, week)
    latest = known[-1] if known else None
    before = [w for w in known if w.day < week.monday]
    is_of_this_week = latest is not None and latest.day >= week.monday
    return {
        "latest_g": latest.mass_g if latest else None,
        "latest_at": latest.at.strftime("%Y-%m-%dT%H:%M:%SZ") if latest else None,
        "change_g": latest.mass_g - before[-1].mass_g
        if latest and is_of_this_week and before
        else None,
        "slope_pct_per_week": _rounded(found.percent_per_week),
        "low": _rounded(found.percent_per_week_low),
        "high": _rounded(found.percent_per_week_high),
        "points": [[w.day.isoformat(), w.mass_g] for w in points],
        "sentence": _sentence(points, found, is_growing=is_growing),
    }


def _rounded(value: float | None) -> float | None:
    """Two decimals of a percentage: finer than any kitchen scale, and the same on every run."""
    return None if value is None else round(value, 2)


def direction(found: WeightTrend) -> str | None:
    """Rising, falling or steady; None without a slope.

    A direction needs an interval clear of zero and a slope that matters.
    """
    slope, low, high = (
        found.percent_per_week,
        found.percent_per_week_low,
        found.percent_per_week_high,
    )
    if slope is None or low is None or high is None:
        return None
    if abs(slope) < STEADY_PCT_PER_WEEK or low <= 0 <= high:
        return "steady"
    return "rising" if slope > 0 else "falling"


def _sentence(points: Sequence[Weighing], found: WeightTrend, *, is_growing: bool) -> str:
    if not points:
        return "Not weighed in the last ten weeks."
    heading = direction(found)
    if heading is None:
        return f"Weighed {_times(len(points))} in ten weeks: too few for a trend."
    if is_growing and heading == "rising":
        heading = "growing"
    text = f"{wording.capital(heading)}: {_per_week(found)} over the last six weeks"
    low, high = found.percent_per_week_low, found.percent_per_week_high
    if low is None or high is None:
        return f"{text}."
    return (
        f"{text}, likely between {wording.signed_percent(low)} and {wording.signed_percent(high)}."
    )


def _per_week(found: WeightTrend) -> str:
    return f"{wording.signed_percent(found.percent_per_week or 0.0)} a week"


def _times(count: int) -> str:
    return {1: "once", 2: "twice"}.get(count, f"{wording.number(count)} times")


def weight_loss(
    weighings: Sequence[Weighing], week: Week, bcs: int | None = None
) -> WeightLoss | None:
    """The loss over ten weeks graded by the published bounds, or None when there is none to tell.

    A mild loss is told only when the six-week interval lies below zero, and not for a dog whose
    last body condition score is 6 or more: up to 2 % a week is then what the guidelines ask for.
    """
    first = week.sunday - timedelta(days=POINTS_DAYS)
    points = _one_a_day([w for w in known_by(weighings, week) if w.day > first])
    if len(points) < 2:
        return None
    earlier, latest = _ends(points)
    share = 1 - latest / earlier
    found = trend(weighings, week)
    is_falling = direction(found) == "falling"
    value = load_thresholds().value
    is_too_fast = is_falling and (found.percent_per_week or 0.0) < -value("fast")
    grade = _grade(share)
    may_be_planned = bcs is not None and bcs >= OVERWEIGHT_FROM_BCS
    is_told = (
        grade == "severe"
        or is_too_fast
        or (not may_be_planned and (grade == "moderate" or is_falling))
    )
    if share <= 0 or not is_told:
        return None
    return WeightLoss(
        since=_since(points, earlier),
        grade=grade,
        share=share,
        is_too_fast=is_too_fast,
        certainty=_certainty(points, is_falling),
        text=_loss_text(share, grade, points, found),
    )


def _one_a_day(points: Sequence[Weighing]) -> list[Weighing]:
    """The last weighing of each day, with the middle weight of all of that day: a dog put on the
    scale twice has not lost what the two readings differ by."""
    days = [list(of_day) for _, of_day in groupby(points, lambda w: w.day)]
    return [replace(of_day[-1], mass_g=median(w.mass_g for w in of_day)) for of_day in days]


def _grade(share: float) -> str:
    """Mild, moderate or severe, by the share lost [-]."""
    value = load_thresholds().value
    if share * 100 > value("severe"):
        return "severe"
    return "moderate" if share * 100 >= value("moderate") else "mild"


def _ends(points: Sequence[Weighing]) -> tuple[float, float]:
    """The earlier and the latest weight [g].

    Medians of up to three, so that one slip of the scale is not a loss.
    """
    n = min(3, len(points) // 2)
    return median(w.mass_g for w in points[:n]), median(w.mass_g for w in points[-n:])


def _since(points: Sequence[Weighing], earlier_g: float) -> date:
    """The last day the dog still weighed as much as before."""
    as_before = [w.day for w in points if w.mass_g >= earlier_g]
    return as_before[-1] if as_before else points[0].day


def _certainty(points: Sequence[Weighing], is_falling: bool) -> str:
    weighings = wording.counted(len(points), "weighing")
    if is_falling and len(points) >= 6:
        return f"Sure of the weight: {weighings}, the slope clear of zero."
    if is_falling:
        return f"Fairly sure of the weight: {weighings}."
    return f"Not sure: {weighings}, no clear slope. Weigh again first."


def _loss_text(share: float, grade: str, points: Sequence[Weighing], found: WeightTrend) -> str:
    weeks = max(1, round((points[-1].day - points[0].day).days / 7))
    text = f"{share * 100:.1f} % less than {wording.counted(weeks, 'week')} ago, a {grade} loss"
    return f"{text}; {_per_week(found)} over the last six." if direction(found) else f"{text}."
