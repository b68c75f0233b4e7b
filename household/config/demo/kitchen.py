"""The story's batches: planned, pulled, weighed in, bagged, and used up bag by bag."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from household.config.demo.book import Book, iso
from household.config.demo.larder import Larder
from household.config.demo.story import BatchLine, Recipe
from household.sync.envelope import slot_id
from nutrition.composition import Food

SPARE = 1.06  # [-] A batch is made a little larger than the meals planned from it.
# The first two days' bags stay in the fridge: FoodSafety.gov gives raw minced meat 1 to 2 days.
FRIDGE_BAGS = 2  # [-]
FRIDGE_DAYS = 2  # [day]
PLANNED_DAYS_BEFORE = 3  # The packs are bought on that day, before supper.
GRIND_CAUTIONS = ("raw-meat", "grinder-on", "grinder-off")


@dataclass
class Bags:
    """One set of equal bags and what is left in it."""

    rid: UUID
    left_g: int


@dataclass
class Made:
    """A batch of the story with the mass and the energy it really got."""

    rid: UUID
    line: BatchLine
    energy_kcal_per_g: float
    yield_g: int
    loose_g: int
    bags: list[Bags]


class Kitchen:
    """Makes the batches of the story and hands out what is served from them."""

    def __init__(
        self,
        book: Book,
        larder: Larder,
        foods: Mapping[str, Food],
        recipes: Mapping[str, Recipe],
        dogs: Sequence[UUID],
    ) -> None:
        self._book, self._larder = book, larder
        self._foods, self._recipes, self._dogs = foods, recipes, dogs
        self.made: dict[int, Made] = {}

    def energy_of(self, parts: Mapping[str, float]) -> float:
        """The energy of some grams of foods [kcal]."""
        return sum(
            mass_g / 100 * self._foods[key].energy_kcal_per_100g for key, mass_g in parts.items()
        )

    def make(self, line: BatchLine, wanted_kcal: float, first_supper_kcal: float) -> Made:
        """Plan, pull, weigh in and bag a batch with the energy of the meals planned from it."""
        recipe = self._recipes[line.recipe]
        put_in_g = SPARE * wanted_kcal / self.energy_of(recipe.parts)
        parts = {
            key: self._larder.whole_packs_g(key, share * put_in_g)
            for key, share in recipe.parts.items()
        }
        yield_g = round(sum(parts.values()) * recipe.cooked_yield / 10) * 10
        density = self.energy_of(parts) / yield_g
        rid = self._plan(line, recipe, parts)
        done_at = self._book.at(line.day, line.time)
        made = Made(rid, line, density, yield_g, yield_g, [])
        self.made[line.number] = made
        if line.day > 0:
            self._foresee(line, recipe, rid, parts)
            return made
        self._pulled_and_made(line, recipe, done_at)
        self._weigh_in(line, rid, parts)
        self._finish(line, recipe, made, done_at, first_supper_kcal)
        return made

    def _plan(self, line: BatchLine, recipe: Recipe, parts: Mapping[str, int]) -> UUID:
        return self._book.create(
            "batch",
            {
                "number": line.number,
                "method": recipe.method,
                "plate_mm": recipe.plate_mm,
                "planned_for": self._book.day(line.day).isoformat(),
                "days": line.days,
                "dogs": [str(dog) for dog in self._dogs],
                "plan": [{"food": key, "mass_g": mass_g} for key, mass_g in parts.items()],
                "stage": "planned",
                "note": line.note or None,
            },
            by=line.by,
            at=self._book.at(line.day - PLANNED_DAYS_BEFORE, "20:30"),
        )

    def _foresee(
        self, line: BatchLine, recipe: Recipe, batch: UUID, parts: Mapping[str, int]
    ) -> None:
        """What is still to be done for a planned batch: packs to move, and the grind."""
        at = self._book.at(line.day - PLANNED_DAYS_BEFORE, "20:40")
        self._grind(line, recipe, None, at)
        for key, mass_g in parts.items():
            lot = self._larder.stock(key, mass_g, day=line.day, by=line.pull_by)
            if lot is None:
                continue
            self._book.create(
                "pull",
                {
                    "of": str(lot.rid),
                    "pack_mass_g": lot.pack_g,
                    "packs": mass_g // lot.pack_g,
                    "needed_at": iso(self._book.at(line.day, line.time)),
                    "batch": str(batch),
                    "assignee": str(self._book.members[line.pull_by]),
                },
                by=line.pull_by,
                at=at,
                # As a phone that accepts it would call it.
                rid=slot_id("pull", lot.rid, lot.pack_g, "batch", batch),
            )

    def _pulled_and_made(self, line: BatchLine, recipe: Recipe, done_at: datetime) -> None:
        pulled_at = self._book.at(line.day - 1, "18:20")
        self._duty(
            "pull",
            f"Pull for batch {line.number}",
            due=self._book.at(line.day - 1, "18:00"),
            whose=line.pull_by,
            done_at=pulled_at,
            at=pulled_at,
        )
        self._grind(line, recipe, done_at, done_at)

    def _grind(
        self, line: BatchLine, recipe: Recipe, done_at: datetime | None, at: datetime
    ) -> None:
        verb = "Grind" if recipe.method == "ground" else "Make"
        due = self._book.at(line.day, line.time)
        title = f"{verb} batch {line.number}"
        self._duty("grind", title, due=due, whose=line.by, done_at=done_at, at=at)

    def _duty(
        self,
        what: str,
        title: str,
        *,
        due: datetime,
        whose: str,
        done_at: datetime | None,
        at: datetime,
    ) -> None:
        assignee = str(self._book.members[whose])
        self._book.create(
            "duty",
            {
                "what": what,
                "title": title,
                "due_at": iso(due),
                "assignee": assignee,
                "done": {"at": iso(done_at), "by": assignee} if done_at else None,
            },
            by=whose,
            at=at,
        )

    def _weigh_in(self, line: BatchLine, batch: UUID, parts: Mapping[str, int]) -> None:
        for place, (key, mass_g) in enumerate(parts.items()):
            lot = self._larder.stock(key, mass_g, day=line.day, by=line.pull_by)
            at = self._book.at(line.day, line.time, plus_minutes=-50 + 3 * place)
            if lot is not None:
                pulled = self._book.at(line.day - 1, "18:05", plus_minutes=place)
                self._larder.move(lot, "thawed", mass_g, by=line.pull_by, at=pulled, batch=batch)
                self._larder.move(lot, "used", mass_g, by=line.by, at=at, batch=batch)
            self._book.create(
                "weigh_in",
                {
                    "batch": str(batch),
                    "food": key,
                    "mass_g": mass_g,
                    "lot": str(lot.rid) if lot else None,
                    "at": iso(at),
                },
                by=line.by,
                at=at,
            )

    def _finish(
        self,
        line: BatchLine,
        recipe: Recipe,
        made: Made,
        done_at: datetime,
        first_supper_kcal: float,
    ) -> None:
        read_at = iso(done_at - timedelta(minutes=20))
        cautions = [{"what": what, "at": read_at} for what in GRIND_CAUTIONS]
        self._book.edit(
            "batch",
            made.rid,
            {
                "stage": "done",
                "made_at": iso(done_at),
                **({"yield_g": made.yield_g} if recipe.method == "cooked" else {}),
                **({"cautions": cautions} if recipe.method == "ground" else {}),
            },
            by=line.by,
            at=done_at,
        )
        made.loose_g = round(first_supper_kcal / made.energy_kcal_per_g * 1.02)
        bag_g = (made.yield_g - made.loose_g) // line.days // 10 * 10
        use_by = self._book.day(line.day + FRIDGE_DAYS).isoformat()
        for place, count in (("fridge", FRIDGE_BAGS), ("freezer", line.days - FRIDGE_BAGS)):
            at = done_at + timedelta(minutes=15 if place == "fridge" else 20)
            rid = self._book.create(
                "bag",
                {
                    "batch": str(made.rid),
                    "mass_g": bag_g,
                    "count": count,
                    "place": place,
                    "packed_at": iso(at),
                    "use_by": use_by if place == "fridge" else None,
                },
                by=line.by,
                at=at,
            )
            bags = Bags(rid, bag_g * count)
            self._move(bags, "stored", bags.left_g, by=line.by, at=at, batch=made.rid)
            made.bags.append(bags)

    def take(self, number: int, mass_g: int, *, by: str, at: datetime) -> dict[str, str]:
        """What a meal is served from: the rest in the bowl, else the next bag that holds enough."""
        made = self.made[number]
        if made.loose_g >= mass_g and at < self._book.at(made.line.day, "23:59"):
            made.loose_g -= mass_g
            return {"batch": str(made.rid)}
        for bags in made.bags:
            if bags.left_g >= mass_g:
                bags.left_g -= mass_g
                self._move(bags, "used", mass_g, by=by, at=at, batch=made.rid)
                return {"bag": str(bags.rid)}
        return {"batch": str(made.rid)}

    def tidy(self, number: int, *, by: str, at: datetime) -> None:
        """Throw out what is left of a batch: what a bag still holds after its days."""
        made = self.made[number]
        for bags in made.bags:
            if bags.left_g > 0:
                self._move(bags, "discarded", bags.left_g, by=by, at=at, batch=made.rid)
                bags.left_g = 0

    def _move(
        self, bags: Bags, what: str, mass_g: int, *, by: str, at: datetime, batch: UUID
    ) -> None:
        self._book.create(
            "movement",
            {
                "of": str(bags.rid),
                "what": what,
                "mass_g": mass_g,
                "at": iso(at),
                "batch": str(batch),
            },
            by=by,
            at=at,
        )
