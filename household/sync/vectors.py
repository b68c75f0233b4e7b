"""The cases that prove the fold equal in both languages (``fixtures/vectors/fold.json``).

Every expected row is made by :func:`household.sync.fold.fold`; what each case *means* is checked
by hand-written assertions in the tests.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import permutations
from typing import Any

from household.sync.fold import FoldOp, Row, fold

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

INES = "018f0000-0000-7000-8000-0000000000a1"
CALLUM = "018f0000-0000-7000-8000-0000000000a2"
NOON = 1_795_608_000_000  # A day in November 2026.
MINUTE = 60_000
Case = tuple[str, Row | None, Sequence[FoldOp], bool]


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


def _made(**more: Any) -> FoldOp:
    return op(1, {"name": "Tansy", "breed": "whippet", **more}, new=True)


def _delete(number: int, seen: Mapping[str, Sequence[int]], **rest: Any) -> FoldOp:
    return op(number, {"deleted": True}, seen=seen, **rest)


SAW_ALL = {"name": [1], "breed": [1]}


def _edits() -> Iterator[Case]:
    edit = op(2, {"name": "Tansy B"}, seen={"name": [1]})
    yield "one op makes a record", None, [_made()], False
    yield "an edit of what was seen replaces it", None, [_made(), edit], False
    yield (
        "an edit of another register leaves the first alone",
        None,
        [
            _made(),
            op(2, {"sex": "female"}),
        ],
        False,
    )
    yield (
        "an edit sets several registers",
        None,
        [
            _made(),
            op(2, {"name": "T", "breed": None}, seen=SAW_ALL),
        ],
        False,
    )
    yield (
        "different registers edited at once are both kept",
        None,
        [
            _made(),
            op(2, {"name": "T"}, seen={"name": [1]}),
            op(3, {"breed": "lurcher"}, seen={"breed": [1]}, by=CALLUM),
        ],
        False,
    )
    yield (
        "a slow clock does not lose an edit of a seen value",
        None,
        [
            _made(),
            op(2, {"name": "T"}, seen={"name": [1]}, minute=-4320),
        ],
        False,
    )
    yield (
        "a chain whose middle has the latest clock",
        None,
        [
            _made(),
            op(2, {"name": "B"}, seen={"name": [1]}, minute=500),
            op(3, {"name": "C"}, seen={"name": [2]}, minute=3),
        ],
        False,
    )
    yield (
        "a grouped register is replaced whole",
        None,
        [
            _made(born={"date": "2026-03-01", "estimated": True}),
            op(2, {"born": {"date": "2026-03-04"}}, seen={"born": [1]}),
        ],
        False,
    )
    yield "null is a value", None, [_made(), op(2, {"breed": None}, seen={"breed": [1]})], False
    yield "an edit without its record's first op", None, [op(2, {"name": "T"})], False
    yield "the same op twice", None, [_made(), edit, edit], False
    yield (
        "made by the earliest of two creations",
        None,
        [
            op(2, {"name": "A"}, new=True, by=CALLUM),
            op(1, {"name": "A"}, new=True),
        ],
        False,
    )


def _conflicts() -> Iterator[Case]:
    two = op(2, {"name": "B"}, seen={"name": [1]})
    three = op(3, {"name": "C"}, seen={"name": [1]}, by=CALLUM)
    yield "two edits of the same value stand side by side", None, [_made(), two, three], False
    yield (
        "an edit that saw nothing stands beside the first value",
        None,
        [
            _made(),
            op(2, {"name": "B"}),
        ],
        False,
    )
    yield (
        "the later time is displayed",
        None,
        [
            _made(),
            replace(two, at=NOON + 90 * MINUTE),
            three,
        ],
        False,
    )
    yield (
        "at the same time the greater id is displayed",
        None,
        [
            _made(),
            replace(two, at=NOON),
            replace(three, at=NOON),
        ],
        False,
    )
    yield (
        "resolving lists all heads",
        None,
        [
            _made(),
            two,
            three,
            op(4, {"name": "C"}, seen={"name": [2, 3]}),
        ],
        False,
    )
    yield (
        "a plain edit of the displayed value leaves the alternative",
        None,
        [
            _made(),
            two,
            three,
            op(4, {"name": "D"}, seen={"name": [3]}),
        ],
        False,
    )
    yield (
        "three values at once",
        None,
        [
            _made(),
            two,
            three,
            op(4, {"name": "D"}, seen={"name": [1]}),
        ],
        False,
    )
    yield "equal values show as one", None, [_made(), two, replace(three, set={"name": "B"})], False
    yield (
        "two equal and one different",
        None,
        [
            _made(),
            two,
            replace(three, set={"name": "B"}),
            op(4, {"name": "D"}, seen={"name": [1]}),
        ],
        False,
    )
    yield (
        "the displayed value has an equal below another",
        None,
        [
            _made(),
            two,
            three,
            op(4, {"name": "B"}, seen={"name": [1]}),
        ],
        False,
    )
    yield (
        "an edit saw one of two equal heads",
        None,
        [
            _made(),
            two,
            replace(three, set={"name": "B"}),
            op(4, {"name": "D"}, seen={"name": [3]}),
        ],
        False,
    )
    yield (
        "one and one point nought are equal",
        None,
        [
            _made(bcs=4),
            op(2, {"bcs": 5}, seen={"bcs": [1]}),
            op(3, {"bcs": 5.0}, seen={"bcs": [1]}),
        ],
        False,
    )
    yield (
        "one and true differ",
        None,
        [
            _made(),
            op(2, {"x": 1}),
            op(3, {"x": True}),
        ],
        False,
    )
    yield (
        "objects are equal whatever the order of their keys",
        None,
        [
            _made(),
            op(2, {"left": {"g": 10, "note": "é"}}),
            op(3, {"left": {"note": "é", "g": 10}}),
        ],
        False,
    )
    yield (
        "null stands beside a value",
        None,
        [
            _made(),
            op(2, {"breed": None}, seen={"breed": [1]}),
            op(3, {"breed": "lurcher"}, seen={"breed": [1]}),
        ],
        False,
    )
    yield (
        "two conflicts in one record",
        None,
        [
            _made(),
            op(2, {"name": "B", "breed": "lurcher"}, seen=SAW_ALL),
            op(3, {"name": "C", "breed": "saluki"}, seen=SAW_ALL, by=CALLUM),
        ],
        False,
    )
    yield (
        "two phones make the same record",
        None,
        [
            op(1, {"day": "2026-11-25", "note": "a"}, new=True),
            op(2, {"day": "2026-11-25", "note": "b"}, new=True, by=CALLUM),
        ],
        False,
    )
    yield (
        "ops forged to have seen each other are both heads",
        None,
        [
            _made(),
            op(2, {"name": "B"}, seen={"name": [1, 3]}),
            op(3, {"name": "C"}, seen={"name": [1, 2]}),
        ],
        False,
    )
    yield (
        "an op that claims to have seen itself",
        None,
        [
            _made(),
            op(2, {"name": "B"}, seen={"name": [1, 2]}),
        ],
        False,
    )


def _chains() -> Iterator[Case]:
    second = op(3, {"name": "C"}, seen={"name": [2, 1]})
    yield (
        "a chain of own ops",
        None,
        [_made(), op(2, {"name": "B"}, seen={"name": [1]}), second],
        False,
    )
    yield "a chain whose first op was refused", None, [_made(), second], False
    yield (
        "a chain that names only its refused predecessor",
        None,
        [
            _made(),
            op(3, {"name": "C"}, seen={"name": [2]}),
        ],
        False,
    )
    yield (
        "a longer chain with its middle refused",
        None,
        [
            _made(),
            op(2, {"name": "B"}, seen={"name": [1]}),
            op(4, {"name": "D"}, seen={"name": [3, 2, 1]}),
        ],
        False,
    )
    yield (
        "edited and sent again after a refusal, both applied",
        None,
        [
            _made(),
            op(2, {"name": "B"}, seen={"name": [1]}),
            op(3, {"name": "B2"}, seen={"name": [2, 1]}),
        ],
        False,
    )
    yield (
        "the creation refused, then made again with the same id",
        None,
        [
            op(3, {"name": "Tansy"}, seen={"name": [1]}, new=True),
            op(4, {"sex": "female"}),
        ],
        False,
    )
    yield (
        "a chain against another phone's edit",
        None,
        [
            _made(),
            op(2, {"name": "B"}, seen={"name": [1]}),
            second,
            op(4, {"name": "Z"}, seen={"name": [1]}, by=CALLUM),
        ],
        False,
    )


def _deletes() -> Iterator[Case]:
    edit = op(2, {"name": "B"}, seen={"name": [1]}, by=CALLUM)
    gone = _delete(3, SAW_ALL)
    yield "a delete that saw everything", None, [_made(), gone], False
    yield "a delete that saw nothing", None, [_made(), _delete(3, {})], False
    yield "a delete that missed an edit", None, [_made(), edit, gone], False
    yield "a delete that missed a register", None, [_made(), op(2, {"sex": "male"}), gone], False
    yield (
        "a delete that saw a register unknown to this version",
        None,
        [
            _made(whorl=3),
            _delete(3, {**SAW_ALL, "whorl": [1]}),
        ],
        False,
    )
    yield (
        "an edit made after the delete",
        None,
        [
            _made(),
            gone,
            op(4, {"name": "B"}, seen={"name": [1]}),
        ],
        False,
    )
    yield (
        "deleted again after seeing the edit",
        None,
        [
            _made(),
            edit,
            gone,
            _delete(5, {"name": [2], "breed": [1], "deleted": [3]}),
        ],
        False,
    )
    yield (
        "two deletes that together saw everything",
        None,
        [
            _made(),
            edit,
            _delete(3, {"name": [2]}),
            _delete(4, {"breed": [1]}, by=CALLUM),
        ],
        False,
    )
    yield (
        "undelete of a seen delete",
        None,
        [
            _made(),
            gone,
            op(4, {"deleted": False}, seen={"deleted": [3]}),
        ],
        False,
    )
    yield (
        "undelete beside an unseen delete",
        None,
        [
            _made(),
            gone,
            op(4, {"deleted": False}, seen={}),
        ],
        False,
    )
    yield (
        "fed again: undelete with new values",
        None,
        [
            _made(),
            gone,
            op(4, {"deleted": False, "name": "B"}, seen={"deleted": [3], "name": [1]}),
        ],
        False,
    )
    yield (
        "deleted after an undelete",
        None,
        [
            _made(),
            gone,
            op(4, {"deleted": False}, seen={"deleted": [3]}),
            _delete(5, {**SAW_ALL, "deleted": [4]}),
        ],
        False,
    )
    yield (
        "a delete that also sets a note has seen its own note",
        None,
        [
            _made(),
            op(3, {"deleted": True, "note": "moved"}, seen=SAW_ALL),
        ],
        False,
    )
    yield (
        "a delete saw both sides of a conflict",
        None,
        [
            _made(),
            edit,
            op(3, {"name": "C"}, seen={"name": [1]}),
            _delete(4, {"name": [2, 3], "breed": [1]}),
        ],
        False,
    )
    yield (
        "a delete saw one side of a conflict",
        None,
        [
            _made(),
            edit,
            op(3, {"name": "C"}, seen={"name": [1]}),
            _delete(4, {"name": [3], "breed": [1]}),
        ],
        False,
    )
    yield (
        "a delete with the first op of its chain refused",
        None,
        [
            _made(),
            _delete(4, {"name": [3, 1], "breed": [1]}),
        ],
        False,
    )
    yield "a live child keeps a deleted record", None, [_made(), gone], True
    yield "a live child and an unseen edit", None, [_made(), edit, gone], True
    yield "a live child without a delete changes nothing", None, [_made()], True
    yield (
        "a delete repeated by both people",
        None,
        [
            _made(),
            gone,
            _delete(4, SAW_ALL, by=CALLUM),
        ],
        False,
    )


def _with_base() -> Iterator[Case]:
    """What a phone does: the server's row and its own operations that wait."""
    made = fold(None, [_made()], False)
    sent = {**made, "rid": op_id(900), "entity": "dog", "owner": None, "seq": 12}
    edit = op(2, {"name": "B"}, seen={"name": [1]})
    two = fold(None, [_made(), edit, op(3, {"name": "C"}, seen={"name": [1]})], False)
    equal = fold(
        None,
        [_made(), edit, op(3, {"name": "B"}, seen={"name": [1]}), op(4, {"name": "D"})],
        False,
    )
    gone = fold(None, [_made(), _delete(3, SAW_ALL)], False)
    yield "a base alone", made, [], False
    yield "a base with the keys of the wire", sent, [edit], False
    yield "a base and a waiting edit", made, [edit], False
    yield "a base that holds the waiting op already", fold(made, [edit], False), [edit], False
    yield (
        "a base in conflict and a waiting resolution",
        two,
        [op(4, {"name": "E"}, seen={"name": [2, 3]})],
        False,
    )
    yield (
        "a base in conflict and an edit of the displayed value",
        two,
        [op(4, {"name": "E"}, seen={"name": [3]})],
        False,
    )
    yield (
        "a base with equal heads and an edit that saw one of them",
        equal,
        [op(5, {"name": "E"}, seen={"name": [2, 4]})],
        False,
    )
    yield "a base and a waiting delete", made, [_delete(3, SAW_ALL)], False
    yield (
        "a deleted base and a waiting edit",
        gone,
        [op(4, {"name": "B"}, seen={"name": [1]})],
        False,
    )
    yield (
        "a deleted base and a waiting undelete",
        gone,
        [op(4, {"deleted": False}, seen={"deleted": [3]})],
        False,
    )
    yield "a deleted base and a new live child", gone, [], True
    yield "a base kept by a child that is gone now", fold(gone, [], True), [], False
    yield (
        "a base and a waiting op older than it",
        fold(made, [edit], False),
        [op(5, {"breed": "lurcher"}, seen={"breed": [1]}, minute=-60)],
        False,
    )
    yield (
        "flags of other rules are carried along",
        {**made, "flags": ["negative_stock"]},
        [_delete(3, {})],
        False,
    )


