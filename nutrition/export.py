"""The tables as JSON for the phone, with a version that is the hash of their content."""

import hashlib
import json
from functools import cache
from typing import Any

from nutrition.coefficients import Coefficients
from nutrition.energy import ACTIVITIES, AGE_BANDS
from nutrition.food import Food
from nutrition.loading import Tables, load
from nutrition.standard_tables import EDITIONS, AssumedIntake, Limits

# The shape is JSON's own, so its values are of any JSON type.
Json = dict[str, Any]
HASH_LENGTH = 16


@cache
def as_json_text() -> str:
    """Return the tables as compact JSON text; the same tables always give the same text."""
    body = _body(load())
    text = json.dumps(body, ensure_ascii=False, sort_keys=True, separators=(",", ":"))
    version = hashlib.sha256(text.encode()).hexdigest()[:HASH_LENGTH]
    return json.dumps(
        {"version": version, **body}, ensure_ascii=False, sort_keys=True, separators=(",", ":")
    )


def as_json() -> Json:
    """Return the tables as JSON values; each call gives a fresh copy."""
    made: Json = json.loads(as_json_text())
    return made


def version() -> str:
    """Return the version of the tables: the start of the SHA-256 of their content."""
    return str(as_json()["version"])


def _body(tables: Tables) -> Json:
    return {
        "nutrients": [
            {
                "key": n.key,
                "name": n.name,
                "unit": n.unit,
                "decimals": n.decimals,
                "group": n.group,
            }
            for n in tables.nutrients.values()
        ],
        "sources": {key: _source(tables, key) for key in tables.sources},
        "groups": [{"key": key, "name": name} for key, name in tables.groups.items()],
        "foods": [food_json(food) for food in tables.foods.values()],
        "origins": _origins(tables),
        "group_upper": tables.group_upper,
        "standards": [_standard(tables, edition) for edition in EDITIONS],
        "ratios": {"calcium_to_phosphorus": _ratio(tables)},
        "energy": energy_json(tables.energy),
        "keeping": [
            {
                "class": kept.food_class,
                "place": kept.place,
                "days_min": kept.days_min,
                "days_max": kept.days_max,
                "source": kept.source,
                "note": kept.note,
                "verified": kept.verified,
            }
            for kept in tables.keeping
        ],
        "hazards": [_hazard(tables, index) for index in range(len(tables.hazards))],
        "cautions": [
            {
                "key": caution.key,
                "moment": caution.moment,
                "text": caution.text,
                "source": caution.source,
                "verified": caution.verified,
            }
            for caution in tables.cautions
        ],
    }


def _origins(tables: Tables) -> Json:
    """Animal and part of each food, as a pair: there are as many as foods."""
    return {
        "species": dict(tables.origins.species),
        "parts": dict(tables.origins.parts),
        "by_food": {
            key: [origin.species, origin.part] for key, origin in tables.origins.by_food.items()
        },
    }


def _source(tables: Tables, key: str) -> Json:
    source = tables.sources[key]
    return {
        "title": source.title,
        "publisher": source.publisher,
        "year": source.year,
        "url": source.url,
        "licence": source.licence,
        "checked": source.checked,
        "note": source.note,
    }


def food_json(food: Food) -> Json:
    """Return one food; nutrients that are missing from `v` are unknown.

    `low` and `high` bound a nutrient where they differ from its value or its group's ceiling.
    """
    shown: Json = {
        "key": food.key,
        "name": food.name,
        "group": food.group,
        "style": food.style,
        "state": food.style,
        "bone_share": food.bone_share,
        "bone_source": food.bone_source,
        "energy_kcal_per_100g": food.energy_kcal_per_100g,
        "energy_method": food.energy_method,
        "source": food.source,
        "locator": food.locator,
        "keeping_class": food.keeping_class,
        "v": dict(food.values),
    }
    for name, amounts in (("low", food.low), ("high", food.high), ("gap", food.gap)):
        if amounts:
            shown[name] = dict(amounts)
    if food.also:
        shown["also"] = list(food.also)
    return shown


def _standard(tables: Tables, edition: str) -> Json:
    stages = tables.standards[edition]
    return {
        "key": edition,
        "name": EDITIONS[edition],
        "stages": {
            stage: {key: _limits(limits) for key, limits in stages[stage].items()}
            for stage in stages
        },
        "intakes": {stage: _intake(intake) for stage, intake in tables.intakes[edition].items()},
    }


def _intake(intake: AssumedIntake) -> Json:
    return {
        "kcal_per_kg075": intake.kcal_per_kg075,
        "rule": intake.rule,
        "mass_kg": intake.mass_kg,
        "adult_mass_kg": intake.adult_mass_kg,
        "fixed": list(intake.fixed),
        "source": intake.source,
        "locator": intake.locator,
        "verified": intake.verified,
        "note": intake.note,
    }


def _limits(limits: Limits) -> Json:
    return {
        "minimum": limits.minimum,
        "recommended": limits.recommended,
        "maximum": limits.maximum,
        "minimum_per_kg075": limits.minimum_per_kg075,
        "recommended_per_kg075": limits.recommended_per_kg075,
        "maximum_per_kg075": limits.maximum_per_kg075,
        "source": limits.source,
        "locator": limits.locator,
        "verified": limits.verified,
    }


def _ratio(tables: Tables) -> Json:
    adult = tables.ratios["adult"]
    return {
        "minimum": adult.minimum,
        "maximum": adult.maximum,
        "source": adult.source,
        "stages": {
            stage: {"minimum": r.minimum, "maximum": r.maximum, "source": r.source}
            for stage, r in tables.ratios.items()
        },
    }


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
    }


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


def _hazard(tables: Tables, index: int) -> Json:
    hazard = tables.hazards[index]
    return {
        "key": hazard.key,
        "name": hazard.name,
        "synonyms": list(hazard.synonyms),
        "not_names": list(hazard.not_names),
        "amount": hazard.amount,
        "unit": hazard.unit,
        "dose": hazard.dose,
        "effect": hazard.effect,
        "source": hazard.source,
        "severity": hazard.severity,
        "verified": hazard.verified,
    }
