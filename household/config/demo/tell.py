"""Tells the whole story, day by day, into a book of entries."""

from collections.abc import Mapping
from datetime import timedelta
from uuid import UUID

from household.config.demo.book import Book, iso
from household.config.demo.kitchen import Kitchen
from household.config.demo.larder import Larder
from household.config.demo.meals import Meals, Requirement, meals_before
from household.config.demo.story import MEALS, MenuDay, Story
from nutrition.composition import Food

COUNTED = ("usda-23567", -30)  # The one count of the story: which food, and on which day.


def tell(
    story: Story,
    book: Book,
    *,
    foods: Mapping[str, Food],
    requirement_kcal: Requirement,
    dry_kcal_per_g: float,
) -> None:
    """Enter everything the household wrote down in its ten weeks."""
    first = min(day.day for day in story.menu)
    dogs = _dogs(story, book, first - 1)
    mealtimes = _mealtimes(story, book, dogs, first - 1)
    own = _foods(story, book, first - 1)
    larder = Larder(book, story.facts["packs"], story.facts["currency"])
    kitchen = Kitchen(book, larder, foods, story.recipes, list(dogs.values()))
    meals = Meals(
        book,
        story,
        dogs=dogs,
        mealtimes=mealtimes,
        foods=own,
        requirement_kcal=requirement_kcal,
        dry_kcal_per_g=dry_kcal_per_g,
    )
    for day in story.menu:
        _live(day, story, book, meals, kitchen, larder)
    _watch(story, book, dogs)
    _duties(story, book, dogs)
    _rotas(story, book, dogs)


def _live(
    day: MenuDay, story: Story, book: Book, meals: Meals, kitchen: Kitchen, larder: Larder
) -> None:
    """One day: the early meals, the batches made, the late meals."""
    made_today = [line for line in story.batches if line.day == day.day]
    early = meals_before(made_today[0].time) if made_today else MEALS
    for meal in early:
        meals.serve(day, meal, kitchen, larder)
    for line in made_today:
        kitchen.make(line, meals.planned_kcal(line), meals.first_supper_kcal(line))
        _tidy(line.number, kitchen, book, by=line.by)
    for meal in MEALS[len(early) :]:
        meals.serve(day, meal, kitchen, larder)
    food, counted_on = COUNTED
    if day.day == counted_on:
        larder.count(food, by="callum", at=book.at(counted_on, "20:10"))


def _tidy(number: int, kitchen: Kitchen, book: Book, *, by: str) -> None:
    """The rest of the batch before the last two goes: the two newest are still being eaten."""
    old = [n for n in kitchen.made if n <= number - 3 and kitchen.made[n].line.day < -20]
    line = kitchen.made[number].line
    for before in old:
        kitchen.tidy(before, by=by, at=book.at(line.day, line.time, plus_minutes=30))


def _dogs(story: Story, book: Book, day: int) -> dict[str, UUID]:
    at = book.at(day, "20:00")
    return {
        dog["key"]: book.create(
            "dog",
            {
                "name": dog["name"],
                "breed": dog["breed"],
                "born": {
                    "date": book.day(-dog["born_days_ago"]).isoformat(),
                    "estimated": dog["born_estimated"],
                },
                "sex": dog["sex"],
                "neutered": dog["neutered"],
                "adult_weight_g": dog["adult_weight_g"],
                "activity": dog["activity"],
                "vet_notes": dog["vet_notes"],
            },
            by="ines",
            at=at + timedelta(minutes=place),
        )
        for place, dog in enumerate(story.facts["dogs"])
    }


def _mealtimes(story: Story, book: Book, dogs: Mapping[str, UUID], day: int) -> dict[str, UUID]:
    at = book.at(day, "20:10")
    return {
        mealtime["key"]: book.create(
            "mealtime",
            {
                "name": mealtime["name"],
                "time": mealtime["time"],
                "dogs": [str(dogs[key]) for key in mealtime["dogs"]],
            },
            by="ines",
            at=at + timedelta(minutes=place),
        )
        for place, mealtime in enumerate(story.facts["mealtimes"])
    }


def _foods(story: Story, book: Book, day: int) -> dict[str, UUID]:
    return {
        key: book.create("food", food, by="callum", at=book.at(day, "20:20"))
        for key, food in story.facts["foods"].items()
    }


def _watch(story: Story, book: Book, dogs: Mapping[str, UUID]) -> None:
    """Weighings, body condition and what was seen of the dogs."""
    for row in story.weighings:
        at = book.at(int(row["day"]), row["time"])
        values = {"dog": str(dogs[row["dog"]]), "at": iso(at), "mass_g": int(row["mass_g"])}
        book.create("weighing", values, by=row["by"], at=at)
    for row in story.conditions:
        at = book.at(int(row["day"]), row["time"])
        values = {
            "dog": str(dogs[row["dog"]]),
            "at": iso(at),
            "bcs": int(row["bcs"]),
            "mcs": row["mcs"],
        }
        book.create("condition", {**values, "note": row["note"] or None}, by=row["by"], at=at)
    for row in story.notes:
        at = book.at(int(row["day"]), row["time"])
        values = {"dog": str(dogs[row["dog"]]), "at": iso(at), "topic": row["topic"]}
        said = {"word": row["word"] or None, "note": row["note"] or None}
        flags = row["flags"].split() or None
        book.create("observation", {**values, **said, "flags": flags}, by=row["by"], at=at)


def _duties(story: Story, book: Book, dogs: Mapping[str, UUID]) -> None:
    """Duties beside those of the batches; what lies ahead was agreed the day before yesterday."""
    for row in story.duties:
        due = book.at(int(row["day"]), row["time"])
        done_by = row["done_by"]
        values = {
            "what": row["what"],
            "title": row["title"],
            "dog": str(dogs[row["dog"]]) if row["dog"] else None,
            "due_at": iso(due),
            "assignee": str(book.members[row["assignee"]]),
            "done": {"at": iso(due), "by": str(book.members[done_by])} if done_by else None,
            "note": row["note"] or None,
        }
        at = due if done_by else book.at(-2, "21:00")
        book.create("duty", values, by=done_by or row["assignee"], at=at)


def _rotas(story: Story, book: Book, dogs: Mapping[str, UUID]) -> None:
    """Duties that come again, agreed the evening before last."""
    for row in story.rotas:
        values = {
            "what": row["what"],
            "title": row["title"] or None,
            "dog": str(dogs[row["dog"]]) if row["dog"] else None,
            "starts_on": book.day(int(row["day"])).isoformat(),
            "time": row["time"],
            "repeats": {"every_days": int(row["every_days"])}
            if row["every_days"]
            else {"weekdays": row["weekdays"].split()},
            "turns": [str(book.members[member]) for member in row["turns"].split()],
        }
        book.create("rota", values, by=row["by"], at=book.at(-2, "21:10"))