def _clocks() -> Iterator[Case]:
    late = replace(op(2, {"name": "B"}, seen={"name": [1]}, minute=180), clock_ahead=True)
    yield "a clock ahead is flagged", None, [_made(), late], False
    yield (
        "a clock ahead decides only which value is displayed",
        None,
        [
            _made(),
            late,
            op(3, {"name": "C"}, seen={"name": [1]}),
        ],
        False,
    )
    yield (
        "the flag stays when the value is replaced",
        None,
        [
            _made(),
            late,
            op(4, {"name": "C"}, seen={"name": [2]}),
        ],
        False,
    )
    yield (
        "the flag stays on a base",
        fold(None, [_made(), late], False),
        [op(4, {"name": "C"}, seen={"name": [2]})],
        False,
    )


def _orders() -> Iterator[Case]:
    ops = [
        _made(),
        op(2, {"name": "B"}, seen={"name": [1]}),
        op(3, {"name": "C"}, seen={"name": [1]}, by=CALLUM),
        _delete(4, {"name": [3], "breed": [1]}),
    ]
    for number, order in enumerate(permutations(ops)):
        if number % 4 == 0:
            yield f"the same four ops in order {number}", None, order, False


def cases() -> Iterator[Case]:
    for group in (_edits, _conflicts, _chains, _deletes, _with_base, _clocks, _orders):
        yield from group()


def as_json() -> dict[str, Any]:
    return {"about": ABOUT, "cases": [_case_as_json(*case) for case in cases()]}


def _case_as_json(
    name: str, base: Row | None, ops: Sequence[FoldOp], has_live_children: bool
) -> dict[str, Any]:
    return {
        "name": name,
        "base": base,
        "ops": [_op_as_json(each) for each in ops],
        "has_live_children": has_live_children,
        "expected_row": fold(base, ops, has_live_children),
    }


def _op_as_json(each: FoldOp) -> dict[str, Any]:
    out: dict[str, Any] = {
        "op_id": each.op_id,
        "author": each.author,
        "at": each.at,
        "new": each.new,
        "set": each.set,
        "seen": each.seen,
    }
    if each.clock_ahead:
        out["clock_ahead"] = True
    return out
