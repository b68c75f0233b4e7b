"""The editions of the standards as JSON for the phone."""

from collections.abc import Mapping
from dataclasses import asdict
from typing import Any

from nutrition.companions import Companion, companions
from nutrition.loading import Tables
from nutrition.standard_rules import AssumedIntake, RatioLimits, Variant
from nutrition.standard_tables import EDITION_WORDS, EDITIONS, Limits

# The shape is JSON's own, so its values are of any JSON type.
Json = dict[str, Any]


def standard_json(tables: Tables, edition: str) -> Json:
    """Return one edition: its stages, variants, assumed intakes, ratios and companion rules."""
    by_variant = tables.standards[edition]
    return {
        "key": edition,
        "name": EDITIONS[edition],
        "words": EDITION_WORDS[edition],
        "stages": {stage: _stage(found) for stage, found in by_variant[""].items()},
        "variants": [_variant(tables, edition, each) for each in tables.variants[edition]],
        "intakes": {stage: _intake(intake) for stage, intake in tables.intakes[edition].items()},
        "ratios": {
            stage: ratio_json(ratio)
            for (variant, stage), ratio in tables.ratios[edition].items()
            if not variant
        },
        "companions": [_companion(rule) for rule in companions() if rule.edition == edition],
    }


def _companion(rule: Companion) -> Json:
    return {
        "key": rule.key,
        "companion": rule.companion,
        "rule": rule.rule,
        "per_g": rule.per_g,
        "source": rule.source,
        "locator": rule.locator,
        "verified": rule.verified,
    }


def _stage(found: Mapping[str, Limits]) -> Json:
    return {key: _limits(limits) for key, limits in found.items()}


def _variant(tables: Tables, edition: str, variant: Variant) -> Json:
    """Return a variant with the figures in which it differs from its stage."""
    base = tables.standards[edition][""][variant.stage]
    own = tables.standards[edition][variant.key][variant.stage]
    ratio = tables.ratios[edition].get((variant.key, variant.stage))
    return {
        "key": variant.key,
        "stage": variant.stage,
        "name": variant.name,
        "adult_mass_kg_to": variant.adult_mass_kg_to,
        "age_months_from": variant.age_months_from,
        "source": variant.source,
        "locator": variant.locator,
        "verified": variant.verified,
        "note": variant.note,
        "limits": {key: _limits(row) for key, row in own.items() if row != base.get(key)},
        "ratio": None if ratio is None else ratio_json(ratio),
    }


def ratio_json(ratio: RatioLimits) -> Json:
    """Return the limits of a ratio."""
    return {"minimum": ratio.minimum, "maximum": ratio.maximum, "source": ratio.source}


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
        "maximum_kind": limits.maximum_kind,
        "legal_maximum": limits.legal_maximum,
        "form": None if limits.form is None else asdict(limits.form),
    }
