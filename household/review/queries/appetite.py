"""How a dog ate: the words given to its meals, and whether they changed against its own usual."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from math import comb
from typing import TypedDict

from household.review.queries import wording
from household.review.queries.records import Serving
from household.review.queries.weeks import Week

WORDS = ("keen", "slow", "picked", "left_it")  # Best to worst.
POOR = frozenset({"picked", "left_it"})
BASELINE_DAYS = 56  # [day] The dog's own usual: the eight weeks before the week looked at.
# A rule of Trencher's own, with no published threshold behind it. One poor meal is noise; poor
# meals on three days of a week, and more of them than chance deals from the dog's own usual, are
# not.
FEWEST_BASELINE_MEALS = 14
FEWEST_POOR_DAYS = 3
CHANCE = 0.05  # [-] One-sided.


class MealWord(TypedDict):
    day: str
    time: str
    word: str | None


class AppetitePart(TypedDict):
    counts: dict[str, int]
    meals: list[MealWord]
    sentence: str


@dataclass(frozen=True)
class AppetiteChange:
    """A week with more poor meals than the dog's own usual."""

    since: date
    poor: int
    said: int
    usual_poor: int
    usual_said: int
    chance: float


def appetite_part(servings: Sequence[Serving], week: Week) -> AppetitePart:
    """The week's words for how the dog ate, meal by meal."""
    meals = sorted(
        (s for s in servings if week.monday <= s.day <= week.sunday), key=lambda s: (s.day, s.time)
    )
    counts = {word: sum(s.appetite == word for s in meals) for word in WORDS}
    counts["not_said"] = sum(s.appetite not in WORDS for s in meals)
    return {
        "counts": counts,
        "meals": [
            {
                "day": s.day.isoformat(),
                "time": s.time,
                "word": s.appetite if s.appetite in WORDS else None,
            }
            for s in meals
        ],
        "sentence": _sentence(counts, len(meals)),
    }


def _sentence(counts: dict[str, int], meals: int) -> str:
    if not meals:
        return "No meals were written down."
    said = meals - counts["not_said"]
    if not said:
        return f"{wording.capital(wording.counted(meals, 'meal'))}, none with a word for appetite."
    tail = f" {wording.capital(wording.number(counts['not_said']))} with no word." * bool(
        counts["not_said"]
    )
    if counts["keen"] == said:
        return f"Keen at {'all ' if said > 1 else ''}{wording.counted(said, 'meal')}.{tail}"
    names = {"keen": "keen at", "slow": "slow at", "picked": "picked at", "left_it": "left"}
    parts = [f"{names[word]} {wording.number(counts[word])}" for word in WORDS if counts[word]]
    return f"{wording.capital(wording.listed(parts))} of {wording.counted(said, 'meal')}.{tail}"


def appetite_change(servings: Sequence[Serving], week: Week) -> AppetiteChange | None:
    """The change for the worse of this week against the eight weeks before, or None.

    The chance is that of dealing at least so many poor meals into this week when all meals with a
    word are shuffled (the one-sided exact test of Fisher for two shares).
    """
    said = [s for s in servings if s.appetite in WORDS]
    first = week.monday - timedelta(days=BASELINE_DAYS)
    usual = [s for s in said if first <= s.day < week.monday]
    now = [s for s in said if week.monday <= s.day <= week.sunday]
    poor_days = sorted({s.day for s in now if s.appetite in POOR})
    if len(usual) < FEWEST_BASELINE_MEALS or len(poor_days) < FEWEST_POOR_DAYS:
        return None
    usual_poor = sum(s.appetite in POOR for s in usual)
    poor = sum(s.appetite in POOR for s in now)
    chance = chance_of_at_least(poor, len(now), usual_poor + poor, len(usual) + len(now))
    if chance > CHANCE:
        return None
    return AppetiteChange(
        _since(said, week, poor_days[0]), poor, len(now), usual_poor, len(usual), chance
    )


def _since(said: Sequence[Serving], week: Week, first_poor_day: date) -> date:
    """The first poor day of this week, or of the unbroken run of poor weeks that leads up to it."""
    since, earlier = first_poor_day, week.previous
    while True:
        days = sorted(
            {
                s.day
                for s in said
                if s.appetite in POOR and earlier.monday <= s.day <= earlier.sunday
            }
        )
        if not days:
            return since
        since, earlier = days[0], earlier.previous


def chance_of_at_least(drawn_marked: int, drawn: int, marked: int, total: int) -> float:
    """The chance [-] that `drawn` of `total` hold at least `drawn_marked` of the `marked` ones.

    The upper tail of the hypergeometric distribution, in whole numbers until the last division.
    """
    ways = sum(
        comb(marked, k) * comb(total - marked, drawn - k)
        for k in range(drawn_marked, min(drawn, marked) + 1)
    )
    return ways / comb(total, drawn)
