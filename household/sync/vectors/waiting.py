"""What a phone folds: the server's row and its own waiting operations; and clocks."""

from collections.abc import Iterator
from dataclasses import replace

from household.sync.fold import fold
from household.sync.vectors.ops import (
    SAW_ALL,
    Case,
    case,
    delete,
    made_record,
    op,
    op_id,
)


def with_base() -> Iterator[Case]:
    """What a phone does: the server's row and its own operations that wait."""
    made = fold(None, [made_record()], False)
    sent = {**made, "rid": op_id(900), "entity": "dog", "owner": None, "seq": 12}
    edit = op(2, {"name": "B"}, seen={"name": [1]})
    two = fold(None, [made_record(), edit, op(3, {"name": "C"}, seen={"name": [1]})], False)
    equal = fold(
        None,
        [made_record(), edit, op(3, {"name": "B"}, seen={"name": [1]}), op(4, {"name": "D"})],
        False,
    )
    gone = fold(None, [made_record(), delete(3, SAW_ALL)], False)
    yield case("a base alone", base=made)
    yield case("a base with the keys of the wire", edit, base=sent)
    yield case("a base and a waiting edit", edit, base=made)
    yield case("a base that holds the waiting op already", edit, base=fold(made, [edit], False))
    yield case(
        "a base in conflict and a waiting resolution",
        op(4, {"name": "E"}, seen={"name": [2, 3]}),
        base=two,
    )
    yield case(
        "a base in conflict and an edit of the displayed value",
        op(4, {"name": "E"}, seen={"name": [3]}),
        base=two,
    )
    yield case(
        "a base with equal heads and an edit that saw one of them",
        op(5, {"name": "E"}, seen={"name": [2, 4]}),
        base=equal,
    )
    yield case("a base and a waiting delete", delete(3, SAW_ALL), base=made)
    yield case(
        "a deleted base and a waiting edit", op(4, {"name": "B"}, seen={"name": [1]}), base=gone
    )
    yield case(
        "a deleted base and a waiting undelete",
        op(4, {"deleted": False}, seen={"deleted": [3]}),
        base=gone,
    )
    yield case("a deleted base and a new live child", base=gone, has_live_children=True)
    yield case("a base kept by a child that is gone now", base=fold(gone, [], True))
    yield case(
        "a base and a waiting op older than it",
        op(5, {"breed": "lurcher"}, seen={"breed": [1]}, minute=-60),
        base=fold(made, [edit], False),
    )
    yield case(
        "flags of other rules are carried along",
        delete(3, {}),
        base={**made, "flags": ["negative_stock"]},
    )


def clocks() -> Iterator[Case]:
    late = replace(op(2, {"name": "B"}, seen={"name": [1]}, minute=180), clock_ahead=True)
    yield case("a clock ahead is flagged", made_record(), late)
    yield case(
        "a clock ahead decides only which value is displayed",
        made_record(),
        late,
        op(3, {"name": "C"}, seen={"name": [1]}),
    )
    yield case(
        "the flag stays when the value is replaced",
        made_record(),
        late,
        op(4, {"name": "C"}, seen={"name": [2]}),
    )
    yield case(
        "the flag stays on a base",
        op(4, {"name": "C"}, seen={"name": [2]}),
        base=fold(None, [made_record(), late], False),
    )
