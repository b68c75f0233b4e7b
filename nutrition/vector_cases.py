"""The cases both languages run, as plain data; what they come to is worked out in vectors.py."""

from collections.abc import Iterator
from typing import Any

from nutrition.standard_tables import EDITIONS, STAGES

# A case is JSON: its inputs are of any JSON type.
Json = dict[str, Any]
Portions = list[tuple[str, float]]
Case = tuple[str, str, Json]

BATCHES: dict[str, Portions] = {
    "nothing at all": [],
    "one food": [("usda-23562", 1000.0)],
    "a food without mass is not there": [("usda-23562", 1000.0), ("trencher-eggshell", 0.0)],
    "a tiny amount": [("usda-04589", 0.001)],
    "ground beef with organs": [
        ("usda-23572", 3000.0),
        ("usda-13325", 200.0),
        ("usda-13323", 100.0),
        ("usda-13333", 100.0),
    ],
    "chicken necks alone": [("cut-chicken-neck", 500.0)],
    "turkey neck has a range of bone": [("cut-turkey-neck", 750.0)],
    "lamb neck and vegetables": [("cut-lamb-neck", 600.0), ("usda-11124", 200.0)],
    "rabbit with its bone": [("cut-rabbit-whole", 1200.0)],
    "a ground batch with everything": [
        ("usda-23562", 2500.0),
        ("cut-chicken-neck", 900.0),
        ("usda-13325", 150.0),
        ("usda-13323", 150.0),
        ("usda-15039", 200.0),
        ("usda-11457", 250.0),
        ("usda-01123", 150.0),
        ("ciqual-20998", 1.5),
    ],
    "fish with printed limits": [("ciqual-26065", 400.0), ("usda-15164", 100.0)],
    "cooked rice and turkey": [("usda-20445", 800.0), ("usda-05306", 600.0)],
    "salt and shell have no energy": [("usda-02047", 5.0), ("trencher-eggshell", 10.0)],
    "shell beside meat": [("usda-05332", 1000.0), ("trencher-eggshell", 6.0)],
    "plain tripe against green": [("usda-13341", 300.0), ("usda-23445", 300.0)],
    "too much liver": [("usda-23425", 500.0), ("usda-23562", 200.0)],
    "oil": [("usda-04593", 15.0), ("usda-42231", 15.0)],
    "sunflower oil": [("usda-04506", 20.0)],
}

LABELS: dict[str, tuple[str, Json]] = {
    "dry food with a full label": (
        "dry",
        {"protein_pct": 27, "fat_pct": 14, "fibre_pct": 2, "moisture_pct": 10, "ash_pct": 6},
    ),
    "dry food without ash": ("dry", {"protein_pct": 22, "fat_pct": 9, "fibre_pct": 3}),
    "dry food with its own energy": (
        "dry",
        {"protein_pct": 25, "fat_pct": 15, "energy_kcal_per_100g": 371.5},
    ),
    "treat": ("treat", {"protein_pct": 40, "fat_pct": 10, "moisture_pct": 18}),
    "cooked tray with minerals": (
        "cooked",
        {
            "protein_pct": 10.5,
            "fat_pct": 6.5,
            "fibre_pct": 0.4,
            "moisture_pct": 75,
            "ash_pct": 2.2,
            "nutrients_per_100g": {"calcium": 300, "phosphorus": 230, "epa": 0.1, "dha": 0.05},
        },
    ),
    "raw mince, half a pair known": (
        "raw",
        {
            "protein_pct": 16,
            "fat_pct": 12,
            "moisture_pct": 68,
            "nutrients_per_100g": {"methionine": 0.4},
        },
    ),
    "moist food without moisture is refused": ("raw", {"protein_pct": 16, "fat_pct": 12}),
    "more than a hundred percent is refused": (
        "dry",
        {"protein_pct": 60, "fat_pct": 30, "moisture_pct": 20},
    ),
    "a negative content is refused": ("dry", {"protein_pct": -1, "fat_pct": 10}),
    "an unknown nutrient is refused": (
        "dry",
        {"protein_pct": 20, "fat_pct": 10, "nutrients_per_100g": {"sparkle": 1}},
    ),
    "too much energy is refused": (
        "dry",
        {"protein_pct": 20, "fat_pct": 10, "energy_kcal_per_100g": 1600},
    ),
}

