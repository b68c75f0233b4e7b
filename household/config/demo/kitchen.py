"""The story's batches: planned, pulled, weighed in, bagged, and used up bag by bag."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from household.config.demo.book import Book, iso
from household.config.demo.larder import Larder
from household.config.demo.story import BatchLine, Recipe
from nutrition.composition import Food

SPARE = 1.06  # [-] A batch is made a little larger than the meals planned from it.
# The first two days' bags stay in the fridge: FoodSafety.gov gives raw minced meat 1 to 2 days.
FRIDGE_BAGS = 2  # [-]
FRIDGE_DAYS = 2  # [day]
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
        self._duties(line, recipe, done_at)
        made = Made(rid, line, density, yield_g, yield_g, [])
        self.made[line.number] = made
        if line.day > 0:
            for key, mass_g in parts.items():
                self._larder.stock(key, mass_g, day=line.day, by=line.pull_by)
            return made
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
            at=self._book.at(line.day - 2, "20:30"),
        )

    def _duties(self, line: BatchLine, recipe: Recipe, done_at: datetime) -> None:
        pulled_at = self._book.at(line.day - 1, "18:20")
        verb = "Grind" if recipe.method == "ground" else "Make"
        for what, title, due, by, done in (
            ("pull", f"Pull for batch {line.number}", "18:00", line.pull_by, pulled_at),
            ("grind", f"{verb} batch {line.number}", line.time, line.by, done_at),
        ):
            is_done = line.day <= 0 and self._book.has_happened(done)
            self._book.create(
                "duty",
                {
                    "what": what,
                    "title": title,
                    "due_at": iso(self._book.at(line.day - (what == "pull"), due)),
                    "assignee": str(self._book.members[by]),
                    "done": self._done(by, done) if is_done else None,
                },
                by=by,
                at=done if is_done else self._book.at(line.day - 2, "20:40"),
            )

    def _done(self, by: str, at: datetime) -> dict[str, str]:
        return {"at": iso(at), "by": str(self._book.members[by])}

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
