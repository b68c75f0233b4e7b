"""The energy equations and figures as JSON for the phone."""

from dataclasses import asdict
from typing import Any

from nutrition.coefficients import Coefficients
from nutrition.energy import ACTIVITIES, AGE_BANDS
from nutrition.energy_method_table import MethodRow, method_rows

# The shape is JSON's own, so its values are of any JSON type.
Json = dict[str, Any]
# Constants that the phone reads by their key, as the functions here do.
FLAT = ("gestation.", "lactation.", "condition.", "loss.", "gain.")


def _sourced(constants: Coefficients, key: str) -> Json:
    item = constants[key]
    return {"source": item.source, "verified": item.verified}


def energy_json(constants: Coefficients) -> Json:
    """Return the constants of the energy equations, each group with its source."""
    value = constants.value

    return {
        "resting": {"coefficient": value("resting"), **_sourced(constants, "resting")},
        "activities": [
            {
                "key": key,
                "label": label,
                "coefficient_kcal_per_kg075": value(f"activity.{key}"),
                **_sourced(constants, f"activity.{key}"),
            }
            for key, label in ACTIVITIES.items()
        ],
        "ages": {
            band: {
                "coefficient_kcal_per_kg075": value(f"age.{band}"),
                "lowest": value(f"age.{band}.lowest"),
                "highest": value(f"age.{band}.highest"),
                **_sourced(constants, f"age.{band}"),
            }
            for band in AGE_BANDS
            if band != "puppy"
        },
        "senior": {
            "from_years": value("age.senior.from"),
            **_sourced(constants, "age.senior.from"),
        },
        "adult": {"from_years": value("age.adult.from"), **_sourced(constants, "age.adult.from")},
        "neutered": {
            "yes": value("neutered.yes"),
            "no": value("neutered.no"),
            "unknown": value("neutered.unknown"),
            **_sourced(constants, "neutered.unknown"),
        },
        "growth": _growth(constants),
        "food": _food_factors(constants),
        "methods": [_method(row) for row in method_rows()],
        "constants": {key: _constant(constants, key) for key in constants if key.startswith(FLAT)},
    }


def _method(row: MethodRow) -> Json:
    return asdict(row) | {"activity": list(row.activity)}


def _constant(constants: Coefficients, key: str) -> Json:
    item = constants[key]
    return {"value": item.value, "locator": item.locator, **_sourced(constants, key)}


def _food_factors(constants: Coefficients) -> Json:
    value = constants.value
    factors: Json = {
        method: {part: value(f"{method}.{part}") for part in ("protein", "fat", "carbohydrate")}
        for method in ("atwater", "modified_atwater", "four_step")
    }
    return factors | {
        "digestibility_pct": value("four_step.digestibility"),
        "digestibility_fall_per_fibre_pct": value("four_step.fibre"),
        "urine_kcal_per_protein_g": value("four_step.urine"),
        "fibre_limit_pct": value("four_step.fibre.limit"),
        "ash_dry_pct": value("label.ash.dry"),
        "ash_moist_pct": value("label.ash.moist"),
        "fibre_missing_pct": value("label.fibre.missing"),
        "moisture_dry_pct": value("label.moisture.dry"),
    }


def _growth(constants: Coefficients) -> Json:
    value = constants.value

    return {
        "nrc": {
            "maintenance": value("growth.nrc.maintenance"),
            "factor": value("growth.nrc.factor"),
            "rate": value("growth.nrc.rate"),
            "offset": value("growth.nrc.offset"),
            **_sourced(constants, "growth.nrc.maintenance"),
        },
        "klein": {
            "constant_mj": value("growth.klein.constant"),
            "slope_mj": value("growth.klein.slope"),
            **_sourced(constants, "growth.klein.constant"),
        },
        "young": {
            "factor": value("growth.young.factor"),
            **_sourced(constants, "growth.young.factor"),
        },
        "older": {
            "factor": value("growth.older.factor"),
            "from_months": value("growth.older.from"),
            **_sourced(constants, "growth.older.factor"),
        },
        "late_from_weeks": value("growth.late.from"),
        "end_months": {
            size: value(f"growth.end.{size}") for size in ("small", "medium", "large", "giant")
        },
        "size_kg": {size: value(f"growth.size.{size}") for size in ("small", "medium", "large")},
    }