DOGS: dict[str, Json] = {
    "weight alone": {"mass_kg": 20.0},
    "standard schnauzer, 12 years, neutered": {
        "mass_kg": 17.2,
        "age_days": 12 * 365.25,
        "neutered": True,
        "activity": "low",
    },
    "Spanish water dog, 5 years": {
        "mass_kg": 19.0,
        "age_days": 5 * 365.25,
        "neutered": False,
        "activity": "high",
    },
    "whippet, 8 months": {
        "mass_kg": 11.4,
        "age_days": 243.0,
        "adult_mass_kg": 13.5,
        "activity": "moderate",
    },
    "puppy of nine weeks": {"mass_kg": 5.5, "age_days": 63.0, "adult_mass_kg": 35.0},
    "puppy on the day it turns 14 weeks": {
        "mass_kg": 8.0,
        "age_days": 98.0,
        "adult_mass_kg": 35.0,
    },
    "puppy without an adult weight": {"mass_kg": 6.0, "age_days": 100.0},
    "older puppy without an adult weight": {"mass_kg": 12.0, "age_days": 200.0},
    "puppy already over its adult weight": {
        "mass_kg": 14.0,
        "age_days": 250.0,
        "adult_mass_kg": 13.0,
    },
    "giant dog still growing at 16 months": {
        "mass_kg": 52.0,
        "age_days": 487.0,
        "adult_mass_kg": 60.0,
    },
    "small dog grown at 11 months": {"mass_kg": 6.0, "age_days": 335.0, "adult_mass_kg": 6.5},
    "young working dog": {"mass_kg": 25.0, "age_days": 700.0, "activity": "working"},
    "exactly seven years": {"mass_kg": 25.0, "age_days": 7 * 365.25},
    "just over seven years": {"mass_kg": 25.0, "age_days": 7 * 365.25 + 1},
    "a vet's figure": {"mass_kg": 17.2, "age_days": 4383.0, "vet_kcal_per_day": 640.0},
    "a vet's figure for a puppy": {
        "mass_kg": 8.0,
        "age_days": 120.0,
        "adult_mass_kg": 30.0,
        "vet_kcal_per_day": 900.0,
    },
    "no weight is refused": {"mass_kg": 0.0},
    "an unknown activity is refused": {"mass_kg": 10.0, "activity": "bouncy"},
    "a negative age is refused": {"mass_kg": 10.0, "age_days": -1.0},
}

ANALYSES: dict[str, Json] = {
    "handbook dry food": {
        "protein_g": 22.0,
        "fat_g": 9.0,
        "carbohydrate_g": 51.0,
        "fibre_g": 3.0,
        "water_g": 10.0,
    },
    "rich dry food": {
        "protein_g": 27.0,
        "fat_g": 14.0,
        "carbohydrate_g": 41.0,
        "fibre_g": 2.0,
        "water_g": 10.0,
    },
    "turkey neck meat": {
        "protein_g": 16.51,
        "fat_g": 6.04,
        "carbohydrate_g": 0.0,
        "fibre_g": 0.0,
        "water_g": 75.92,
    },
    "straw": {
        "protein_g": 3.0,
        "fat_g": 1.0,
        "carbohydrate_g": 20.0,
        "fibre_g": 66.0,
        "water_g": 8.0,
    },
    "only water is refused": {
        "protein_g": 0.0,
        "fat_g": 0.0,
        "carbohydrate_g": 0.0,
        "fibre_g": 0.0,
        "water_g": 100.0,
    },
}

SHARINGS: dict[str, Json] = {
    "one dog, exact": {
        "eaters": [["a", 1000.0, 2, 1.0]],
        "energy_kcal": 10000.0,
        "yield_g": 5000.0,
        "step_g": 1.0,
    },
    "three dogs": {
        "eaters": [["a", 612.5, 2, 1.0], ["b", 1144.9, 2, 1.0], ["c", 905.2, 3, 1.0]],
        "energy_kcal": 9421.7,
        "yield_g": 5310.0,
        "step_g": 5.0,
    },
    "part of the day from this batch": {
        "eaters": [["a", 900.0, 2, 0.6], ["b", 640.0, 1, 0.25]],
        "energy_kcal": 4800.0,
        "yield_g": 3000.0,
        "step_g": 1.0,
    },
    "a batch smaller than one meal": {
        "eaters": [["a", 2000.0, 1, 1.0]],
        "energy_kcal": 500.0,
        "yield_g": 300.0,
        "step_g": 1.0,
    },
    "halves go up": {
        "eaters": [["a", 250.5, 1, 1.0]],
        "energy_kcal": 1000.0,
        "yield_g": 1000.0,
        "step_g": 1.0,
    },
    "never rounded away": {
        "eaters": [["a", 1.0, 2, 1.0]],
        "energy_kcal": 3000.0,
        "yield_g": 1000.0,
        "step_g": 10.0,
    },
    "a step of a tenth": {
        "eaters": [["a", 333.3, 3, 1.0]],
        "energy_kcal": 2000.0,
        "yield_g": 1100.0,
        "step_g": 0.1,
    },
    "no dog is refused": {"eaters": [], "energy_kcal": 100.0, "yield_g": 100.0, "step_g": 1.0},
    "no energy is refused": {
        "eaters": [["a", 500.0, 2, 1.0]],
        "energy_kcal": 0.0,
        "yield_g": 100.0,
        "step_g": 1.0,
    },
    "no meals is refused": {
        "eaters": [["a", 500.0, 0, 1.0]],
        "energy_kcal": 100.0,
        "yield_g": 100.0,
        "step_g": 1.0,
    },
}


