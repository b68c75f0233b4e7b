"""What people call a food beside its name: the words that a search finds it by."""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

from nutrition.food import Food
from nutrition.rows import Problems, one_of, read_rows

SYNONYMS = "synonyms/trencher-1.csv"


def with_synonyms(foods: Mapping[str, Food], problems: Problems, *, root: Path) -> dict[str, Food]:
    """Return the foods, each with its other names in the order of the file.

    A word may stand for several foods ("mince"), but once for each: a name that is already
    there, or is the food's own, would only lengthen what every phone carries.
    """
    rows = read_rows(
        SYNONYMS,
        columns=("food", "word"),
        problems=problems,
        unique=("food", "word"),
        root=root,
    )
    words: dict[str, dict[str, str]] = defaultdict(dict)
    for row in rows:
        if not one_of(row, "food", foods, problems):
            continue
        word, taken = row["word"].strip(), words[row["food"]]
        if not word:
            problems.add(row, f"the word for {row['food']} is empty; write one or take it out.")
        elif word.casefold() in {*taken, foods[row["food"]].name.casefold()}:
            problems.add(row, f"{row['food']} is already called {word!r}; keep one.")
        else:
            taken[word.casefold()] = word
    return {key: replace(food, also=tuple(words[key].values())) for key, food in foods.items()}
