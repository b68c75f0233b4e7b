"""What a dog needs, and whether what it ate in four weeks holds it."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import TypedDict
from uuid import UUID

import numpy as np

from household.dogs.models import Dog, Weighing
from household.dogs.queries import YARDSTICK, need_of, targets_by_intake
from household.review.queries import wording
from household.review.queries.pantry import Pantry
from household.review.queries.records import DogRecords
from household.review.queries.weeks import Week
from nutrition.adequacy import WORDS, Judgement, judge, with_doubt
from nutrition.companions import for_diet
from nutrition.composition import Totals, calcium_to_phosphorus
from nutrition.energy import Requirement
from nutrition.standards import Targets
from nutrition.tables import load
from nutrition.windows import sums

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


@dataclass(frozen=True)
class WindowIntake:
    """What a dog ate in the window: on how many days meals were written down, what it held, and
    the share of its mass [-] whose composition is known."""

    recorded_days: int
    total: Totals
    known_share: float

    @property
    def energy_kcal_per_day(self) -> float | None:
        """The energy of an average day; None when a part of it is not known."""
        if self.known_share < 1 or not self.recorded_days:
            return None
        return self.total.energy_kcal / self.recorded_days


def intakes(dogs: Sequence[DogRecords], week: Week, pantry: Pantry) -> dict[UUID, WindowIntake]:
    """What every dog ate in the four weeks that end with this one, in one matrix product."""
    first = week.sunday - timedelta(days=WINDOW_DAYS - 1)
    matrix = pantry.matrix
    masses_g = np.zeros((len(dogs), len(matrix.foods)))
    inside = [[s for s in dog.servings if first <= s.day <= week.sunday] for dog in dogs]
    known_shares = []
    for row, servings in enumerate(inside):
        whole_g = unknown_g = 0.0
        for serving in servings:
            made = pantry.make(serving)
            whole_g += serving.eaten_g
            unknown_g += serving.eaten_g * made.unknown_share
            for food, share in made.shares:
                masses_g[row, matrix.row[food.key]] += serving.eaten_g * share
        known_shares.append(1 - unknown_g / whole_g if whole_g else 1.0)
    found = sums(masses_g, matrix)
    return {
        dog.dog.rid: WindowIntake(
            len({s.day for s in inside[row]}), found.totals(row), known_shares[row]
        )
        for row, dog in enumerate(dogs)
    }


def adequacy_part(
    eaten: WindowIntake, dog: Dog, mass_g: float | None, week: Week, *, edition: str
) -> AdequacyPart:
    """The balance section of a summary, over the four weeks that end with this one."""
    last, total = week.sunday, eaten.total
    weighing = None if mass_g is None else Weighing(mass_g=mass_g)
    need = need_of(dog, weighing, on=last, edition=edition)
    limits = for_diet(targets_by_intake(need, eaten_kcal_per_day=eaten.energy_kcal_per_day), total)
    found = [with_doubt(one, known_share=eaten.known_share) for one in judge(total, limits)]
    counts = {word: sum(one.word == word for one in found) for word in WORDS}
    ratio = calcium_to_phosphorus(total).known if total.mass_g else None
    return {
        "days": WINDOW_DAYS,
        "edition": edition,
        "stage": limits.stage,
        "counts": counts,
        "not_met": _not_met(found),
        "calcium_to_phosphorus": None if ratio is None else round(ratio, 2),
        "sentence": _sentence(counts, found, limits, eaten),
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
    eaten: WindowIntake,
) -> str:
    if not eaten.recorded_days:
        return f"Nothing was written down in {WINDOW_DAYS} days."
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
        f" averaged over {eaten.recorded_days} of {WINDOW_DAYS} days with meals written down."
    )
    if limits.factor > 1:
        text += (
            f" By what the dog eats its food must hold {limits.factor:.2f} times what the table"
            " says."
        )
    if eaten.known_share < 1:
        text += f" {wording.percent(1 - eaten.known_share)} of the food has no known composition."
    return text
