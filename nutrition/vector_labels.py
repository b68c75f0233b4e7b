"""Worked cases of own foods and of finding foods, for both languages.

python -m nutrition.vector_labels writes the file; --check says whether it is fresh.
"""

import json
import sys
from collections.abc import Callable, Iterator, Mapping
from dataclasses import asdict
from pathlib import Path
from typing import Any

from nutrition.cut_parts import load_cut_parts
from nutrition.errors import NutritionError
from nutrition.export import as_json, food_json
from nutrition.label_energy import label_energies
from nutrition.label_lines import LabelLine, Serving, line_per_100g
from nutrition.labels import analysis_of, as_fed
from nutrition.loading import load
from nutrition.own_foods import composed, own_food_from
from nutrition.vectors import TOLERANCE, agree

# The shape is JSON's own, so its values are of any JSON type.
Json = dict[str, Any]
PATH = Path(__file__).parents[1] / "fixtures" / "vectors" / "labels.json"
COPIED = ("usda-23562", "cut-chicken-back", "usda-05332")
DRY: Json = {"protein_pct": 24.0, "fat_pct": 12.0, "fibre_pct": 3.0, "moisture_pct": 10.0}
TABLET: Json = {"unit": "tablet", "mass_g": 0.5, "count": 1.0}


def _line(nutrient: str, amount: float, unit: str, per: str = "kg", **rest: str) -> Json:
    return {"nutrient": nutrient, "amount": amount, "unit": unit, "per": per, **rest}


LINES: Mapping[str, Json] = {
    "percent of calcium": {"line": _line("calcium", 1.2, "pct")},
    "mg per kg of zinc": {"line": _line("zinc", 120.0, "mg")},
    "µg per 100 g of selenium": {"line": _line("selenium", 30.0, "µg", "100g")},
    "IU per kg of vitamin A as acetate": {
        "line": _line("vitamin_a", 15000.0, "IU", form="retinyl_acetate")
    },
    "beta-carotene has a range": {"line": _line("vitamin_a", 1000.0, "IU", form="beta_carotene")},
    "a mass of palmitate": {"line": _line("vitamin_a", 5.0, "mg", form="retinyl_palmitate")},
    "synthetic vitamin E": {"line": _line("vitamin_e", 400.0, "IU", form="dl_alpha_acetate")},
    "natural vitamin E by mass": {"line": _line("vitamin_e", 268.0, "mg", form="d_alpha_acetate")},
    "zinc gluconate in a tablet": {
        "line": _line("zinc", 50.0, "mg", "serving", form="zinc_gluconate"),
        "serving": TABLET,
    },
    "elemental zinc in two tablets": {
        "line": _line("zinc", 15.0, "mg", "serving"),
        "serving": {"unit": "tablet", "mass_g": 0.5, "count": 2.0},
    },
    "dry matter": {
        "line": _line("phosphorus", 0.9, "pct", basis="dry_matter"),
        "dry_matter_share": 0.9,
    },
    "IU without form is refused": {"line": _line("vitamin_e", 30.0, "IU")},
    "IU of zinc is refused": {"line": _line("zinc", 30.0, "IU", form="zinc_oxide")},
    "a form of another nutrient is refused": {
        "line": _line("copper", 1.0, "mg", form="zinc_oxide")
    },
    "a serving without mass is refused": {"line": _line("zinc", 15.0, "mg", "serving")},
    "more than the food weighs is refused": {
        "line": _line("zinc", 600.0, "mg", "serving"),
        "serving": TABLET,
    },
    "dry matter without moisture is refused": {
        "line": _line("phosphorus", 0.9, "pct", basis="dry_matter")
    },
    "an unknown nutrient is refused": {"line": _line("sparkle", 1.0, "mg")},
    "an unknown unit is refused": {"line": _line("zinc", 1.0, "stone")},
    "a negative amount is refused": {"line": _line("zinc", -1.0, "mg")},
}

