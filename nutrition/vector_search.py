"""Worked searches for both languages: python -m nutrition.vector_search."""

import json
import sys
from dataclasses import asdict
from pathlib import Path

from nutrition.search import Entry, search

PATH = Path(__file__).parents[1] / "fixtures" / "vectors" / "search.json"

ENTRIES = (
    Entry("heart-beef", "Beef heart", ("ox heart", "cow heart"), "Heart"),
    Entry("heart-lamb", "Lamb heart", ("sheep heart",), "Heart"),
    Entry("heart-chicken", "Chicken hearts", (), "Heart", is_in_store=True),
    Entry("back", "Chicken back, with bone", ("chicken frames", "carcass"), "Cut with bone"),
    Entry("neck", "Chicken neck, with bone", ("chicken necks",), "Cut with bone"),
    Entry(
        "mince-beef", "Beef, minced, 10 % fat", ("mince", "hamburger", "ground beef"), "Red meat"
    ),
    Entry("mince-lamb", "Lamb, minced", ("mince", "ground lamb"), "Red meat", is_in_store=True),
    Entry("tripe", "Green tripe", ("paunch", "rumen"), "Tripe"),
    Entry("beet", "Beetroot", ("beet", "red beet"), "Vegetable"),
    Entry("potato", "Potato, boiled", (), "Vegetable"),
    Entry("sweet", "Sweet potato, boiled", ("yam",), "Vegetable"),
    Entry("blueberry", "Blueberries", (), "Fruit"),
    Entry("eggshell", "Eggshell powder", ("calcium",), "Mineral"),
    Entry("mackerel", "Mackerel, raw", ("makrele",), "Oily fish"),
    Entry("creme", "Crème fraîche", (), "Dairy"),
    Entry("own-kibble", "Blue sack kibble", (), "Your own", is_own=True),
    Entry("own-mince", "Mince from the farm", (), "Your own", is_own=True),
    Entry("loin", "Bœuf: loin", (), "Red meat"),
    Entry("wheat", "Wheat germ", (), "Grain"),
)
QUERIES = (
    "",
    "beef heart",
    "heart beef",
    "Ox Heart",
    "oxheart",
    "heart of ox",
    "hea",
    "hearts",
    "chicken frames",
    "chicken frame",
    "chiken frames",
    "frames",
    "carcasses",
    "paunch",
    "paunhc",
    "mince",
    "minse",
    "hamburger",
    "hambruger",
    "lamb mince",
    "beef",
    "beet",
    "beeet",
    "potatoes",
    "sweetpotato",
    "sweet potatoes",
    "egg shell",
    "eggshel",
    "blueberry",
    "bluberries",
    "makerel",
    "creme fraiche",
    "CRÈME",
    "boeuf",
    "kibble",
    "red meat",
    "with bone",
    "the",
    "xyzzy",
    "eart",
    "ox",
)


def as_text() -> str:
    """Return the whole file: the entries, and one query a line with the keys it finds."""
    entries = [asdict(entry) | {"also": list(entry.also)} for entry in ENTRIES]
    lines = ",\n".join(
        "  "
        + json.dumps(
            {"typed": typed, "found": [[each.key, each.how] for each in search(ENTRIES, typed)]}
        )
        for typed in QUERIES
    )
    return (
        f'{{\n"entries": {json.dumps(entries, ensure_ascii=False)},\n"cases": [\n{lines}\n]\n}}\n'
    )


def is_fresh() -> bool:
    """Return whether the file says what the code says now."""
    return PATH.exists() and PATH.read_text(encoding="utf-8") == as_text()


def main(arguments: list[str]) -> int:
    """Write the file, or with --check say whether it is fresh."""
    if arguments == ["--check"]:
        if is_fresh():
            return 0
        sys.stderr.write(f"{PATH.name} is stale: run python -m nutrition.vector_search.\n")
        return 1
    if arguments:
        sys.stderr.write("Use: python -m nutrition.vector_search [--check]\n")
        return 2
    PATH.write_text(as_text(), encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
