"""The fold: what each rule means, and that the order of arrival means nothing."""

import json
from dataclasses import replace
from itertools import permutations
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings
from hypothesis import given
from hypothesis import strategies as st

from household.sync import vectors
from household.sync.fold import FoldOp, Row, fold, heads_of, seen_of
from household.sync.management.commands import export_vectors
from household.sync.vectors.ops import op

CASES: dict[str, Any] = {case["name"]: case for case in vectors.as_json()["cases"]}


def expected(name: str) -> Row:
    row: Row = CASES[name]["expected_row"]
    return row


def test_the_exported_vectors_are_fresh() -> None:
    path = Path(settings.BASE) / export_vectors.TARGET
    assert path.read_text(encoding="utf-8") == export_vectors.rendered(), (
        "fixtures/vectors/fold.json is stale: run manage.py export_vectors"
    )
    assert len(CASES) >= 60


@pytest.mark.parametrize(
    "case", json.loads(export_vectors.rendered())["cases"], ids=lambda c: c["name"]
)
def test_a_vector_read_back_folds_to_its_row(case: dict[str, Any]) -> None:
    ops = [FoldOp(**each) for each in case["ops"]]
    assert fold(case["base"], ops, case["has_live_children"]) == case["expected_row"]


@pytest.mark.parametrize(
    ("name", "value", "alternatives"),
    [
        ("an edit of what was seen replaces it", "Tansy B", []),
        ("a slow clock does not lose an edit of a seen value", "T", []),
        ("a chain whose middle has the latest clock", "C", []),
        ("two edits of the same value stand side by side", "C", ["C", "B"]),
        ("the later time is displayed", "B", ["B", "C"]),
        ("at the same time the greater id is displayed", "C", ["C", "B"]),
        ("an edit that saw nothing stands beside the first value", "B", ["B", "Tansy"]),
        ("resolving lists all heads", "C", []),
        ("a plain edit of the displayed value leaves the alternative", "D", ["D", "B"]),
        ("equal values show as one", "B", []),
        ("two equal and one different", "D", ["D", "B"]),
        ("a chain whose first op was refused", "C", []),
        ("a chain that names only its refused predecessor", "C", ["C", "Tansy"]),
        ("a chain against another phone's edit", "Z", ["Z", "C"]),
        ("a clock ahead decides only which value is displayed", "B", ["B", "C"]),
        ("ops forged to have seen each other are both heads", "C", ["C", "B", "Tansy"]),
    ],
)
def test_what_is_displayed_and_what_stands_beside_it(
    name: str, value: str, alternatives: list[str]
) -> None:
    row = expected(name)
    assert row["values"]["name"] == value
    assert [other["value"] for other in row["also"].get("name", [])] == alternatives


@pytest.mark.parametrize(
    ("name", "gone", "flags"),
    [
        ("a delete that saw everything", True, []),
        ("a delete that saw nothing", False, ["deleted_but_changed"]),
        ("a delete that missed an edit", False, ["deleted_but_changed"]),
        ("an edit made after the delete", False, ["deleted_but_changed"]),
        ("deleted again after seeing the edit", True, []),
        ("two deletes that together saw everything", True, []),
        ("undelete of a seen delete", False, []),
        ("undelete beside an unseen delete", False, ["deleted_but_changed"]),
        ("a delete that also sets a note has seen its own note", True, []),
        ("a delete saw one side of a conflict", False, ["deleted_but_changed"]),
        ("a delete with the first op of its chain refused", True, []),
        ("a live child keeps a deleted record", False, ["deleted_but_has_children"]),
        ("a base kept by a child that is gone now", True, []),
        (
            "flags of other rules are carried along",
            False,
            ["deleted_but_changed", "negative_stock"],
        ),
        ("a clock ahead is flagged", False, ["clock_ahead"]),
        ("the flag stays when the value is replaced", False, ["clock_ahead"]),
    ],
)
def test_whether_a_record_is_gone_and_why_not(name: str, gone: bool, flags: list[str]) -> None:
    row = expected(name)
    assert (row["gone"], row["flags"]) == (gone, flags)


