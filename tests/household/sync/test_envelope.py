"""The body as hashed is canonical JSON, whichever way it was written."""

import hashlib
import json
from typing import Any
from uuid import UUID

import rfc8785
from hypothesis import given
from hypothesis import strategies as st

from household.sync.envelope import read, slot_id

HOUSEHOLD = UUID(int=1)
VALUES = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-(2**53) + 1, 2**53 - 1)
    | st.floats(allow_nan=False, allow_infinity=False)
    | st.text(st.characters(exclude_categories=["Cs"])),
    lambda inner: (
        st.lists(inner, max_size=4)
        | st.dictionaries(st.text(st.characters(exclude_categories=["Cs"])), inner, max_size=4)
    ),
    max_leaves=12,
)


@given(VALUES)
def test_the_body_is_canonical_json(value: Any) -> None:
    sent = read({"set": value}, HOUSEHOLD)
    canonical = rfc8785.dumps({"set": value})
    assert sent.body.encode() == canonical
    assert sent.hash == hashlib.sha256(canonical).hexdigest()


@given(VALUES)
def test_what_is_folded_is_what_the_log_reads_back(value: Any) -> None:
    """5.0 is logged as 5, so it must be 5 in the state that is made of it before, too."""
    op = {
        **dict.fromkeys(("op_id", "device_id", "author", "rid"), str(slot_id("any"))),
        **dict.fromkeys(("n", "schema", "occurred_at"), 1),
        **{"household": str(HOUSEHOLD), "entity": "dog", "new": True, "seen": {}},
        "set": {"name": value, "note": [value, 5.0, 0.25]},
    }
    sent = read(op, HOUSEHOLD)
    assert json.dumps(sent.content, sort_keys=True) == json.dumps(
        json.loads(sent.body), sort_keys=True
    )
    assert sent.envelope is not None
    assert sent.envelope.set == sent.content["set"]


@given(VALUES)
def test_the_order_of_keys_and_the_writing_of_numbers_do_not_matter(value: Any) -> None:
    spaced = json.loads(json.dumps({"a": value, "b": [value]}, indent=2, sort_keys=False))
    turned = {"b": [value], "a": value}
    assert read(spaced, HOUSEHOLD).hash == read(turned, HOUSEHOLD).hash


def test_a_hash_worked_out_elsewhere() -> None:
    """printf '%s' '{"a":"é","n":5}' | sha256sum"""
    sent = read({"n": 5.0, "a": "é"}, HOUSEHOLD)
    assert sent.body == '{"a":"é","n":5}'
    assert sent.hash == "30b75880b8cdf3d69ba83f02596f4c0e9349695bef4ea95cd1249c027126ba36"


def test_a_slot_id_is_the_start_of_a_hash_as_a_version_8_uuid() -> None:
    """printf 'meal|h|m|2026-11-25' | sha256sum, then the nibbles of version and variant."""
    assert str(slot_id("meal", "h", "m", "2026-11-25")) == "fe6f0ad1-330e-843d-83de-c9c937a2c378"
