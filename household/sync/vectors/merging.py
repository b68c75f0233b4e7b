"""Edits, conflicts and chains of edits."""

from collections.abc import Iterator
from dataclasses import replace

from household.sync.vectors.ops import (
    CALLUM,
    MINUTE,
    NOON,
    SAW_ALL,
    Case,
    case,
    made_record,
    op,
)


def edits() -> Iterator[Case]:
    edit = op(2, {"name": "Tansy B"}, seen={"name": [1]})
    yield case("one op makes a record", made_record())
    yield case("an edit of what was seen replaces it", made_record(), edit)
    yield case(
        "an edit of another register leaves the first alone",
        made_record(),
        op(2, {"sex": "female"}),
    )
    yield case(
        "an edit sets several registers",
        made_record(),
        op(2, {"name": "T", "breed": None}, seen=SAW_ALL),
    )
    yield case(
        "different registers edited at once are both kept",
        made_record(),
        op(2, {"name": "T"}, seen={"name": [1]}),
        op(3, {"breed": "lurcher"}, seen={"breed": [1]}, by=CALLUM),
    )
    yield case(
        "a slow clock does not lose an edit of a seen value",
        made_record(),
        op(2, {"name": "T"}, seen={"name": [1]}, minute=-4320),
    )
    yield case(
        "a chain whose middle has the latest clock",
        made_record(),
        op(2, {"name": "B"}, seen={"name": [1]}, minute=500),
        op(3, {"name": "C"}, seen={"name": [2]}, minute=3),
    )
    yield case(
        "a grouped register is replaced whole",
        made_record(born={"date": "2026-03-01", "estimated": True}),
        op(2, {"born": {"date": "2026-03-04"}}, seen={"born": [1]}),
    )
    yield case("null is a value", made_record(), op(2, {"breed": None}, seen={"breed": [1]}))
    yield case("an edit without its record's first op", op(2, {"name": "T"}))
    yield case("the same op twice", made_record(), edit, edit)
    yield case(
        "made by the earliest of two creations",
        op(2, {"name": "A"}, new=True, by=CALLUM),
        op(1, {"name": "A"}, new=True),
    )


def conflicts() -> Iterator[Case]:
    two = op(2, {"name": "B"}, seen={"name": [1]})
    three = op(3, {"name": "C"}, seen={"name": [1]}, by=CALLUM)
    yield case("two edits of the same value stand side by side", made_record(), two, three)
    yield case(
        "an edit that saw nothing stands beside the first value",
        made_record(),
        op(2, {"name": "B"}),
    )
    yield case(
        "the later time is displayed", made_record(), replace(two, at=NOON + 90 * MINUTE), three
    )
    yield case(
        "at the same time the greater id is displayed",
        made_record(),
        replace(two, at=NOON),
        replace(three, at=NOON),
    )
    yield case(
        "resolving lists all heads",
        made_record(),
        two,
        three,
        op(4, {"name": "C"}, seen={"name": [2, 3]}),
    )
    yield case(
        "a plain edit of the displayed value leaves the alternative",
        made_record(),
        two,
        three,
        op(4, {"name": "D"}, seen={"name": [3]}),
    )
    yield case(
        "three values at once", made_record(), two, three, op(4, {"name": "D"}, seen={"name": [1]})
    )
    yield case("equal values show as one", made_record(), two, replace(three, set={"name": "B"}))
    yield case(
        "two equal and one different",
        made_record(),
        two,
        replace(three, set={"name": "B"}),
        op(4, {"name": "D"}, seen={"name": [1]}),
    )
    yield case(
        "the displayed value has an equal below another",
        made_record(),
        two,
        three,
        op(4, {"name": "B"}, seen={"name": [1]}),
    )
    yield case(
        "an edit saw one of two equal heads",
        made_record(),
        two,
        replace(three, set={"name": "B"}),
        op(4, {"name": "D"}, seen={"name": [3]}),
    )
    yield case(
        "one and one point nought are equal",
        made_record(bcs=4),
        op(2, {"bcs": 5}, seen={"bcs": [1]}),
        op(3, {"bcs": 5.0}, seen={"bcs": [1]}),
    )
    yield case("one and true differ", made_record(), op(2, {"x": 1}), op(3, {"x": True}))
    yield case(
        "objects are equal whatever the order of their keys",
        made_record(),
        op(2, {"left": {"g": 10, "note": "é"}}),
        op(3, {"left": {"note": "é", "g": 10}}),
    )
    yield case(
        "null stands beside a value",
        made_record(),
        op(2, {"breed": None}, seen={"breed": [1]}),
        op(3, {"breed": "lurcher"}, seen={"breed": [1]}),
    )
    yield case(
        "two conflicts in one record",
        made_record(),
        op(2, {"name": "B", "breed": "lurcher"}, seen=SAW_ALL),
        op(3, {"name": "C", "breed": "saluki"}, seen=SAW_ALL, by=CALLUM),
    )
    yield case(
        "two phones make the same record",
        op(1, {"day": "2026-11-25", "note": "a"}, new=True),
        op(2, {"day": "2026-11-25", "note": "b"}, new=True, by=CALLUM),
    )
    yield case(
        "ops forged to have seen each other are both heads",
        made_record(),
        op(2, {"name": "B"}, seen={"name": [1, 3]}),
        op(3, {"name": "C"}, seen={"name": [1, 2]}),
    )
    yield case(
        "an op that claims to have seen itself",
        made_record(),
        op(2, {"name": "B"}, seen={"name": [1, 2]}),
    )


def chains() -> Iterator[Case]:
    second = op(3, {"name": "C"}, seen={"name": [2, 1]})
    yield case(
        "a chain of own ops", made_record(), op(2, {"name": "B"}, seen={"name": [1]}), second
    )
    yield case("a chain whose first op was refused", made_record(), second)
    yield case(
        "a chain that names only its refused predecessor",
        made_record(),
        op(3, {"name": "C"}, seen={"name": [2]}),
    )
    yield case(
        "a longer chain with its middle refused",
        made_record(),
        op(2, {"name": "B"}, seen={"name": [1]}),
        op(4, {"name": "D"}, seen={"name": [3, 2, 1]}),
    )
    yield case(
        "edited and sent again after a refusal, both applied",
        made_record(),
        op(2, {"name": "B"}, seen={"name": [1]}),
        op(3, {"name": "B2"}, seen={"name": [2, 1]}),
    )
    yield case(
        "the creation refused, then made again with the same id",
        op(3, {"name": "Tansy"}, seen={"name": [1]}, new=True),
        op(4, {"sex": "female"}),
    )
    yield case(
        "a chain against another phone's edit",
        made_record(),
        op(2, {"name": "B"}, seen={"name": [1]}),
        second,
        op(4, {"name": "Z"}, seen={"name": [1]}, by=CALLUM),
    )
