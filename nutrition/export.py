"""The tables as JSON for the phone, with a version that is the hash of their content."""

import hashlib
import json
from dataclasses import asdict
from functools import cache
from typing import Any

from nutrition.completeness import completeness, required_nutrients
from nutrition.export_energy import energy_json
from nutrition.export_standards import ratio_json, standard_json
from nutrition.export_thaw import thaw_json
from nutrition.food import Food
from nutrition.loading import Tables, load
from nutrition.own_food_export import bones_json, cuts_json, forms_json
from nutrition.standard_tables import EDITIONS
from nutrition.standards import DEFAULT_EDITION

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
        "foods": [_table_food(tables, food) for food in tables.foods.values()],
        "origins": _origins(tables),
        "group_upper": tables.group_upper,
        "forms": forms_json(),
        "bones": bones_json(),
        "cuts": cuts_json(),
        "standards": [standard_json(tables, edition) for edition in EDITIONS],
        "ratios": {
            "calcium_to_phosphorus": _ratio(tables),
            "others": [asdict(ratio) for ratio in tables.other_ratios.values()],
        },
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
        "thaw": thaw_json(),
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


def _table_food(tables: Tables, food: Food) -> Json:
    share = completeness(food, required_nutrients(tables.standards))
    return food_json(food) | {"completeness": round(share, 2)}


def food_json(food: Food) -> Json:
    """Return one food; nutrients that are missing from `v` are unknown.

    `low` and `high` bound a nutrient where they differ from its value or its group's ceiling.
    `from` names source, locator and `verified` of each value that is not of the food's own
    record; `range_from` does so for bounds that come from elsewhere than the value.
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
    if food.verified:
        shown["verified"] = food.verified
    if food.energy_lowest_kcal_per_100g is not None:
        shown["energy_range"] = [
            round(food.energy_lowest_kcal_per_100g, 1),
            round(food.energy_highest_kcal_per_100g or food.energy_kcal_per_100g, 1),
        ]
    bounds = {k: o for k, o in food.range_provenance.items() if food.provenance.get(k) != o}
    for name, given in (("from", food.provenance), ("range_from", bounds)):
        if given:
            shown[name] = {
                key: [each.source, each.locator, each.verified] for key, each in given.items()
            }
    return shown


def _ratio(tables: Tables) -> Json:
    """Return the ratios of the default edition; each edition also carries its own."""
    stages = {
        stage: ratio_json(ratio)
        for (variant, stage), ratio in tables.ratios[DEFAULT_EDITION].items()
        if not variant
    }
    return {**stages["adult"], "stages": stages}


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
        "contents": [asdict(content) for content in hazard.contents],
    }
