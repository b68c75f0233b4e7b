"""The tables as the phone gets them."""

import hashlib
import json

from nutrition import tables


def test_the_same_tables_have_the_same_version() -> None:
    first, second = tables.as_json(), tables.as_json()
    assert first == second
    assert first["version"] == tables.version()
    assert len(tables.version()) == 16


def test_the_version_is_a_hash_of_the_content() -> None:
    body = tables.as_json()
    version = body.pop("version")
    text = json.dumps(body, ensure_ascii=False, sort_keys=True, separators=(",", ":"))
    assert hashlib.sha256(text.encode()).hexdigest().startswith(version)


def test_each_call_gives_a_copy_of_its_own() -> None:
    tables.as_json()["foods"].clear()
    assert tables.as_json()["foods"]


def test_unknown_values_are_missing_and_never_null() -> None:
    for food in tables.as_json()["foods"]:
        for amounts in ("v", "low", "high", "gap"):
            assert None not in food.get(amounts, {}).values()


def test_every_figure_can_answer_who_says_so() -> None:
    body = tables.as_json()
    sources = set(body["sources"])
    assert {food["source"] for food in body["foods"]} <= sources
    assert {
        row["source"] for row in body["keeping"] + body["hazards"] + body["cautions"]
    } <= sources
    for standard in body["standards"]:
        for stage in standard["stages"].values():
            assert {limits["source"] for limits in stage.values()} <= sources


def test_the_shape_the_phone_relies_on() -> None:
    body = tables.as_json()
    assert set(body) == {
        "version",
        "nutrients",
        "sources",
        "groups",
        "foods",
        "origins",
        "group_upper",
        "forms",
        "bones",
        "cuts",
        "standards",
        "ratios",
        "energy",
        "keeping",
        "thaw",
        "hazards",
        "cautions",
    }
    assert {stage for each in body["standards"] for stage in each["stages"]} == {
        "adult",
        "growth_early",
        "growth_late",
        "reproduction",
    }
    assert set(body["ratios"]["calcium_to_phosphorus"]) >= {"minimum", "maximum", "source"}
    assert {food["style"] for food in body["foods"]} == {"raw", "cooked", "dry"}
