"""More cases for both languages, as plain data: what some days came from, what made a figure."""

from collections.abc import Iterator

from nutrition.standard_tables import EDITIONS
from nutrition.vector_cases import BATCHES, DOGS, Case, Json, target

# Day, style and batch of each serving, and the share of the batch that was eaten.
Servings = list[tuple[str, str, str, float]]
OWN_FOOD: Json = {"style": "dry", "label": {"protein_pct": 22, "fat_pct": 9, "fibre_pct": 3}}

DAYS: dict[str, tuple[str, str, Servings]] = {
    "no meals": ("2026-11-19", "2026-11-25", []),
    "one meal on the last day": (
        "2026-11-25",
        "2026-11-25",
        [("2026-11-25", "ground", "ground beef with organs", 0.1)],
    ),
    "a week of mixed meals": (
        "2026-11-19",
        "2026-11-25",
        [
            ("2026-11-19", "bone_in", "chicken necks alone", 1.0),
            ("2026-11-20", "ground", "a ground batch with everything", 0.2),
            ("2026-11-22", "cooked", "cooked rice and turkey", 0.5),
            ("2026-11-24", "raw", "fish with printed limits", 0.4),
            ("2026-11-24", "treat", "own food", 0.1),
        ],
    ),
    "fed before the window and after it": (
        "2026-11-19",
        "2026-11-25",
        [
            ("2026-10-01", "bone_in", "rabbit with its bone", 0.5),
            ("2026-11-18", "ground", "ground beef with organs", 0.1),
            ("2026-11-21", "ground", "ground beef with organs", 0.1),
            ("2026-11-26", "bone_in", "chicken necks alone", 1.0),
        ],
    ),
    "nothing with energy": (
        "2026-11-19",
        "2026-11-25",
        [("2026-11-20", "other", "salt and shell have no energy", 1.0)],
    ),
    "nothing was eaten": (
        "2026-11-19",
        "2026-11-25",
        [("2026-11-20", "ground", "ground beef with organs", 0.0)],
    ),
    "over a leap day": (
        "2028-02-01",
        "2028-03-01",
        [("2028-02-28", "dry", "own food", 1.0), ("2028-02-02", "raw", "oil", 1.0)],
    ),
    "the first day after the last is refused": ("2026-11-26", "2026-11-25", []),
    "an unknown style is refused": (
        "2026-11-19",
        "2026-11-25",
        [("2026-11-20", "juggled", "one food", 1.0)],
    ),
    "a negative mass is refused": (
        "2026-11-19",
        "2026-11-25",
        [("2026-11-20", "ground", "one food", -1.0)],
    ),
}


# Nutrients whose makers are asked for: many foods, a range, holes, none at all, and a sum of two.
ASKED = ("calcium", "vitamin_a", "iodine", "taurine", "epa_dha", "zinc")
ASKED_OF = (
    "nothing at all",
    "a ground batch with everything",
    "salt and shell have no energy",
    "turkey neck has a range of bone",
    "lamb neck and vegetables",
)
JUDGED_FOR_EXCESS = (
    "too much liver",
    "a ground batch with everything",
    "turkey neck has a range of bone",
    "fish with printed limits",
    "salt and shell have no energy",
    "nothing at all",
)


# The dog, and what it ate on an average day.
INTAKES: dict[str, tuple[Json | None, Json]] = {
    "no need is known": (None, {"eaten_kcal_per_day": 500.0}),
    "by the need": (DOGS["standard schnauzer, 12 years, neutered"], {}),
    "by what it ate": (
        DOGS["standard schnauzer, 12 years, neutered"],
        {"eaten_kcal_per_day": 640.0},
    ),
    "less than it rests on is not believed": (DOGS["weight alone"], {"eaten_kcal_per_day": 200.0}),
    "a mistyped mass is not believed": (DOGS["weight alone"], {"eaten_kcal_per_day": 30000.0}),
    "a growing dog": (
        DOGS["whippet, 8 months"],
        {"eaten_kcal_per_day": 700.0, "grown_share": 11.4 / 13.5},
    ),
    "a growing dog whose adult weight is not known": (DOGS["whippet, 8 months"], {}),
}


def cases() -> Iterator[Case]:
    """Return every case as name, function and input."""
    yield from _of_days()
    yield from _of_contributions()
    yield from _of_judgements()
    for name, (dog, eats) in INTAKES.items():
        stage = "growth_late" if "growing" in name else "adult"
        given = {"edition": "nrc-2006", "stage": stage, "dog": dog, "eats": eats}
        yield name, "own_targets", given
    for hazard in ("onion", "grape", "xylitol", "chocolate", "alcohol"):
        yield f"{hazard} for a whippet", "dose_for", {"hazard": hazard, "mass_kg": 11.4}
    yield "no weight is refused", "dose_for", {"hazard": "onion", "mass_kg": 0.0}


def _of_contributions() -> Iterator[Case]:
    for name in ASKED_OF:
        for nutrient in ASKED:
            given = {"portions": BATCHES[name], "nutrient": nutrient}
            yield f"{name}: {nutrient}", "contributions", given
    twice = [*BATCHES["one food"], *BATCHES["ground beef with organs"], *BATCHES["one food"]]
    yield "a food twice", "contributions", {"portions": twice, "nutrient": "zinc"}
    own = [[OWN_FOOD, 300.0], *BATCHES["one food"]]
    yield "an own food has no figure", "contributions", {"portions": own, "nutrient": "zinc"}
    refused = {"portions": BATCHES["oil"], "nutrient": "sparkle"}
    yield "an unknown nutrient is refused", "contributions", refused


def _of_judgements() -> Iterator[Case]:
    for name in JUDGED_FOR_EXCESS:
        for stage in ("adult", "growth_late"):
            yield f"{name}: {stage}", "excesses", target(name, "nrc-2006", stage)
    for edition in EDITIONS:
        given = target("too much liver", edition, "adult")
        yield f"too much liver: {edition}", "excesses", given
        name = "a ground batch with everything"
        yield f"{name}: {edition}", "not_compared", target(name, edition, "adult")
        yield f"{name}: {edition}", "judge_ratios", target(name, edition, "growth_early")

    for share in (1.0, 0.95, 0.9, 0.5):
        given = target("a ground batch with everything", "nrc-2006", "growth_late")
        yield f"{share} of it has a composition", "judge_doubted", given | {"known_share": share}
    own: Json = {"portions": [[OWN_FOOD, 300.0], *BATCHES["ground beef with organs"]]}
    own |= {"edition": "nrc-2006", "stage": "adult"}
    for function in ("judge", "judge_ratios", "excesses", "not_compared"):
        yield "an own food beside beef and organs", function, own


def _of_days() -> Iterator[Case]:
    for name, (first, last, servings) in DAYS.items():
        fed = [
            {"day": day, "style": style, "portions": _portions(batch, share)}
            for day, style, batch, share in servings
        ]
        yield name, "rotation", {"first": first, "last": last, "fed": fed}


def _portions(batch: str, share: float) -> list[list[object]]:
    portions = [(OWN_FOOD, 300.0)] if batch == "own food" else BATCHES[batch]
    return [[food, mass_g * share] for food, mass_g in portions]
