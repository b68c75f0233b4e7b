"""Cases of what one dog needs, run by both languages; they are part of vectors.py's file."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import asdict

from nutrition.standards import for_dog, targets
from nutrition.vector_cases import Case, Json

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


def _for_dog(given: Json) -> Json:
    table = targets(given["edition"], given["stage"])
    own = {key: value for key, value in given.items() if key not in ("edition", "stage")}
    return asdict(for_dog(table, **own))


FUNCTIONS: Mapping[str, Callable[[Json], object]] = {"for_dog": _for_dog}


def cases() -> Iterator[Case]:
    """Return every case as name, function and input."""
    for name, given in DOGS_AND_TABLES.items():
        yield name, "for_dog", given
