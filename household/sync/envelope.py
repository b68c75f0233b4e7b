"""Read an operation as it was sent: its envelope, and the hash of its body."""

import hashlib
import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any
from uuid import UUID

import rfc8785

from household.sync import registry
from household.sync.instants import LATEST_MILLIS
from household.sync.validation import Errors, is_uuid
from household.sync.wording import UNSTORABLE, shown

SERVER = "server"
MAX_INT = 2**53 - 1
MAX_SEEN = 5000
MAX_GIVEN = 100
TOO_DEEP: Errors = {"op": ["The operation is nested too deeply to be read."]}
MAX_SCHEMA = 1_000_000
MAX_KEPT_BYTES = 65_536
"""A refused body larger than this is logged by its hash only; the device keeps the whole of it."""


@dataclass(frozen=True)
class Envelope:
    """An operation with a sound envelope, in the present schema; its values are not judged yet."""

    op_id: UUID
    device_id: str
    n: int
    author: str
    schema: int
    entity: str
    rid: UUID
    new: bool
    set: Mapping[str, Any]
    seen: Mapping[str, list[str]]
    occurred_at: int


@dataclass(frozen=True)
class Sent:
    """An operation as received. Without an envelope, ``errors`` says why.

    ``given_id`` is the op_id to answer with; ``op_id`` is what the log files it under: derived from
    the body where none could be read, so that sending it again finds the same entry. Most of what
    is sent again needs no more than these and the hash, so the rest is read when asked for.
    """

    given_id: str | None
    op_id: UUID
    hash: str
    body: str
    schema: int
    raw: Any
    read_back: Any
    household_id: UUID
    by_server: bool

    @cached_property
    def errors(self) -> Errors:
        return _errors(self.raw, self.household_id, self.by_server) if self.body else dict(TOO_DEEP)

    @cached_property
    def content(self) -> Mapping[str, Any]:
        """What the body reads back as, in the present schema; empty without an envelope."""
        return {} if self.errors else registry.upcast(self.read_back, self.schema)

    @cached_property
    def envelope(self) -> Envelope | None:
        return None if self.errors else _envelope(self.content)


def read(raw: Any, household_id: UUID, *, by_server: bool = False) -> Sent:
    """An operation as received, or as the server made it: only there may it be the author."""
    body, read_back = _canonical(raw)
    digest = hashlib.sha256(body.encode()).hexdigest()
    given = raw.get("op_id") if isinstance(raw, dict) else None
    op_id = UUID(given) if is_uuid(given) else uuid8(bytes.fromhex(digest))
    return Sent(
        _as_given(given), op_id, digest, body, _schema(raw), raw, read_back, household_id, by_server
    )


def uuid8(digest: bytes) -> UUID:
    """The first 16 bytes of a hash as a version 8 UUID (RFC 9562, section 5.8)."""
    octets = bytearray(digest[:16])
    octets[6] = octets[6] & 0x0F | 0x80
    octets[8] = octets[8] & 0x3F | 0x80
    return UUID(bytes=bytes(octets))


def slot_id(*parts: object) -> UUID:
    """The id of a record that several devices must meet in, from what identifies it."""
    return uuid8(hashlib.sha256("|".join(map(str, parts)).encode()).digest())


def _canonical(raw: Any) -> tuple[str, Any]:
    """RFC 8785, and what it reads back as (5.0 as 5); plain ASCII JSON for what has no canonical
    form, nothing for what is nested beyond all sense. Such an op is refused."""
    try:
        text = _encode(raw)
        if not _UNUSUAL.search(text):
            try:
                return text, _decode(text)
            except _NotAsWritten:
                pass
        text = rfc8785.dumps(raw).decode()
        return text, json.loads(text)
    except RecursionError:
        return "", raw
    except (rfc8785.CanonicalizationError, UnicodeError):
        return json.dumps(raw, sort_keys=True, separators=(",", ":")), raw


class _NotAsWritten(Exception):
    """A number that RFC 8785 writes in another way than Python does."""


def _fraction(literal: str) -> float:
    if "e" in literal or literal.endswith(".0"):
        raise _NotAsWritten
    return float(literal)


def _no_number(literal: str) -> float:
    raise _NotAsWritten


