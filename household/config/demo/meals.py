"""The story's meals: portions from each dog's requirement, how each was taken, what was left."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any
from uuid import UUID

from household.config.demo.book import Book, iso
from household.config.demo.kitchen import Kitchen
from household.config.demo.larder import Larder
from household.config.demo.story import KEEN, MEALS, Appetite, BatchLine, MenuDay, Story
from household.sync.envelope import slot_id

ROUND_TO_G = 5
Requirement = Callable[[str, date, float], float]


@dataclass(frozen=True)
class Portion:
    """What one dog is meant to get at one meal of one day."""

    dog: str
    meal: str
    served: str
    energy_kcal: float


class Meals:
    """Works out every portion of the story, and serves it."""

    def __init__(
        self,
        book: Book,
        story: Story,
        *,
        dogs: Mapping[str, UUID],
        mealtimes: Mapping[str, UUID],
        foods: Mapping[str, UUID],
        requirement_kcal: Requirement,
        dry_kcal_per_g: float,
    ) -> None:
        self._book, self._story = book, story
        self._dogs, self._mealtimes, self._foods = dogs, mealtimes, foods
        self._requirement, self._dry_kcal_per_g = requirement_kcal, dry_kcal_per_g
        self._clock = {m["key"]: m["time"] for m in story.facts["mealtimes"]}

    def portions(self, day: MenuDay) -> Iterator[Portion]:
        """What each dog is meant to get on a day: its requirement, shared over its meals."""
        for dog, shares in self._story.facts["day_shares"].items():
            need = self._requirement(dog, self._book.day(day.day), self._mass_g(dog, day.day))
            for meal, share in shares.items():
                served = day.served[meal]
                if dog == "morag" and meal == "supper":
                    served = day.morag_supper or served
                if served:
                    yield Portion(dog, meal, served, share * need)

    def planned_kcal(self, line: BatchLine) -> float:
        """The energy that all meals take from one batch [kcal]; a usual week's for the next one."""
        code = f"batch {line.number}"
        planned = sum(
            p.energy_kcal
            for day in self._story.menu
            for p in self.portions(day)
            if p.served == code
        )
        if planned:
            return planned
        today = next(day for day in self._story.menu if day.day == 0)
        return line.days * sum(p.energy_kcal for p in self.portions(today))

    def first_supper_kcal(self, line: BatchLine) -> float:
        """The energy served straight from the bowl on the day a batch is made [kcal]."""
        day = next((d for d in self._story.menu if d.day == line.day), None)
        code = f"batch {line.number}"
        return sum(
            p.energy_kcal
            for p in (self.portions(day) if day else ())
            if p.served == code and p.meal == "supper"
        )

    def serve(self, day: MenuDay, meal: str, kitchen: Kitchen, larder: Larder) -> None:
        """Enter one meal: what each dog was offered and what it left."""
        portions = [p for p in self.portions(day) if p.meal == meal]
        at = self._book.at(day.day, self._clock[meal], plus_minutes=(day.day * 7 + len(meal)) % 16)
        if not portions or not self._book.has_happened(at):
            return
        by = day.by[meal]
        on = self._book.day(day.day).isoformat()
        rid = slot_id("meal", self._book.household_id, self._mealtimes[meal], on)
        self._book.create(
            "meal",
            {"mealtime": str(self._mealtimes[meal]), "day": on, "at": iso(at)},
            by=by,
            at=at,
            rid=rid,
        )
        for portion in portions:
            self._serve_one(portion, day, rid, kitchen, larder, by=by, at=at)

    def _serve_one(
        self,
        portion: Portion,
        day: MenuDay,
        meal: UUID,
        kitchen: Kitchen,
        larder: Larder,
        *,
        by: str,
        at: datetime,
    ) -> None:
        what, density = self._what(portion.served, kitchen)
        offered_g = ROUND_TO_G * max(1, round(portion.energy_kcal / density / ROUND_TO_G))
        if "food" not in what:
            what = kitchen.take(int(portion.served.split()[1]), offered_g, by=by, at=at)
        elif portion.served in self._story.facts["bone_in"]:
            lot = larder.stock(what["food"], offered_g, day=day.day, by=by)
            if lot is not None:
                larder.move(lot, "used", offered_g, by=by, at=at)
        taken = self._story.appetite.get((day.day, portion.meal, portion.dog), KEEN)
        self._book.create(
            "serving",
            {
                "meal": str(meal),
                "dog": str(self._dogs[portion.dog]),
                "what": what,
                "offered_g": offered_g,
                "left": _left(taken, offered_g),
                "appetite": taken.word,
            },
            by=by,
            at=at,
            rid=slot_id("serving", meal, self._dogs[portion.dog]),
        )

    def _what(self, served: str, kitchen: Kitchen) -> tuple[dict[str, str], float]:
        """What was served, as far as known before it is taken, and its energy [kcal/g]."""
        if served in self._foods:
            return {"food": str(self._foods[served])}, self._dry_kcal_per_g
        bone_in = self._story.facts["bone_in"].get(served)
        if bone_in is not None:
            return {"food": bone_in}, kitchen.energy_of({bone_in: 1.0})
        return {}, kitchen.made[int(served.split()[1])].energy_kcal_per_g

    def _mass_g(self, dog: str, day: int) -> float:
        known = [
            float(w["mass_g"])
            for w in self._story.weighings
            if w["dog"] == dog and int(w["day"]) <= day
        ]
        return known[-1]


def _left(taken: Appetite, offered_g: int) -> dict[str, Any] | None:
    """What was left, weighed back by the gram; None when nobody noted it."""
    if taken.left_share is None:
        return None
    return {"g": round(taken.left_share * offered_g)}


def meals_before(clock: str) -> tuple[str, ...]:
    """The meals served before a batch of that day is made; the others may come from it."""
    return MEALS[:2] if clock < "18:00" else MEALS
