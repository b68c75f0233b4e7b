"""Deletes that saw everything or not, undeletes and children."""

from collections.abc import Iterator
from itertools import permutations

from household.sync.vectors.ops import (
    CALLUM,
    SAW_ALL,
    Case,
    case,
    delete,
    made_record,
    op,
)


def deletes() -> Iterator[Case]:
    edit = op(2, {"name": "B"}, seen={"name": [1]}, by=CALLUM)
    gone = delete(3, SAW_ALL)
    yield case("a delete that saw everything", made_record(), gone)
    yield case("a delete that saw nothing", made_record(), delete(3, {}))
    yield case("a delete that missed an edit", made_record(), edit, gone)
    yield case("a delete that missed a register", made_record(), op(2, {"sex": "male"}), gone)
    yield case(
        "a delete that saw a register unknown to this version",
        made_record(whorl=3),
        delete(3, {**SAW_ALL, "whorl": [1]}),
    )
    yield case(
        "an edit made after the delete",
        made_record(),
        gone,
        op(4, {"name": "B"}, seen={"name": [1]}),
    )
    yield case(
        "deleted again after seeing the edit",
        made_record(),
        edit,
        gone,
        delete(5, {"name": [2], "breed": [1], "deleted": [3]}),
    )
    yield case(
        "two deletes that together saw everything",
        made_record(),
        edit,
        delete(3, {"name": [2]}),
        delete(4, {"breed": [1]}, by=CALLUM),
    )
    yield case(
        "undelete of a seen delete",
        made_record(),
        gone,
        op(4, {"deleted": False}, seen={"deleted": [3]}),
    )
    yield case(
        "undelete beside an unseen delete", made_record(), gone, op(4, {"deleted": False}, seen={})
    )
    yield case(
        "fed again: undelete with new values",
        made_record(),
        gone,
        op(4, {"deleted": False, "name": "B"}, seen={"deleted": [3], "name": [1]}),
    )
    yield case(
        "deleted after an undelete",
        made_record(),
        gone,
        op(4, {"deleted": False}, seen={"deleted": [3]}),
        delete(5, {**SAW_ALL, "deleted": [4]}),
    )
    yield case(
        "a delete that also sets a note has seen its own note",
        made_record(),
        op(3, {"deleted": True, "note": "moved"}, seen=SAW_ALL),
    )
    yield case(
        "a delete saw both sides of a conflict",
        made_record(),
        edit,
        op(3, {"name": "C"}, seen={"name": [1]}),
        delete(4, {"name": [2, 3], "breed": [1]}),
    )
    yield case(
        "a delete saw one side of a conflict",
        made_record(),
        edit,
        op(3, {"name": "C"}, seen={"name": [1]}),
        delete(4, {"name": [3], "breed": [1]}),
    )
    yield case(
        "a delete with the first op of its chain refused",
        made_record(),
        delete(4, {"name": [3, 1], "breed": [1]}),
    )
    yield case("a live child keeps a deleted record", made_record(), gone, has_live_children=True)
    yield case("a live child and an unseen edit", made_record(), edit, gone, has_live_children=True)
    yield case(
        "a live child without a delete changes nothing", made_record(), has_live_children=True
    )
    yield case(
        "a delete repeated by both people", made_record(), gone, delete(4, SAW_ALL, by=CALLUM)
    )


def orders() -> Iterator[Case]:
    ops = [
        made_record(),
        op(2, {"name": "B"}, seen={"name": [1]}),
        op(3, {"name": "C"}, seen={"name": [1]}, by=CALLUM),
        delete(4, {"name": [3], "breed": [1]}),
    ]
    for number, order in enumerate(permutations(ops)):
        if number % 4 == 0:
            yield case(f"the same four ops in order {number}", *order)
