"""The tables a household's own foods are read with, as JSON for the phone."""

from typing import Any

from nutrition.cut_parts import load_bones, load_cut_parts
from nutrition.food import Food
from nutrition.forms import load_forms

# The shape is JSON's own, so its values are of any JSON type.
Json = dict[str, Any]


def forms_json() -> list[Json]:
    """Return the forms in which labels state a nutrient, in the order they are offered."""
    return [
        {
            "key": form.key,
            "nutrient": form.nutrient,
            "name": form.name,
            "per_iu": form.per_iu,
            "share": form.share,
            "high_factor": form.high_factor,
            "source": form.source,
            "locator": form.locator,
            "verified": form.verified,
        }
        for form in load_forms().values()
    ]


def bones_json() -> list[Json]:
    """Return the compositions of fresh bone."""
    return [_bone(bone) for bone in load_bones().values()]


def _bone(bone: Food) -> Json:
    shown: Json = {
        "key": bone.key,
        "energy_kcal_per_100g": bone.energy_kcal_per_100g,
        "v": dict(bone.values),
    }
    for name, amounts in (("low", bone.low), ("high", bone.high), ("upper", bone.upper)):
        if amounts:
            shown[name] = dict(amounts)
    return shown


def cuts_json() -> list[Json]:
    """Return which boneless food and which bone each cut with bone is mixed from."""
    return [
        {"key": key, "boneless": parts.boneless.key, "bone": parts.bone.key}
        for key, parts in load_cut_parts().items()
    ]