# The standard library writes most operations as RFC 8785 asks, in a tenth of the time. Not whole
# numbers too large for a float, half surrogate pairs, and keys with characters whose order in
# UTF-16 is not that of their code points; what only looks like them goes the slow way for nothing.
_UNUSUAL = re.compile("[0-9]{16}|[\ud800-\U0010ffff]")
_encode = json.JSONEncoder(sort_keys=True, separators=(",", ":"), ensure_ascii=False).encode
_decode = json.JSONDecoder(parse_float=_fraction, parse_constant=_no_number).decode


def _as_given(op_id: Any) -> str | None:
    """What was sent as op_id, if it can be said back."""
    sayable = isinstance(op_id, str) and len(op_id) <= MAX_GIVEN and not UNSTORABLE.search(op_id)
    return op_id if sayable else None


def _envelope(raw: Mapping[str, Any]) -> Envelope:
    return Envelope(
        op_id=UUID(raw["op_id"]),
        device_id=raw["device_id"],
        n=raw["n"],
        author=raw["author"],
        schema=raw["schema"],
        entity=raw["entity"],
        rid=UUID(raw["rid"]),
        new=raw["new"],
        set=raw["set"],
        seen=raw["seen"],
        occurred_at=raw["occurred_at"],
    )


def _errors(raw: Any, household_id: UUID, by_server: bool) -> Errors:
    if not isinstance(raw, dict):
        return {"op": [f"An operation must be an object; {shown(raw)} was given."]}
    errors: Errors = {}
    for name in ("op_id", "rid") if by_server else ("op_id", "device_id", "author", "rid"):
        if not is_uuid(raw.get(name)):
            errors[name] = [f"{name} must be a lower-case UUID; {shown(raw.get(name))} was given."]
    if raw.get("household") != str(household_id):
        errors["household"] = [
            f"household must be {household_id}, to which this was sent; "
            f"{shown(raw.get('household'))} was given."
        ]
    for name, low, high in (
        ("n", 1, MAX_INT),
        ("schema", 1, MAX_SCHEMA),
        ("occurred_at", 0, LATEST_MILLIS),
    ):
        if not _is_int(raw.get(name), low, high):
            errors[name] = [
                f"{name} must be a whole number from {low} to {high}; "
                f"{shown(raw.get(name))} was given."
            ]
    offset_ms = raw.get("offset_ms")
    if offset_ms is not None and (isinstance(offset_ms, bool) or not _is_number(offset_ms)):
        errors["offset_ms"] = [f"offset_ms must be a number; {shown(offset_ms)} was given."]
    for name, longest, optional in (("app", 40, True), ("tz", 64, True), ("entity", 40, False)):
        if not _is_word(raw.get(name), longest, optional):
            errors[name] = [
                f"{name} must be text of 1 to {longest} characters; "
                f"{shown(raw.get(name))} was given."
            ]
    if not isinstance(raw.get("new"), bool):
        errors["new"] = [f"new must be true or false; {shown(raw.get('new'))} was given."]
    if not isinstance(raw.get("set"), dict) or not raw["set"]:
        errors["set"] = ["set must be an object with at least one register."]
    problem = _seen_problem(raw.get("seen"))
    if problem:
        errors["seen"] = [problem]
    return errors


def _schema(raw: Any) -> int:
    schema = raw.get("schema") if isinstance(raw, dict) else None
    return schema if isinstance(schema, int) and _is_int(schema, 1, MAX_SCHEMA) else 1


def _is_int(value: object, low: int, high: int) -> bool:
    return isinstance(value, int) and not isinstance(value, bool) and low <= value <= high


def _is_number(value: object) -> bool:
    return isinstance(value, int | float) and abs(value) <= MAX_INT


def _is_word(value: object, longest: int, optional: bool) -> bool:
    if value is None:
        return optional
    return isinstance(value, str) and 0 < len(value) <= longest and not UNSTORABLE.search(value)


def _seen_problem(seen: object) -> str | None:
    if not isinstance(seen, dict):
        return f"seen must be an object of lists of op ids; {shown(seen)} was given."
    count = 0
    for register, ids in seen.items():
        if not isinstance(ids, list) or not all(is_uuid(each) for each in ids):
            return f"seen.{shown(register)} must be a list of op ids (lower-case UUIDs)."
        count += len(ids)
    if count > MAX_SEEN:
        return f"seen lists {count} op ids; at most {MAX_SEEN} are allowed."
    return None
