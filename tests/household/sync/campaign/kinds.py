"""The kinds of record that the campaign writes: with and without owners, two deep, and a ledger.

A sitter writes meals, servings and weighings, sees dogs, batches, weigh-ins and movements too, and
never a lot or a count. A meal is a slot: several phones make the same record.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

AT = "2026-11-25T08:00:00Z"
LONG_AGO = "2020-01-01T08:00:00Z"  # A weighing may not lie in the future of a slow clock.
DOG = "018f0000-0000-7000-8000-00000000d065"
REFUSED = "not \x00 text"  # No register may hold such a character.


@dataclass(frozen=True)
class Template:
    """The values of a new record, the registers that are edited, and what owns it."""

    values: dict[str, Any]
    texts: tuple[str, ...]
    owner: str | None = None
    owner_kinds: tuple[str, ...] = ()


TEMPLATES = {
    "dog": Template({"name": "Tansy"}, ("name", "vet_notes")),
    "weighing": Template({"at": LONG_AGO, "mass_g": 12_000}, ("note",), "dog", ("dog",)),
    "lot": Template({"food": "usda-05027", "pack_mass_g": 500}, ("note", "place_name")),
    "meal": Template({"day": "2026-11-25", "at": AT}, ("note", "name")),
    "serving": Template(
        {"dog": DOG, "what": {"food": "usda-05027"}, "offered_g": 240}, ("note",), "meal", ("meal",)
    ),
    "batch": Template({"method": "ground", "stage": "done"}, ("note", "name")),
    "weigh_in": Template(
        {"food": "usda-05027", "mass_g": 100, "at": AT}, ("food",), "batch", ("batch",)
    ),
    "bag": Template(
        {"mass_g": 400, "count": 3, "place": "freezer", "packed_at": AT},
        ("note",),
        "batch",
        ("batch",),
    ),
}
MOST_G = 1_000_000
"""What a movement may weigh at most."""

LEDGERS = ("lot", "bag")
SLOTS = ("supper", "breakfast")
"""Names of meals that any phone may make."""


def values_of(entity: str, owner_rid: str | None, value: int, bad: bool) -> dict[str, Any]:
    template = TEMPLATES[entity]
    values = {**template.values, template.texts[0]: text_of(value, bad)}
    if template.owner:
        values[template.owner] = owner_rid
    return values


def text_of(value: int, bad: bool = False) -> str:
    """Few values, so that two people often type the same."""
    return REFUSED if bad else f"value {value}"


def is_refusable(values: Mapping[str, Any]) -> bool:
    """Whether the server must refuse these values, whatever else it holds."""
    return REFUSED in values.values() or values.get("mass_g", 0) > MOST_G
