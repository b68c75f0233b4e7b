"""Worked cases that Python makes and both languages run: python -m nutrition.vectors.

The file holds the part of the tables the cases need, so the phone's arithmetic is proved on the
same numbers it will be given.
"""

import json
import sys
from collections.abc import Callable, Iterator, Mapping
from dataclasses import asdict
from datetime import date
from itertools import chain
from math import isclose
from pathlib import Path

from nutrition import (
    adequacy,
    energy,
    excess,
    hazards,
    ratios,
    vector_cases,
    vector_meals,
    vector_needs,
)
from nutrition.composition import Totals, calcium_to_phosphorus, combined, scaled, totals
from nutrition.contributions import contributions
from nutrition.errors import NutritionError
from nutrition.export import as_json, food_json
from nutrition.food import Food
from nutrition.food_energy import (
    atwater_kcal_per_100g,
    four_step_kcal_per_100g,
    modified_atwater_kcal_per_100g,
)
from nutrition.labels import Label, food_from_label
from nutrition.loading import load
from nutrition.own_targets import own_targets
from nutrition.portions import Eater, share_out
from nutrition.rotation import Fed, rotation
from nutrition.standards import Targets, targets
from nutrition.vector_cases import BATCHES, Case, Json

PATH = Path(__file__).parents[1] / "fixtures" / "vectors" / "nutrition.json"
TOLERANCE = 1e-9
ROUNDING = 1e-12  # [-] relative; far above what rounding does, far below any change of a figure


def _food(given: object) -> Food:
    if isinstance(given, str):
        return load().food(given)
    if isinstance(given, Mapping):
        return food_from_label(
            Label(**given["label"]), key="own", name="Own food", style=given["style"]
        )
    raise TypeError(f"{given!r} is neither a food key nor a label.")


def _portions(given: Json) -> list[tuple[Food, float]]:
    return [(_food(food), mass_g) for food, mass_g in given["portions"]]


def _totals(given: Json) -> Totals:
    return totals(_portions(given))


def _meals(given: Json) -> list[Totals]:
    return [scaled(_totals(meal), share=meal["share"]) for meal in given["meals"]]


def _targets(given: Json) -> Targets:
    return targets(given["edition"], given["stage"])


def _food_energy(given: Json) -> Json:
    three = {key: given[key] for key in ("protein_g", "fat_g", "carbohydrate_g")}
    return {
        "four_step": four_step_kcal_per_100g(**given),
        "atwater": atwater_kcal_per_100g(**three),
        "modified_atwater": modified_atwater_kcal_per_100g(**three),
    }


def _share_out(given: Json) -> Json:
    eaters = [Eater(*eater) for eater in given["eaters"]]
    amounts = {key: given[key] for key in ("energy_kcal", "yield_g", "step_g")}
    return asdict(share_out(eaters, **amounts))


def _own_targets(given: Json) -> Json:
    need = None if given["dog"] is None else energy.requirement(**given["dog"])
    return asdict(own_targets(_targets(given), need, **given["eats"]))


def _dose_for(given: Json) -> Json | None:
    hazard = next(each for each in load().hazards if each.key == given["hazard"])
    dose = hazards.dose_for(hazard, given["mass_kg"])
    return None if dose is None else asdict(dose)


def _rotation(given: Json) -> Json:
    first, last = date.fromisoformat(given["first"]), date.fromisoformat(given["last"])
    fed = [
        Fed(date.fromisoformat(one["day"]), one["style"], _portions(one)) for one in given["fed"]
    ]
    return asdict(rotation(fed, first=first, last=last))


