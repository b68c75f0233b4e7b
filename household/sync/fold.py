"""A record is a pure function of the set of its operations, whatever their order of arrival.

The phone has the same function (``frontend/src/domain/fold.ts``); the cases in
``fixtures/vectors/fold.json`` prove that both agree. No clock decides whether a value survives: an
operation replaces only what its author had seen, and everything unseen stays beside it. Clocks only
choose which of several values is displayed first.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, NamedTuple, TypedDict

import rfc8785

DELETED = "deleted"
DELETES = "del"
DELETED_BUT_CHANGED = "deleted_but_changed"
DELETED_BUT_HAS_CHILDREN = "deleted_but_has_children"
CLOCK_AHEAD = "clock_ahead"
OWN_FLAGS = frozenset({DELETED_BUT_CHANGED, DELETED_BUT_HAS_CHILDREN, CLOCK_AHEAD})

Value = Any  # Any JSON value: what it may be is the kind's business, the fold only compares.


class Alternative(TypedDict):
    """One of several values of a register that nobody has chosen between."""

    op: str
    value: Value
    at: int
    by: str
    ops: list[
        str
    ]  # All heads holding this value, displayed one first: what an edit of it has seen.


Row = dict[str, Any]
"""The state of a record, as stored and as sent (there with rid, entity, owner and seq).

op, op_at, op_by        the latest head of any register, its time [ms since 1970] and author
made_at, made_by        of the earliest op that created the record; None if none of them did
values {register: value}        the displayed values, the register ``deleted`` among them
heads {register: [[op, at, by]]}        where they are not exactly [op]; displayed one first
also {register: [Alternative]}  where several distinct values are in force; displayed one first
gone, flags             whether the record is deleted, and what a person should know about it
del {op: [op]}          what each delete in force had seen, in all registers
"""


@dataclass(frozen=True)
class FoldOp:
    """An operation as the fold needs it; ``at`` = min(occurred_at, received_at) [ms since 1970]."""

    op_id: str
    author: str
    at: int
    set: Mapping[str, Value]
    seen: Mapping[str, Sequence[str]] = field(default_factory=dict)
    new: bool = False
    clock_ahead: bool = False


class Head(NamedTuple):
    """A value in force: an applied op's value that no other op setting the register has seen."""

    at: int
    op: str
    by: str
    value: Value


def fold(base: Mapping[str, Any] | None, ops: Iterable[FoldOp], has_live_children: bool) -> Row:
    """The state of a record after more operations.

    Parameters
    ----------
    base : mapping or None
        A row as this function returned it (other keys are carried along), None without one.
    ops : iterable of FoldOp
        In any order; an op that is a head of the base already changes nothing.
    has_live_children : bool
        Whether a record that is not gone names this one as its owner.

    Raises
    ------
    ValueError
        Without a base and without an op that sets something: there is no record.
    """
    ordered = sorted(ops, key=lambda op: (op.at, op.op_id))
    if base is None and len(ordered) == 1 and ordered[0].set and DELETED not in ordered[0].set:
        return _of_one(ordered[0])
    heads = _heads(_base_heads(base), ordered)
    if not heads:
        raise ValueError("A record needs at least one operation that sets a register.")
    latest = max((head for held in heads.values() for head in held), key=lambda head: head[:2])
    row: Row = dict(base or {})
    row.update(op=latest.op, op_at=latest.at, op_by=latest.by, **_made(base, ordered))
    row.update(_registers(heads, latest.op))
    row[DELETES] = _deletes(base, ordered, heads.get(DELETED, []))
    _decide_whether_gone(row, base, ordered, heads, has_live_children)
    return row


def _of_one(op: FoldOp) -> Row:
    """What the rest comes to for a single op, as most records have only the one that makes them."""
    return {
        "op": op.op_id,
        "op_at": op.at,
        "op_by": op.author,
        "made_at": op.at if op.new else None,
        "made_by": op.author if op.new else None,
        "values": dict(op.set),
        "heads": {},
        "also": {},
        DELETES: {},
        "gone": False,
        "flags": [CLOCK_AHEAD] if op.clock_ahead else [],
    }


def is_conflicted(row: Mapping[str, Any]) -> bool:
    return bool(row["also"])


def heads_of(row: Mapping[str, Any], register: str) -> list[str]:
    """The ids of a register's heads, the displayed one first; empty when it was never set."""
    if register in row["heads"]:
        return [entry[0] for entry in row["heads"][register]]
    return [row["op"]] if register in row["values"] else []


def seen_of(row: Mapping[str, Any]) -> dict[str, list[str]]:
    """Every head of every register: what a resolution or a deletion has seen."""
    return {register: heads_of(row, register) for register in row["values"]}


