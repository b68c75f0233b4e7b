"""What a dog needs, and whether what it ate in four weeks holds it."""

from collections import defaultdict
from collections.abc import Sequence
from datetime import date, timedelta
from typing import TypedDict

from household.dogs.models import Dog, Weighing
from household.dogs.queries import YARDSTICK, need_of, standard
from household.prep.queries import with_doubt
from household.review.queries import wording
from household.review.queries.pantry import Pantry
from household.review.queries.records import Serving
from household.review.queries.weeks import Week
from nutrition.adequacy import WORDS, Judgement, judge
from nutrition.composition import Food, Totals, calcium_to_phosphorus, totals
from nutrition.energy import Requirement
from nutrition.standards import Targets
from nutrition.tables import load

# No standard gives an averaging window: an assumption, said in the sentence.
WINDOW_DAYS = 28  # [day]
STAGE_NAMES = {
    "adult": "adult",
    "growth_early": "growth under 14 weeks",
    "growth_late": "growth from 14 weeks",
    "reproduction": "late gestation and suckling",
}


class NotMet(TypedDict):
    nutrient: str
    word: str
    known: float | None
    best: float | None
    minimum: float | None
    maximum: float | None
    unit: str


class AdequacyPart(TypedDict):
    days: int
    edition: str
    stage: str
    counts: dict[str, int]
    not_met: list[NotMet]
    calcium_to_phosphorus: float | None
    sentence: str


def requirement_of(dog: Dog, mass_g: float | None, on: date) -> Requirement | None:
    """The energy requirement on a day; None without a weight, or with a figure out of range."""
    if mass_g is None:
        return None
    return need_of(dog, Weighing(mass_g=mass_g), on=on, edition=YARDSTICK).energy


def intake(servings: Sequence[Serving], pantry: Pantry) -> tuple[Totals, float]:
    """What was eaten, added up by food, and the share of its mass [-] of known composition."""
    eaten: dict[str, float] = defaultdict(float)
    foods: dict[str, Food] = {}
    whole_g = unknown_g = 0.0
    for serving in servings:
        made = pantry.make(serving)
        whole_g += serving.eaten_g
        unknown_g += serving.eaten_g * made.unknown_share
        for food, share in made.shares:
            foods[food.key] = food
            eaten[food.key] += serving.eaten_g * share
    known_share = 1 - unknown_g / whole_g if whole_g else 1.0
    return totals([(foods[key], mass_g) for key, mass_g in sorted(eaten.items())]), known_share


def adequacy_part(
    servings: Sequence[Serving], dog: Dog, week: Week, pantry: Pantry, *, edition: str
) -> AdequacyPart:
    """The balance section of a summary, over the four weeks that end with this one."""
    last, days = week.sunday, WINDOW_DAYS
    first = last - timedelta(days=days - 1)
    inside = [s for s in servings if first <= s.day <= last]
    total, known_share = intake(inside, pantry)
    limits = standard(edition, dog, on=last)
    found = [with_doubt(one, known_share) for one in judge(total, limits)]
    counts = {word: sum(one.word == word for one in found) for word in WORDS}
    ratio = calcium_to_phosphorus(total).known if total.mass_g else None
    return {
        "days": days,
        "edition": edition,
        "stage": limits.stage,
        "counts": counts,
        "not_met": _not_met(found),
        "calcium_to_phosphorus": None if ratio is None else round(ratio, 2),
        "sentence": _sentence(
            counts, found, limits, known_share, len({s.day for s in inside}), days
        ),
    }


def _not_met(found: Sequence[Judgement]) -> list[NotMet]:
    """What is over, short or unknown, in that order; per 1000 kcal in the nutrient's unit."""
    order = {"over": 0, "short": 1, "unknown": 2}
    nutrients = load().nutrients
    return [
        {
            "nutrient": one.nutrient,
            "word": one.word,
            "known": _figure(one.known),
            "best": _figure(one.best),
            "minimum": _figure(one.minimum),
            "maximum": _figure(one.maximum),
            "unit": nutrients[one.nutrient].unit,
        }
        for one in sorted(found, key=lambda one: order.get(one.word, 3))
        if one.word != "met"
    ]


def _figure(amount: float | None) -> float | None:
    """Four significant digits: more than any table holds, and the same on every run."""
    return None if amount is None else float(f"{amount:.4g}")


def _sentence(
    counts: dict[str, int],
    found: Sequence[Judgement],
    limits: Targets,
    known_share: float,
    recorded_days: int,
    days: int,
) -> str:
    if not recorded_days:
        return f"Nothing was written down in {days} days."
    names = load().nutrients
    parts = [f"{counts['met']} met"]
    for word in ("over", "short"):
        if counts[word]:
            which = [names[one.nutrient].name.lower() for one in found if one.word == word]
            parts.append(f"{counts[word]} {word} ({wording.listed(which)})")
    if counts["unknown"]:
        parts.append(f"{counts['unknown']} unknown")
    text = (
        f"{', '.join(parts)} by {limits.name}, {STAGE_NAMES[limits.stage]},"
        f" averaged over {recorded_days} of {days} days with meals written down."
    )
    if known_share < 1:
        text += f" {wording.percent(1 - known_share)} of the food has no known composition."
    return text
