"""The people, operations and cases of the vectors, written shortly."""

from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple

from household.sync.fold import FoldOp, Row

INES = "018f0000-0000-7000-8000-0000000000a1"
CALLUM = "018f0000-0000-7000-8000-0000000000a2"
NOON = 1_795_608_000_000  # 2026-11-25T12:00:00Z
MINUTE = 60_000
SAW_ALL = {"name": [1], "breed": [1]}


class Case(NamedTuple):
    """One call of the fold."""

    name: str
    base: Row | None
    ops: Sequence[FoldOp]
    has_live_children: bool


def case(name: str, *ops: FoldOp, base: Row | None = None, has_live_children: bool = False) -> Case:
    return Case(name, base, ops, has_live_children)


def op_id(number: int) -> str:
    return f"018f0000-0000-7000-8000-{number:012x}"


def op(
    number: int,
    values: dict[str, Any],
    *,
    seen: Mapping[str, Sequence[int]] | None = None,
    minute: int | None = None,
    by: str = INES,
    new: bool = False,
) -> FoldOp:
    """An op by its number; its time is its number in minutes unless given."""
    return FoldOp(
        op_id=op_id(number),
        author=by,
        at=NOON + (number if minute is None else minute) * MINUTE,
        set=values,
        seen={register: [op_id(n) for n in ids] for register, ids in (seen or {}).items()},
        new=new,
    )


def made_record(**more: Any) -> FoldOp:
    """The op, number 1, that makes the record of most cases."""
    return op(1, {"name": "Tansy", "breed": "whippet", **more}, new=True)


def delete(number: int, seen: Mapping[str, Sequence[int]], **rest: Any) -> FoldOp:
    return op(number, {"deleted": True}, seen=seen, **rest)