ENERGIES: Mapping[str, Json] = {
    "the worked example of SACN5": {
        "style": "dry",
        "label": {**DRY, "protein_pct": 22.0, "fat_pct": 9.0, "ash_pct": 5.0},
    },
    "ash assumed": {"style": "dry", "label": DRY},
    "much fibre takes modified Atwater": {"style": "dry", "label": {**DRY, "fibre_pct": 11.0}},
    "a tin takes the four steps": {
        "style": "wet",
        "label": {"protein_pct": 9.0, "fat_pct": 5.5, "fibre_pct": 0.5, "moisture_pct": 79.0},
    },
    "fresh food takes Atwater": {
        "style": "cooked",
        "label": {"protein_pct": 15.0, "fat_pct": 7.0, "moisture_pct": 70.0},
    },
    "the label speaks first": {"style": "dry", "label": DRY, "printed_kcal": 371.0},
    "contents of the dry matter": {"style": "dry", "label": {**DRY, "basis": "dry_matter"}},
    "a tin without moisture is refused": {
        "style": "wet",
        "label": {"protein_pct": 9.0, "fat_pct": 5.0},
    },
    "an impossible energy is refused": {"style": "dry", "label": DRY, "printed_kcal": 3710.0},
    "too much of everything is refused": {"style": "dry", "label": {**DRY, "protein_pct": 80.0}},
}

MINERALS = [
    _line("calcium", 1.2, "pct", bound="min"),
    _line("calcium", 1.8, "pct", bound="max"),
    _line("phosphorus", 0.9, "pct", bound="min"),
    _line("vitamin_d", 1200.0, "IU", form="cholecalciferol"),
    _line("epa", 0.1, "pct", bound="min"),
    _line("dha", 0.2, "pct"),
]
OWN: Mapping[str, Json] = {
    "a guaranteed analysis": {
        "name": "Kibble",
        "style": "dry",
        "label": {**DRY, "ash_pct": 7.0, "means": "guaranteed"},
        "lines": MINERALS,
    },
    "a typical analysis with lines": {
        "name": "Kibble",
        "style": "dry",
        "label": {**DRY, "ash_pct": 7.0, "means": "typical"},
        "lines": [_line("vitamin_a", 15000.0, "IU", form="beta_carotene")],
        "energy_kcal_per_100g": 372.0,
    },
    "a tin": {
        "name": "Tin",
        "style": "wet",
        "label": {"protein_pct": 9.0, "fat_pct": 5.5, "fibre_pct": 0.5, "moisture_pct": 79.0},
        "lines": [_line("zinc", 25.0, "mg", basis="dry_matter")],
    },
    "zinc tablets": {
        "name": "Zinc",
        "lines": [_line("zinc", 15.0, "mg", "serving", form="zinc_gluconate")],
        "serving": TABLET,
    },
    "fish oil by the ml": {
        "name": "Fish oil",
        "lines": [
            _line("fat", 0.92, "g", "serving"),
            _line("epa", 180.0, "mg", "serving"),
            _line("dha", 120.0, "mg", "serving"),
            _line("vitamin_e", 1.0, "IU", "serving", form="dl_alpha_tocopherol"),
        ],
        "serving": {"unit": "ml", "mass_g": 0.92},
    },
    "a powder that lists one of a pair": {
        "name": "Powder",
        "lines": [_line("methionine", 200.0, "mg", "serving")],
        "serving": {"unit": "scoop", "mass_g": 5.0, "count": 2.0},
        "energy_kcal_per_100g": 310.0,
    },
    "a copy as it is": {"name": "Ours", "copied_from": "usda-23562"},
    "a copy with own fat and water": {
        "name": "Ours",
        "copied_from": "usda-23562",
        "nutrients_per_100g": {"fat": 15.0, "water": 64.0, "zinc": 5.1, "epa": 0.01},
    },
    "a copy with own energy": {
        "name": "Ours",
        "copied_from": "usda-05332",
        "energy_kcal_per_100g": 150.0,
    },
    "a cut with own share of bone": {
        "name": "Backs, trimmed",
        "copied_from": "cut-chicken-back",
        "bone_share_pct": 30.0,
    },
    "a cut with own share of bone and own calcium": {
        "name": "Backs, trimmed",
        "copied_from": "cut-chicken-back",
        "bone_share_pct": 30.0,
        "nutrients_per_100g": {"calcium": 900.0},
    },
    "energy alone": {"name": "Biscuit", "style": "treat", "energy_kcal_per_100g": 350.0},
    "nothing yet": {"name": "Biscuit", "style": "treat"},
    "a copy of what no table has": {"name": "Ours", "copied_from": "usda-00000"},
    "a supplement that weighs more than its tablet is refused": {
        "name": "Zinc",
        "lines": [
            _line("zinc", 300.0, "mg", "serving"),
            _line("calcium", 300.0, "mg", "serving"),
        ],
        "serving": TABLET,
    },
    "a minimum above the maximum is refused": {
        "name": "Kibble",
        "style": "dry",
        "label": DRY,
        "lines": [
            _line("calcium", 2.0, "pct", bound="min"),
            _line("calcium", 1.0, "pct", bound="max"),
        ],
    },
    "a copy of too much is refused": {
        "name": "Ours",
        "copied_from": "usda-23562",
        "nutrients_per_100g": {"fat": 60.0},
    },
    "a share of bone without bone is refused": {
        "name": "Ours",
        "copied_from": "usda-05332",
        "bone_share_pct": 30.0,
    },
    "a share of bone over 100 is refused": {
        "name": "Ours",
        "copied_from": "cut-chicken-back",
        "bone_share_pct": 130.0,
    },
}