# Batches of which a window is made, and the parts of batches that were eaten.
WINDOWS: dict[str, list[tuple[str, float]]] = {
    "no meals": [],
    "two meals make up for one another": [
        ("chicken necks alone", 1.0),
        ("ground beef with organs", 0.2),
    ],
    "a week of mixed meals": [
        ("a ground batch with everything", 0.7),
        ("cooked rice and turkey", 1.0),
        ("fish with printed limits", 1.0),
        ("oil", 0.5),
    ],
    "one meal is unbounded": [
        ("salt and shell have no energy", 1.0),
        ("ground beef with organs", 0.1),
    ],
    "nothing was eaten of one": [("too much liver", 0.0), ("one food", 0.3)],
}


def cases() -> Iterator[Case]:
    """Return every case as name, function and input."""
    yield from _of_batches()
    yield from _of_windows()
    yield from _of_judgements()
    for name, (style, label) in LABELS.items():
        yield name, "food_from_label", {"style": style, "label": label}
        yield f"eaten: {name}", "totals", {"portions": [[{"style": style, "label": label}, 250.0]]}
    for name, dog in DOGS.items():
        yield name, "requirement", dog
    for name, analysis in ANALYSES.items():
        yield name, "food_energy", analysis
    for name, sharing in SHARINGS.items():
        yield name, "share_out", sharing


def _of_batches() -> Iterator[Case]:
    for name, portions in BATCHES.items():
        yield name, "totals", {"portions": portions}
        yield name, "calcium_to_phosphorus", {"portions": portions}
    yield "a negative mass is refused", "totals", {"portions": [["usda-23562", -1.0]]}


def _of_windows() -> Iterator[Case]:
    for name, parts in WINDOWS.items():
        meals = [{"portions": BATCHES[batch], "share": share} for batch, share in parts]
        yield name, "combined", {"meals": meals}
        window = {"meals": meals, "edition": "nrc-2006", "stage": "adult"}
        yield name, "judge_window", window
    yield "a negative share is refused", "combined", {"meals": [{"portions": [], "share": -0.5}]}


def _of_judgements() -> Iterator[Case]:
    for name in ("a ground batch with everything", "lamb neck and vegetables"):
        for edition in EDITIONS:
            for stage in STAGES:
                yield f"{name}: {edition} {stage}", "judge", target(name, edition, stage)
    for name in BATCHES:
        yield name, "judge", target(name, "nrc-2006", "adult")
        for stage in STAGES:
            yield f"{name}: {stage}", "judge_ratios", target(name, "nrc-2006", stage)
    own = {"style": LABELS["dry food without ash"][0], "label": LABELS["dry food without ash"][1]}
    portions = [[own, 300.0], ["usda-23562", 100.0]]
    given = {"portions": portions, "edition": "nrc-2006", "stage": "adult"}
    yield "an own food leaves most of it unknown", "judge", given
    for name in ("a ground batch with everything", "oil"):
        small = target(name, "nrc-2006", "adult")
        small |= {"metabolic_mass_kg075": 8.4, "days": 7.0}
        yield f"{name}: by size", "judge_per_kg075", small
    refused = target("oil", "nrc-2006", "adult") | {"metabolic_mass_kg075": 8.4, "days": 0.0}
    yield "no days are refused", "judge_per_kg075", refused


def target(name: str, edition: str, stage: str) -> Json:
    """Return the input of a judgement of one of the batches."""
    return {"portions": BATCHES[name], "edition": edition, "stage": stage}
