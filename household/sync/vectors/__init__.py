"""The cases that prove the fold equal in both languages (``fixtures/vectors/fold.json``).

Every expected row is made by :func:`household.sync.fold.fold`; what each case *means* is checked
by hand-written assertions in the tests.
"""

from collections.abc import Iterator
from typing import Any

from household.sync.fold import FoldOp, fold
from household.sync.vectors import deleting, merging, waiting
from household.sync.vectors.ops import Case

ABOUT = (
    "fold(base, ops, has_live_children) must equal expected_row in every key. base is null or "
    "an earlier row; keys of base that the fold does not know are carried along. heads holds "
    "the registers whose heads are not exactly [op], as [op_id, at, author], greatest at first, "
    "then greatest op_id. also holds the registers with at least two distinct values: each "
    "alternative has value, the op, at and by of its first head, and ops: all heads holding "
    "that value. Equal means equal canonical JSON (RFC 8785). op is the latest head of any "
    "register (at, then op_id). made_at and made_by are the least (at, author) of the ops with "
    "new, null without one. clock_ahead of an op is given only when true (the server saw its "
    "clock more than ten minutes ahead); a row once flagged stays flagged. Flags other than "
    "clock_ahead and deleted_but_* are carried along from the base. del lists, for each delete "
    "in force, every id in its seen lists, sorted. If ops forged to have seen each other leave "
    "a register without a head, all its ops are heads."
)


def cases() -> Iterator[Case]:
    yield from merging.edits()
    yield from merging.conflicts()
    yield from merging.chains()
    yield from deleting.deletes()
    yield from waiting.with_base()
    yield from waiting.clocks()
    yield from deleting.orders()


def as_json() -> dict[str, Any]:
    return {"about": ABOUT, "cases": [_case_as_json(each) for each in cases()]}


def _case_as_json(each: Case) -> dict[str, Any]:
    return {
        "name": each.name,
        "base": each.base,
        "ops": [_op_as_json(op) for op in each.ops],
        "has_live_children": each.has_live_children,
        "expected_row": fold(each.base, each.ops, each.has_live_children),
    }


def _op_as_json(op: FoldOp) -> dict[str, Any]:
    out: dict[str, Any] = {
        "op_id": op.op_id,
        "author": op.author,
        "at": op.at,
        "new": op.new,
        "set": op.set,
        "seen": op.seen,
    }
    if op.clock_ahead:
        out["clock_ahead"] = True
    return out
