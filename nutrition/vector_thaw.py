"""Worked thawing times for both languages: python -m nutrition.vector_thaw [--check]."""

import json
import sys
from collections.abc import Iterator
from dataclasses import asdict
from pathlib import Path
from typing import Any

from nutrition.errors import NutritionError
from nutrition.export_thaw import thaw_json
from nutrition.shapes import FORMS
from nutrition.thaw import (
    USUAL_FREEZER_C,
    WAYS,
    Pack,
    cold_water_hours,
    in_fridge,
    refreezing,
    refusal,
)
from nutrition.thermal import parts_of
from nutrition.vectors import TOLERANCE, agree

# The shape is JSON's own, so its values are of any JSON type.
Json = dict[str, Any]
PATH = Path(__file__).parents[1] / "fixtures" / "vectors" / "thaw.json"
LEAN: Json = {"water": 73, "protein": 21, "fat": 4, "carbohydrate": 0, "ash": 1}
FATTY: Json = {"water": 55, "fat": 27, "protein": None}
TRIPE: Json = {"water": 84, "fat": 4, "protein": 12, "ash": 0.6}


def _fridge(given: Json) -> Json:
    per_100g = given.get("per_100g")
    pack = Pack(
        given["mass_g"],
        given["form"],
        given.get("thickness_mm"),
        parts_of(per_100g) if per_100g else None,
    )
    freezer_c = given.get("freezer_c", USUAL_FREEZER_C)
    time = in_fridge(pack, fridge_c=given["fridge_c"], freezer_c=freezer_c)
    return asdict(time) | {"plan_hours": time.plan_hours, "governed_by": time.governed_by}


def _refreezing(given: Json) -> bool:
    return refreezing(**given) is None


FUNCTIONS = {
    "in_fridge": _fridge,
    "cold_water": lambda given: list(cold_water_hours(given["mass_g"])),
    "refusal": lambda given: refusal(given["way"]),
    "may_be_refrozen": _refreezing,
}


def _fridge_cases() -> Iterator[Json]:
    for form in FORMS:
        for mass_g in (200, 1000, 2290):
            for thickness_mm in (None, 25, 60):
                yield {
                    "mass_g": mass_g,
                    "form": form,
                    "thickness_mm": thickness_mm,
                    "fridge_c": 4,
                }
    for per_100g in (LEAN, FATTY, TRIPE, {"water": None, "fat": 3}):
        for fridge_c in (1.5, 3, 7):
            yield {
                "mass_g": 750,
                "form": "flat_bag",
                "thickness_mm": 35,
                "fridge_c": fridge_c,
                "freezer_c": -24,
                "per_100g": per_100g,
            }
    # The first side equals the others: a cube.
    yield {"mass_g": 1000, "form": "block", "thickness_mm": 99.99, "fridge_c": 4}
    yield {"mass_g": 0, "form": "block", "fridge_c": 4}
    yield {"mass_g": 500, "form": "heap", "fridge_c": 4}
    yield {"mass_g": 500, "form": "tray", "thickness_mm": -1, "fridge_c": 4}
    yield {"mass_g": 500, "form": "tray", "fridge_c": 22}
    yield {"mass_g": 500, "form": "tray", "fridge_c": 4, "freezer_c": -2}
    yield {"mass_g": 500, "form": "tray", "fridge_c": 4, "per_100g": {"water": -1, "fat": 2}}


def _given() -> Iterator[tuple[str, Json]]:
    for case in _fridge_cases():
        yield "in_fridge", case
    for mass_g in (453.6, 1800):
        yield "cold_water", {"mass_g": mass_g}
    for way in (*WAYS, "microwave"):
        yield "refusal", {"way": way}
        for good in (True, False):
            for cooked in (True, False):
                given = {"way": way, "is_still_good": good, "is_cooked_since": cooked}
                yield "may_be_refrozen", given


def cases() -> Iterator[Json]:
    """Yield every case with what is expected, or the fields that are refused."""
    for function, given in _given():
        case: Json = {"function": function, "given": given}
        try:
            case["expected"] = FUNCTIONS[function](given)
        except NutritionError as error:
            case["refused"] = list(error.fields)
        yield case


def as_text() -> str:
    """Return the whole file, one case a line."""
    lines = ",\n".join(json.dumps(case, ensure_ascii=False) for case in cases())
    tables = json.dumps(thaw_json(), ensure_ascii=False, sort_keys=True)
    return f'{{\n"tolerance": {TOLERANCE},\n"tables": {tables},\n"cases": [\n{lines}\n]\n}}\n'


def is_fresh() -> bool:
    """Return whether the file says what the code says now, but for rounding of other machines."""
    if not PATH.exists():
        return False
    return agree(json.loads(PATH.read_text(encoding="utf-8")), json.loads(as_text()))


def main(arguments: list[str]) -> int:
    """Write the file, or with --check say whether it is fresh."""
    if arguments == ["--check"]:
        if is_fresh():
            return 0
        sys.stderr.write(f"{PATH.name} is stale: run python -m nutrition.vector_thaw.\n")
        return 1
    if arguments:
        sys.stderr.write("Use: python -m nutrition.vector_thaw [--check]\n")
        return 2
    PATH.write_text(as_text(), encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