def test_heads_are_listed_only_where_they_are_not_the_latest_op() -> None:
    row = expected("one op makes a record")
    assert row["heads"] == {}
    assert heads_of(row, "name") == [row["op"]]
    assert heads_of(row, "never_set") == []


def test_seeing_all_heads_of_all_registers_makes_a_delete_hold() -> None:
    row = expected("two conflicts in one record")
    last = FoldOp("ffffffff", "x", row["op_at"] + 1, {"deleted": True}, seen_of(row))
    assert fold(row, [last], False)["gone"]


def test_no_operation_makes_no_record() -> None:
    with pytest.raises(ValueError, match="at least one operation"):
        fold(None, [], False)


REGISTERS = ["name", "breed", "deleted"]


@st.composite
def histories(draw: st.DrawFn) -> list[FoldOp]:
    """Ops whose seen lists name earlier ones, as phones with any clock and any view make them."""
    ops = []
    for number in range(1, draw(st.integers(1, 6)) + 1):
        registers = draw(st.lists(st.sampled_from(REGISTERS), min_size=1, unique=True))
        earlier = st.lists(st.integers(1, max(1, number - 1)), unique=True)
        ops.append(
            op(
                number,
                {
                    register: draw(
                        st.booleans() if register == "deleted" else st.sampled_from("xyz")
                    )
                    for register in registers
                },
                seen={register: draw(earlier) for register in registers if number > 1},
                minute=draw(st.integers(-5, 5)),
                new=number == 1,
            )
        )
    return ops


@given(histories(), st.booleans(), st.randoms())
def test_the_order_of_arrival_means_nothing(ops: list[FoldOp], live: bool, random: Any) -> None:
    row = fold(None, ops, live)
    shuffled = [*ops, *ops[:2]]
    random.shuffle(shuffled)
    assert fold(None, shuffled, live) == row


@given(histories(), st.booleans(), st.booleans())
def test_a_single_op_folds_as_by_the_general_rule(
    ops: list[FoldOp], ahead: bool, live: bool
) -> None:
    """The same op twice means nothing new, and goes the way of several."""
    one = replace(ops[-1], clock_ahead=ahead)
    row = fold(None, [one], live)
    assert row == fold(None, [one, one], live)
    assert list(row) == list(fold(None, [one, one], live))


@given(histories(), st.integers(0, 6))
def test_a_row_and_later_ops_fold_like_all_ops(ops: list[FoldOp], cut: int) -> None:
    """Ops that have seen only ops before the cut: the phone's base and what waits on it."""
    if cut == 0:
        return
    row = fold(None, ops, False)
    base = fold(None, ops[:cut], False)
    assert fold(base, ops[cut:], False) == row


@given(histories())
def test_no_value_is_lost_unseen(ops: list[FoldOp]) -> None:
    """Every value is in force unless an op setting its register had seen it."""
    row = fold(None, ops, False)
    for each in ops:
        for register in each.set:
            seen = any(
                register in other.set and each.op_id in other.seen.get(register, ())
                for other in ops
                if other is not each
            )
            assert seen != (each.op_id in heads_of(row, register))


def test_every_order_of_a_conflict_and_a_delete_is_the_same() -> None:
    ops = [
        op(1, {"name": "a"}, new=True),
        op(2, {"name": "b"}, seen={"name": [1]}),
        op(3, {"name": "c"}, seen={"name": [1]}),
        op(4, {"deleted": True}, seen={"name": [2, 3]}),
        op(5, {"deleted": False}, seen={"deleted": [4]}),
    ]
    rows = [json.dumps(fold(None, order, False), sort_keys=True) for order in permutations(ops)]
    assert len(set(rows)) == 1
