"""Cases of what one dog needs, run by both languages; they are part of vectors.py's file."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import asdict

from nutrition.companions import for_diet, with_companions
from nutrition.composition import totals
from nutrition.energy_methods import DogFacts, energy_methods
from nutrition.loading import load
from nutrition.reproduction import reproduction
from nutrition.standard_tables import EDITIONS, STAGES
from nutrition.standards import for_dog, targets
from nutrition.vector_cases import Case, Json
from nutrition.weight_plan import weight_plan

DOGS_AND_TABLES: dict[str, Json] = {
    "an adult that eats little": {
        "edition": "nrc-2006",
        "stage": "adult",
        "energy_kcal": 795.3,
        "metabolic_mass_kg075": 8.37,
    },
    "an adult that eats what the table assumes": {
        "edition": "nrc-2006",
        "stage": "adult",
        "energy_kcal": 1300.0,
        "metabolic_mass_kg075": 10.0,
    },
    "a working dog keeps the table, under the stricter ceiling": {
        "edition": "nrc-2006",
        "stage": "adult",
        "energy_kcal": 2100.0,
        "metabolic_mass_kg075": 11.18,
    },
    "fat stands still where the edition prints it alike": {
        "edition": "fediaf-2021",
        "stage": "adult",
        "energy_kcal": 950.0,
        "metabolic_mass_kg075": 10.0,
    },
    "an edition that corrects nothing": {
        "edition": "aafco-2016",
        "stage": "adult",
        "energy_kcal": 700.0,
        "metabolic_mass_kg075": 10.0,
    },
    "the puppy of the footnote on less": {
        "edition": "nrc-2006",
        "stage": "growth_early",
        "energy_kcal": 836.0,
        "metabolic_mass_kg075": 3.5915,
        "grown_share": 5.5 / 35,
    },
    "a half-grown puppy on very little stops at the ceiling": {
        "edition": "nrc-2006",
        "stage": "growth_late",
        "energy_kcal": 500.0,
        "metabolic_mass_kg075": 5.623,
        "grown_share": 0.5,
    },
    "a puppy without an adult weight": {
        "edition": "nrc-2006",
        "stage": "growth_late",
        "energy_kcal": 900.0,
        "metabolic_mass_kg075": 5.623,
    },
    "a puppy over its adult weight": {
        "edition": "nrc-2006",
        "stage": "growth_late",
        "energy_kcal": 700.0,
        "metabolic_mass_kg075": 7.2,
        "grown_share": 1.2,
    },
    "no energy is refused": {
        "edition": "nrc-2006",
        "stage": "adult",
        "energy_kcal": 0.0,
        "metabolic_mass_kg075": 10.0,
    },
    "no size is refused": {
        "edition": "nrc-2006",
        "stage": "adult",
        "energy_kcal": 900.0,
        "metabolic_mass_kg075": 0.0,
    },
}


TABLES: dict[str, Json] = {
    "a puppy that will be small": {
        "edition": "aafco-2016",
        "stage": "growth_late",
        "adult_mass_kg": 20.0,
    },
    "a puppy that will be large": {
        "edition": "aafco-2016",
        "stage": "growth_early",
        "adult_mass_kg": 31.8,
    },
    "a small breed": {"edition": "fediaf-2021", "stage": "growth_late", "adult_mass_kg": 15.0},
    "a larger breed at six months": {
        "edition": "fediaf-2021",
        "stage": "growth_late",
        "adult_mass_kg": 30.0,
        "age_days": 183.0,
    },
    "a larger breed at five months": {
        "edition": "fediaf-2021",
        "stage": "growth_late",
        "adult_mass_kg": 30.0,
        "age_days": 150.0,
    },
    "the column for 95": {"edition": "fediaf-2021", "stage": "adult", "variant": "mer_95"},
    "the ordinary column by its name": {
        "edition": "fediaf-2021",
        "stage": "growth_late",
        "adult_mass_kg": 10.0,
        "variant": "",
    },
    "a column that no stage has": {"edition": "nrc-2006", "stage": "adult", "variant": "mer_95"},
}

DIETS: dict[str, Json] = {
    "a meaty diet raises arginine": {
        "edition": "fediaf-2021",
        "stage": "adult",
        "protein_g": 103.7,
        "polyunsaturated_g": 12.0,
    },
    "little protein lowers nothing": {
        "edition": "fediaf-2021",
        "stage": "growth_late",
        "protein_g": 20.0,
    },
    "fish oil raises vitamin E": {
        "edition": "aafco-2016",
        "stage": "reproduction",
        "polyunsaturated_g": 33.3,
    },
    "another edition has no such rule": {
        "edition": "nrc-2006",
        "stage": "adult",
        "protein_g": 120.0,
        "polyunsaturated_g": 40.0,
    },
    "an unknown diet": {"edition": "fediaf-2021", "stage": "adult"},
    "a negative amount is refused": {
        "edition": "aafco-2016",
        "stage": "adult",
        "polyunsaturated_g": -1.0,
    },
}

SIDE_BY_SIDE: dict[str, Json] = {
    "weight alone": {"mass_kg": 20.0},
    "an old, heavy, neutered dog": {
        "mass_kg": 17.2,
        "age_days": 4383.0,
        "neutered": True,
        "activity": "low",
        "condition_score": 6,
        "breed": "Standard schnauzer",
    },
    "a lively dog in its prime": {
        "mass_kg": 19.0,
        "age_days": 1826.0,
        "neutered": False,
        "activity": "high",
        "condition_score": 5,
    },
    "a working terrier": {
        "mass_kg": 8.2,
        "age_days": 1000.0,
        "activity": "working",
        "breed": "Border Terrier",
    },
    "a whippet of eight months": {"mass_kg": 11.4, "age_days": 243.0, "adult_mass_kg": 13.5},
    "a large puppy": {"mass_kg": 12.0, "age_days": 110.0, "adult_mass_kg": 40.0},
    "a puppy without an adult weight": {"mass_kg": 6.0, "age_days": 100.0},
    "a newborn": {"mass_kg": 0.4, "age_days": 5.0, "adult_mass_kg": 20.0},
    "early in whelp": {"mass_kg": 22.0, "phase": "gestation_early", "week": 2},
    "late in whelp": {"mass_kg": 24.0, "phase": "gestation_late", "week": 7},
    "suckling six": {"mass_kg": 22.0, "phase": "lactation", "week": 3, "pups": 6},
    "suckling two in the sixth week": {"mass_kg": 9.0, "phase": "lactation", "week": 6, "pups": 2},
    "suckling nobody knows how many": {"mass_kg": 22.0, "phase": "lactation", "week": 1},
    "no weight is refused": {"mass_kg": 0.0},
}

BREEDING: dict[str, Json] = {
    "nothing noted": {},
    "mated today": {"days_since_mated": 0},
    "a mating to come": {"days_since_mated": -1},
    "the last day of the first four weeks": {"days_since_mated": 27},
    "the first day of the last five weeks": {"days_since_mated": 28},
    "the seventieth day": {"days_since_mated": 70},
    "long overdue": {"days_since_mated": 71},
    "whelped today": {"days_since_mated": 63, "days_since_whelped": 0, "pups": 5},
    "no pup lives": {"days_since_whelped": 3, "pups": 0},
    "nobody counted": {"days_since_whelped": 20},
    "eight weeks on": {"days_since_whelped": 56, "pups": 4},
    "weaned": {"days_since_whelped": 40, "days_since_weaned": 1, "pups": 4},
}

PLANS: dict[str, Json] = {
    "seven of nine": {
        "mass_kg": 30.0,
        "condition_score": 7,
        "maintenance_kcal": 1410.0,
        "intake_kcal": 1500.0,
    },
    "nine of nine, intake unknown": {
        "mass_kg": 30.0,
        "condition_score": 9,
        "maintenance_kcal": 1410.0,
    },
    "five of nine": {"mass_kg": 18.0, "condition_score": 5, "maintenance_kcal": 960.0},
    "three of nine": {"mass_kg": 18.0, "condition_score": 3, "maintenance_kcal": 960.0},
    "one of nine, vet first": {"mass_kg": 12.0, "condition_score": 1, "maintenance_kcal": 700.0},
    "old, vet first": {
        "mass_kg": 17.2,
        "condition_score": 7,
        "maintenance_kcal": 760.0,
        "age_band": "senior",
    },
    "old, agreed": {
        "mass_kg": 17.2,
        "condition_score": 7,
        "maintenance_kcal": 760.0,
        "age_band": "senior",
        "is_agreed_with_vet": True,
    },
    "muscle lost": {
        "mass_kg": 20.0,
        "condition_score": 8,
        "maintenance_kcal": 900.0,
        "muscle": "moderate",
    },
    "a puppy, whatever was agreed": {
        "mass_kg": 10.0,
        "condition_score": 8,
        "maintenance_kcal": 1000.0,
        "age_band": "puppy",
        "is_agreed_with_vet": True,
    },
    "in whelp": {
        "mass_kg": 22.0,
        "condition_score": 7,
        "maintenance_kcal": 1300.0,
        "is_breeding": True,
    },
    "no score": {"mass_kg": 22.0, "condition_score": None, "maintenance_kcal": 1300.0},
    "a score of ten is refused": {
        "mass_kg": 22.0,
        "condition_score": 10,
        "maintenance_kcal": 1300.0,
    },
    "an unknown muscle word is refused": {
        "mass_kg": 22.0,
        "condition_score": 7,
        "maintenance_kcal": 1300.0,
        "muscle": "bulging",
    },
}

BRED: dict[str, Json] = {
    "early in whelp": {"mass_kg": 22.0, "phase": "gestation_early"},
    "late in whelp": {"mass_kg": 22.0, "age_days": 1500.0, "phase": "gestation_late", "week": 8},
    "suckling six": {"mass_kg": 22.0, "phase": "lactation", "week": 3, "pups": 6},
    "suckling, nobody counted": {"mass_kg": 22.0, "phase": "lactation", "week": 2},
    "suckling in the seventh week": {"mass_kg": 22.0, "phase": "lactation", "week": 7, "pups": 3},
    "a vet's figure while suckling": {
        "mass_kg": 22.0,
        "phase": "lactation",
        "week": 2,
        "pups": 6,
        "vet_kcal_per_day": 3900.0,
    },
    "an unknown phase is refused": {"mass_kg": 22.0, "phase": "courting"},
}

SHOWN = ("calcium", "selenium", "protein", "copper", "vitamin_d")


def _targets(given: Json) -> Json:
    found = targets(**given)
    limits = {key: asdict(found.limits[key]) for key in SHOWN}
    return {"variant": found.variant, "ratio": asdict(found.ratio), "limits": limits}


def _for_dog(given: Json) -> Json:
    table = targets(given["edition"], given["stage"])
    own = {key: value for key, value in given.items() if key not in ("edition", "stage")}
    return asdict(for_dog(table, **own))


PORTIONS: dict[str, Json] = {
    "FEDIAF asks more arginine of a diet of meat": {
        "edition": "fediaf-2021",
        "stage": "adult",
        "portions": [["usda-13333", 400.0], ["usda-42231", 5.0]],
    },
    "AAFCO asks more vitamin E of an oily diet": {
        "edition": "aafco-2016",
        "stage": "adult",
        "portions": [["usda-23562", 200.0], ["usda-04506", 80.0]],
    },
    "nothing is asked of nothing": {"edition": "aafco-2016", "stage": "adult", "portions": []},
}


def _with_companions(given: Json) -> Json:
    table = targets(given["edition"], given["stage"])
    diet = {key: value for key, value in given.items() if key not in ("edition", "stage")}
    limits = with_companions(table, **diet).limits
    return {key: asdict(limits[key]) for key in ("arginine", "vitamin_e")}


def _methods(given: Json) -> list[Json]:
    # What stands beside the figures is text of the tables, and not reckoned.
    texts = ("note", "locator")
    return [
        {key: value for key, value in asdict(each).items() if key not in texts}
        for each in energy_methods(DogFacts(**given))
    ]


def _for_diet(given: Json) -> Json:
    table = targets(given["edition"], given["stage"])
    foods = load().foods
    limits = for_diet(table, totals([(foods[key], g) for key, g in given["portions"]])).limits
    return {key: asdict(limits[key]) for key in ("arginine", "vitamin_e")}


FUNCTIONS: Mapping[str, Callable[[Json], object]] = {
    "targets": _targets,
    "for_dog": _for_dog,
    "with_companions": _with_companions,
    "for_diet": _for_diet,
    "energy_methods": _methods,
    "reproduction": lambda given: asdict(reproduction(**given)),
    "weight_plan": lambda given: asdict(weight_plan(**given)),
}


def cases() -> Iterator[Case]:
    """Return every case as name, function and input."""
    for edition in EDITIONS:
        for stage in STAGES:
            yield f"{edition} {stage}", "targets", {"edition": edition, "stage": stage}
    for function, given in (
        ("targets", TABLES),
        ("for_dog", DOGS_AND_TABLES),
        ("with_companions", DIETS),
        ("for_diet", PORTIONS),
        ("energy_methods", SIDE_BY_SIDE),
        ("reproduction", BREEDING),
        ("weight_plan", PLANS),
        ("requirement", BRED),
    ):
        for name, case in given.items():
            yield name, function, case
