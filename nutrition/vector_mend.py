"""Additions found by HiGHS, for the phone's solver: python -m nutrition.vector_mend [--check].

Each case is a batch, what may be added to it, and how far the aims came: which of several equally
good additions is taken is nobody's business.
"""

import json
import sys
from collections.abc import Iterator
from pathlib import Path
from random import Random

from nutrition.proposal_mend import Offer, mend
from nutrition.proposal_problem import COMMON_ORGAN_SHARE, problem_from_json
from nutrition.vector_proposal import DIGESTED, GROUPS, TOLERANCE, Json, foods, limits, whole

PATH = Path(__file__).parents[1] / "fixtures" / "vectors" / "mend.json"
COUNT = 120
SEED = 1747
ADDED = ("shellfish", "seaweed", "seed", "oil", "fish_oil", "mineral", "supplement")


def problems() -> Iterator[Json]:
    """Yield the cases, small ones and some with all foods on offer."""
    random = Random(SEED)
    table = foods((*GROUPS, *ADDED))
    for index in range(COUNT):
        yield _case(random, table, index)


def _case(random: Random, table: dict[str, Json], index: int) -> Json:
    keys = list(table)
    batch = {key: random.randrange(1, 40) * 25 for key in random.sample(keys[:40], 1 + index % 5)}
    count = len(keys) if index % 30 == 29 else 1 + index % 12
    offered = random.sample(keys, count)
    rows = limits(500 + 10 * random.randrange(40))
    asked = (list(rows), list(DIGESTED), random.sample(list(rows), 3))[index % 3]
    energy_kcal = sum(table[key]["energy_kcal_per_100g"] * batch[key] / 100 for key in batch)
    case: Json = {
        "energy_kcal": round(energy_kcal * random.choice((0.8, 1.0, 1.0)) + 1),
        "foods": dict.fromkeys([*batch, *offered], 0.0),
        "lots": [],
        "wanted": [rows[key] for key in asked if key in rows],
        "batch": batch,
        "offers": [
            {"food": key, "stored_g": random.choice((None, None, 20, 150, 600))} for key in offered
        ],
    }
    if index % 3 == 1:
        ratio = {"key": "calcium_to_phosphorus", "top": ["calcium"], "bottom": ["phosphorus"]}
        case["ratios"] = [ratio | {"minimum": 1.0, "maximum": 2.0}]
    if index % 4 == 2:
        case["bone_cap"], case["liver_cap"] = 0.1, 0.05
    if index % 4 == 3:
        case["organ_practice"] = COMMON_ORGAN_SHARE
    if index % 7 == 3:
        case["forbidden"] = [offered[0]]
    if index % 7 == 5:
        case["choices"] = [{"food": offered[-1], "most_g": 0}]
    return case


def solved(case: Json, table: dict[str, Json]) -> Json:
    """Return how far the two aims came."""
    given = {key: value for key, value in case.items() if key not in ("batch", "offers")}
    offers = [Offer(**each) for each in case["offers"]]
    found = mend(problem_from_json(whole(given, table)), case["batch"], offers)
    return {"short": found.short, "counted_g": found.counted_g}


def as_text() -> str:
    """Return the whole file, one case a line."""
    table = foods((*GROUPS, *ADDED))
    cases = ",\n".join(
        json.dumps({"given": case, "least": solved(case, table)}) for case in problems()
    )
    kept = json.dumps(table, ensure_ascii=False)
    return f'{{\n"tolerance": {TOLERANCE},\n"foods": {kept},\n"cases": [\n{cases}\n]\n}}\n'


def is_fresh() -> bool:
    """Return whether the file's cases and foods are those drawn now."""
    if not PATH.exists():
        return False
    kept = json.loads(PATH.read_text(encoding="utf-8"))
    drawn = json.loads(json.dumps(list(problems())))
    given = [case["given"] for case in kept["cases"]]
    return bool(kept["foods"] == foods((*GROUPS, *ADDED)) and given == drawn)


def main(arguments: list[str]) -> int:
    """Write the file, or with --check say whether its cases are those drawn now."""
    if arguments == ["--check"]:
        if is_fresh():
            return 0
        sys.stderr.write(f"{PATH.name} is stale: run python -m nutrition.vector_mend.\n")
        return 1
    if arguments:
        sys.stderr.write("Use: python -m nutrition.vector_mend [--check]\n")
        return 2
    PATH.write_text(as_text(), encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
