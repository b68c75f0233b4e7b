"""Batches proposed by HiGHS, for the phone's solver: python -m nutrition.vector_proposal [--check].

Each case is a problem and the least that each aim came to. The problems are drawn with a fixed
seed from foods of the tables; the least of an aim is one number whichever of several equally good
batches is found.
"""

import json
import sys
from collections.abc import Iterator, Sequence
from dataclasses import asdict
from pathlib import Path
from random import Random
from typing import Any

from nutrition.food import significant
from nutrition.loading import load
from nutrition.proposal import propose
from nutrition.proposal_problem import (
    COMMON_ORGAN_SHARE,
    Ingredient,
    ingredient_of,
    problem_from_json,
)
from nutrition.standards import for_dog, targets

# The shape is JSON's own, so its values are of any JSON type.
Json = dict[str, Any]
PATH = Path(__file__).parents[1] / "fixtures" / "vectors" / "proposal.json"
TOLERANCE = 1e-6
COUNT = 220
SEED = 1945
DIGITS = 4
GROUPS = (
    "red_meat",
    "poultry",
    "heart",
    "liver",
    "kidney",
    "tripe",
    "bone_in",
    "oily_fish",
    "egg",
    "vegetable",
)
PER_GROUP = 4
DIGESTED = ("protein", "fat", "calcium", "phosphorus", "zinc", "vitamin_a", "vitamin_d", "selenium")


def foods(groups: Sequence[str] = GROUPS) -> dict[str, Json]:
    """Return the foods that the cases draw from, with figures short enough to be kept."""
    wanted = set(limits(700)) | set(DIGESTED)
    chosen = {}
    for group in groups:
        of_group = [
            food for food in load().foods.values() if food.group == group and food.style != "cooked"
        ]
        for food in of_group[:: max(1, len(of_group) // PER_GROUP)][:PER_GROUP]:
            chosen[food.key] = _short(ingredient_of(food), wanted)
    return chosen


def _short(food: Ingredient, wanted: set[str]) -> Json:
    shown = asdict(food)
    for side in ("least", "most"):
        kept = {key: amount for key, amount in shown[side].items() if key in wanted}
        shown[side] = significant(kept, digits=DIGITS)
    return shown


def limits(energy_kcal: float) -> dict[str, Json]:
    """Return what a grown dog of that need asks of each nutrient that is compared.

    Parameters
    ----------
    energy_kcal : float
        What the dog needs [kcal/d].
    """
    own = for_dog(
        targets("nrc-2006", "adult"), energy_kcal=energy_kcal, metabolic_mass_kg075=8
    ).limits
    return {
        key: {
            "nutrient": key,
            "minimum": row.recommended if row.recommended is not None else row.minimum,
            "maximum": row.maximum,
        }
        for key, row in own.items()
        if row.form is None or row.form.is_compared
    }


def problems() -> Iterator[Json]:
    """Yield the problems; those of each kind grow in what they ask."""
    random = Random(SEED)
    keys = list(foods())
    for index in range(COUNT):
        yield _problem(random, keys, index)


def _problem(random: Random, keys: list[str], index: int) -> Json:
    count = 24 if index % 55 == 54 else 2 + index % 7
    chosen = [keys[random.randrange(len(keys))] for _ in range(count)]
    rows = limits(500 + 10 * random.randrange(40))
    nutrients = list(rows) if index % 3 == 0 else list(DIGESTED)
    wanted = [rows[key] for key in nutrients if key in rows]
    if index % 4 == 1:
        for limit in wanted[::2]:
            if limit["minimum"]:
                limit["lacked"] = round(limit["minimum"] * random.randrange(1, 15) / 10, 4)
    problem: Json = {
        "energy_kcal": 100 * random.randrange(8, 60),
        "foods": {key: random.randrange(0, 100) / 100 for key in dict.fromkeys(chosen)},
        "lots": [_lot(random, key, number) for number, key in enumerate(chosen)],
        "wanted": wanted,
    }
    if index % 2:
        ratio = {"key": "calcium_to_phosphorus", "top": ["calcium"], "bottom": ["phosphorus"]}
        problem["ratios"] = [ratio | {"minimum": 1.0, "maximum": 2.0}]
    return problem | _settled(random, chosen, index)


def _lot(random: Random, food: str, number: int) -> Json:
    pack_g = random.choice((None, 150, 200, 250, 400, 500, 1000))
    mass_g = random.randrange(1, 9) * (pack_g or 300)
    if number % 5 == 4:
        mass_g += random.randrange(1, 100)
    return {
        "key": f"lot-{number}",
        "food": food,
        "mass_g": mass_g,
        "pack_g": pack_g,
        "age_days": None if random.randrange(6) == 0 else random.randrange(120),
        "price_per_kg": None if random.randrange(6) == 0 else random.randrange(20, 300) / 10,
    }


def _settled(random: Random, chosen: list[str], index: int) -> Json:
    """Return what people chose, and what a dog may not have."""
    settled: Json = {}
    if index % 5 == 2:
        mass_g = random.randrange(1, 40) * 10
        settled["choices"] = [{"food": chosen[0], "least_g": mass_g, "most_g": mass_g}]
    if index % 5 == 3:
        settled["choices"] = [{"food": chosen[-1], "most_g": random.randrange(0, 30) * 10}]
    if index % 11 == 4:
        settled["forbidden"] = [chosen[0]]
    if index % 3 == 1:
        settled["bone_cap"] = random.randrange(5, 30) / 100
        settled["liver_cap"] = 0.05
    if index % 4 == 3:
        settled["organ_cap"] = 0.15
    elif index % 4:
        settled["organ_practice"] = COMMON_ORGAN_SHARE
    return settled


def whole(problem: Json, table: dict[str, Json]) -> Json:
    """Return a problem with its foods written out."""
    given = {key: value for key, value in problem.items() if key != "foods"}
    ingredients = [table[key] | {"fed_share": share} for key, share in problem["foods"].items()]
    return given | {"ingredients": ingredients}


def solved(problem: Json, table: dict[str, Json]) -> Json | None:
    """Return the least of each aim, None where HiGHS gives no proof: such a case proves nothing."""
    found = propose(problem_from_json(whole(problem, table)), seconds_per_aim=60)
    return dict(found.aims) if found.is_proved else None


def as_text() -> str:
    """Return the whole file, one case a line."""
    table = foods()
    cases = ",\n".join(
        json.dumps({"given": problem, "least": least})
        for problem in problems()
        if (least := solved(problem, table)) is not None
    )
    kept = json.dumps(table, ensure_ascii=False)
    return f'{{\n"tolerance": {TOLERANCE},\n"foods": {kept},\n"cases": [\n{cases}\n]\n}}\n'


def is_fresh() -> bool:
    """Return whether the file's problems are among those drawn now; solving them takes long."""
    if not PATH.exists():
        return False
    kept = json.loads(PATH.read_text(encoding="utf-8"))
    drawn = json.loads(json.dumps(list(problems())))
    given = [case["given"] for case in kept["cases"]]
    return bool(kept["foods"] == foods() and all(problem in drawn for problem in given))


def main(arguments: list[str]) -> int:
    """Write the file, or with --check say whether its problems are those drawn now."""
    if arguments == ["--check"]:
        if is_fresh():
            return 0
        sys.stderr.write(f"{PATH.name} is stale: run python -m nutrition.vector_proposal.\n")
        return 1
    if arguments:
        sys.stderr.write("Use: python -m nutrition.vector_proposal [--check]\n")
        return 2
    PATH.write_text(as_text(), encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