FUNCTIONS: Mapping[str, Callable[[Json], object]] = {
    "totals": lambda given: asdict(_totals(given)),
    "calcium_to_phosphorus": lambda given: asdict(calcium_to_phosphorus(_totals(given))),
    "combined": lambda given: asdict(combined(_meals(given))),
    "food_from_label": lambda given: food_json(_food(given)),
    "food_energy": _food_energy,
    "requirement": lambda given: asdict(energy.requirement(**given)),
    "judge": lambda given: [
        asdict(found) for found in adequacy.judge(_totals(given), _targets(given))
    ],
    "judge_window": lambda given: [
        asdict(found) for found in adequacy.judge_window(_meals(given), _targets(given))
    ],
    "judge_per_kg075": lambda given: [
        asdict(found)
        for found in adequacy.judge_per_kg075(
            _totals(given),
            _targets(given),
            metabolic_mass_kg075=given["metabolic_mass_kg075"],
            days=given["days"],
        )
    ],
    "judge_doubted": lambda given: [
        asdict(adequacy.with_doubt(found, known_share=given["known_share"]))
        for found in adequacy.judge(_totals(given), _targets(given))
    ],
    "not_compared": lambda given: [
        asdict(found) for found in adequacy.not_compared(_totals(given), _targets(given))
    ],
    "judge_ratios": lambda given: [
        asdict(found) for found in ratios.judge_ratios(_totals(given), _targets(given))
    ],
    "excesses": lambda given: [
        asdict(found) for found in excess.excesses(_totals(given), _targets(given))
    ],
    "contributions": lambda given: asdict(contributions(_portions(given), given["nutrient"])),
    "share_out": _share_out,
    **vector_needs.FUNCTIONS,
    "rotation": _rotation,
    "own_targets": _own_targets,
    "dose_for": _dose_for,
}


def _worked(name: str, function: str, given: Json) -> Json:
    case: Json = {"name": name, "function": function, "given": given}
    try:
        return case | {"expected": FUNCTIONS[function](given)}
    except NutritionError as error:
        return case | {"refused": list(error.fields)}


def _needed_tables() -> Json:
    tables = as_json()
    used = {key for portions in BATCHES.values() for key, _ in portions}
    kept = ("nutrients", "group_upper", "standards", "ratios", "energy", "hazards")
    # What only labels need is in the file of their own cases.
    del tables["energy"]["food"]["fibre_limit_pct"]
    return {key: tables[key] for key in kept} | {
        "foods": [food for food in tables["foods"] if food["key"] in used],
        "origins": tables["origins"]
        | {"by_food": {key: tables["origins"]["by_food"][key] for key in sorted(used)}},
    }


def _cases() -> Iterator[Case]:
    return chain(vector_cases.cases(), vector_needs.cases(), vector_meals.cases())


def as_text() -> str:
    """Return the whole file: one case a line, so that a change shows as the lines it touches."""
    lines = ",\n".join("  " + json.dumps(_worked(*case), ensure_ascii=False) for case in _cases())
    tables = json.dumps(_needed_tables(), ensure_ascii=False, sort_keys=True)
    return f'{{\n"tolerance": {TOLERANCE},\n"tables": {tables},\n"cases": [\n{lines}\n]\n}}\n'


def is_fresh() -> bool:
    """Return whether the file says what the code says now.

    Figures may differ by what rounding can do: from Python 3.12 on, sum() of floats rounds less.
    """
    return PATH.exists() and agree(json.loads(PATH.read_text(encoding="utf-8")), _parsed())


def _parsed() -> object:
    parsed: object = json.loads(as_text())
    return parsed


def agree(kept: object, made: object) -> bool:
    """Return whether two JSON values are the same, floats up to what rounding can do."""
    if isinstance(kept, dict) and isinstance(made, dict):
        return kept.keys() == made.keys() and all(agree(kept[key], made[key]) for key in kept)
    if isinstance(kept, list) and isinstance(made, list):
        return len(kept) == len(made) and all(map(agree, kept, made))
    if isinstance(kept, float) and isinstance(made, float):
        return isclose(kept, made, rel_tol=ROUNDING)
    return type(kept) is type(made) and kept == made


def main(arguments: list[str]) -> int:
    """Write the file, or with --check say whether it is fresh."""
    if arguments == ["--check"]:
        if is_fresh():
            return 0
        sys.stderr.write(f"{PATH.name} is stale: run python -m nutrition.vectors.\n")
        return 1
    if arguments:
        sys.stderr.write("Use: python -m nutrition.vectors [--check]\n")
        return 2
    PATH.parent.mkdir(parents=True, exist_ok=True)
    PATH.write_text(as_text(), encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