def _base_heads(base: Mapping[str, Any] | None) -> dict[str, list[Head]]:
    if base is None:
        return {}
    held: dict[str, list[Head]] = {}
    for register, displayed in base["values"].items():
        entries = base["heads"].get(register) or [[base["op"], base["op_at"], base["op_by"]]]
        alternatives = base["also"].get(register, [])
        value_of = {op: other["value"] for other in alternatives for op in other["ops"]}
        held[register] = [Head(at, op, by, value_of.get(op, displayed)) for op, at, by in entries]
    return held


def _heads(held: dict[str, list[Head]], ops: Sequence[FoldOp]) -> dict[str, list[Head]]:
    candidates: dict[str, dict[str, Head]] = {
        register: {head.op: head for head in heads} for register, heads in held.items()
    }
    superseded: dict[str, set[str]] = {}
    for op in ops:
        for register, value in op.set.items():
            of_register = candidates.setdefault(register, {})
            of_register.setdefault(op.op_id, Head(op.at, op.op_id, op.author, value))
            superseded.setdefault(register, set()).update(
                seen for seen in op.seen.get(register, ()) if seen != op.op_id
            )
    out: dict[str, list[Head]] = {}
    for register, of_register in candidates.items():
        gone = superseded.get(register, set())
        # Only ops forged to have seen each other leave no head; then none has the last word.
        left = [
            head for head in of_register.values() if head.op not in gone
        ] or of_register.values()
        out[register] = sorted(left, key=lambda head: head[:2], reverse=True)
    return out


def _registers(heads: Mapping[str, Sequence[Head]], row_op: str) -> dict[str, Any]:
    values: dict[str, Value] = {}
    listed: dict[str, list[list[Any]]] = {}
    also: dict[str, list[Alternative]] = {}
    for register, held in heads.items():
        values[register] = held[0].value
        if len(held) > 1 or held[0].op != row_op:
            listed[register] = [[head.op, head.at, head.by] for head in held]
        if len(held) > 1:
            alternatives = _alternatives(held)
            if len(alternatives) > 1:
                also[register] = alternatives
    return {"values": values, "heads": listed, "also": also}


def _alternatives(held: Sequence[Head]) -> list[Alternative]:
    """Distinct values, equal ones as one: in canonical JSON 1 equals 1.0 and differs from true."""
    by_value: dict[bytes, Alternative] = {}
    for head in held:
        key = rfc8785.dumps(head.value)
        if key in by_value:
            by_value[key]["ops"].append(head.op)
        else:
            by_value[key] = Alternative(
                op=head.op, value=head.value, at=head.at, by=head.by, ops=[head.op]
            )
    return list(by_value.values())


def _made(base: Mapping[str, Any] | None, ops: Sequence[FoldOp]) -> dict[str, Any]:
    made = [(op.at, op.author) for op in ops if op.new]
    if base is not None and base["made_at"] is not None:
        made.append((base["made_at"], base["made_by"]))
    at, by = min(made, default=(None, None))
    return {"made_at": at, "made_by": by}


def _deletes(
    base: Mapping[str, Any] | None, ops: Sequence[FoldOp], deleted: Sequence[Head]
) -> dict[str, list[str]]:
    """What each delete in force had seen; kept whole, for a seen op may still arrive."""
    in_force = {head.op for head in deleted if head.value is True}
    known: Mapping[str, list[str]] = base[DELETES] if base is not None else {}
    out = {op_id: list(known[op_id]) for op_id in in_force if op_id in known}
    for op in ops:
        if op.op_id in in_force and op.op_id not in out:
            out[op.op_id] = sorted({seen for ids in op.seen.values() for seen in ids})
    return dict(sorted(out.items()))


def _decide_whether_gone(
    row: Row,
    base: Mapping[str, Any] | None,
    ops: Sequence[FoldOp],
    heads: Mapping[str, Sequence[Head]],
    has_live_children: bool,
) -> None:
    """A delete holds only over what it saw; otherwise the record lives and says why."""
    flags = {flag for flag in (base or {}).get("flags", ()) if flag not in OWN_FLAGS}
    row["gone"] = False
    if row[DELETES]:
        saw = {seen for ids in row[DELETES].values() for seen in ids} | set(row[DELETES])
        unseen = any(
            head.op not in saw
            for register, held in heads.items()
            if register != DELETED
            for head in held
        )
        undeleted = any(head.value is not True for head in heads[DELETED])
        if unseen or undeleted:
            flags.add(DELETED_BUT_CHANGED)
        if has_live_children:
            flags.add(DELETED_BUT_HAS_CHILDREN)
        row["gone"] = not (unseen or undeleted or has_live_children)
    if CLOCK_AHEAD in (base or {}).get("flags", ()) or any(op.clock_ahead for op in ops):
        flags.add(CLOCK_AHEAD)
    row["flags"] = sorted(flags)