def _label_line(given: Json) -> Json:
    serving = Serving(**given["serving"]) if "serving" in given else None
    least, most = line_per_100g(
        LabelLine(**given["line"]),
        serving=serving,
        dry_matter_share=given.get("dry_matter_share"),
    )
    return {"least": least, "most": most}


def _energies(given: Json) -> Json:
    food = {**given, "energy_kcal_per_100g": given.get("printed_kcal")}
    own = own_food_from(food, key="own")
    assert own.label is not None
    whole = analysis_of(as_fed(own.label, style=given["style"]), style=given["style"])
    made = label_energies(whole, printed_kcal=given.get("printed_kcal"), style=given["style"])
    return asdict(made) | {"assumed": list(made.assumed)}


def _own_food(given: Json) -> Json | None:
    food = composed(own_food_from(given, key="own"), foods=load().foods, cut_parts=load_cut_parts())
    if food is None:
        return None
    # How many figures a food has is counted for the tables only.
    return {key: value for key, value in food_json(food).items() if key != "completeness"}


FUNCTIONS: Mapping[str, Callable[[Json], object]] = {
    "label_line": _label_line,
    "label_energies": _energies,
    "own_food": _own_food,
}


def cases() -> Iterator[tuple[str, str, Json]]:
    """Return every case: its name, its function and what it is given."""
    for function, given in (("label_line", LINES), ("label_energies", ENERGIES), ("own_food", OWN)):
        for name, each in given.items():
            yield name, function, each


def _worked(name: str, function: str, given: Json) -> Json:
    case: Json = {"name": name, "function": function, "given": given}
    try:
        return case | {"expected": FUNCTIONS[function](given)}
    except NutritionError as error:
        return case | {"refused": list(error.fields)}


def _needed_tables() -> Json:
    tables = as_json()
    cuts = [cut for cut in tables["cuts"] if cut["key"] in COPIED]
    used = {*COPIED, *(cut["boneless"] for cut in cuts)}
    kept = ("nutrients", "group_upper", "energy", "forms", "bones")
    return {key: tables[key] for key in kept} | {
        "cuts": cuts,
        "foods": [food for food in tables["foods"] if food["key"] in used],
    }


def as_text() -> str:
    """Return the whole file, one case a line."""
    lines = ",\n".join("  " + json.dumps(_worked(*case), ensure_ascii=False) for case in cases())
    tables = json.dumps(_needed_tables(), ensure_ascii=False, sort_keys=True)
    return f'{{\n"tolerance": {TOLERANCE},\n"tables": {tables},\n"cases": [\n{lines}\n]\n}}\n'


def is_fresh() -> bool:
    """Return whether the file says what the code says now, up to rounding."""
    return PATH.exists() and agree(
        json.loads(PATH.read_text(encoding="utf-8")), json.loads(as_text())
    )


def main(arguments: list[str]) -> int:
    """Write the file, or with --check say whether it is fresh."""
    if arguments == ["--check"]:
        if is_fresh():
            return 0
        sys.stderr.write(f"{PATH.name} is stale: run python -m nutrition.vector_labels.\n")
        return 1
    if arguments:
        sys.stderr.write("Use: python -m nutrition.vector_labels [--check]\n")
        return 2
    PATH.write_text(as_text(), encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
