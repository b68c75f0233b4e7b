"""More cases for both languages, as plain data: what some days came from, what made a figure."""

from collections.abc import Iterator

from nutrition.vector_cases import BATCHES, Case, Json

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


def cases() -> Iterator[Case]:
    """Return every case as name, function and input."""
    for name, (first, last, servings) in DAYS.items():
        fed = [
            {"day": day, "style": style, "portions": _portions(batch, share)}
            for day, style, batch, share in servings
        ]
        yield name, "rotation", {"first": first, "last": last, "fed": fed}


def _portions(batch: str, share: float) -> list[list[object]]:
    portions = [(OWN_FOOD, 300.0)] if batch == "own food" else BATCHES[batch]
    return [[food, mass_g * share] for food, mass_g in portions]
