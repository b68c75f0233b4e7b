"""A record folded onto its stored row is the fold of its log, in whatever order its log arrived."""

import json
from itertools import pairwise
from random import Random
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from household.sync import registry
from household.sync.arrival import MOST_AWAITED, awaited_after, heads_in
from household.sync.fold import FoldOp, Row, fold
from household.sync.models import Record
from household.sync.vectors.ops import op
from tests.household.conftest import Phone, dog_values, new_id

REGISTERS = ["name", "breed", "deleted"]


def arriving(random: Random) -> list[list[FoldOp]]:
    """Ops that have seen any others, later ones, strangers and themselves, in any order and cut."""
    numbers = random.sample(range(1, 8), random.randint(2, 7))
    ops = [_any_op(random, number) for number in numbers]
    cuts = sorted(random.sample(range(1, len(ops)), random.randint(1, len(ops) - 1)))
    return [ops[start:end] for start, end in pairwise([0, *cuts, len(ops)])]


def _any_op(random: Random, number: int) -> FoldOp:
    registers = random.sample(REGISTERS, random.randint(1, 3))
    most = random.choice([number, 9])  # Often only what was made before, as phones that are honest.
    return op(
        number,
        {each: random.random() < 0.6 if each == "deleted" else random.choice("xy")
         for each in registers},
        seen={each: [random.randint(1, most) for _ in range(random.randint(0, 3))]
              for each in random.sample(REGISTERS, random.randint(0, 3))},
        minute=random.randint(-3, 3),
        new=random.random() < 0.3,
    )  # fmt: skip


@pytest.mark.parametrize("seed", range(5))
def test_what_is_folded_onward_is_the_fold_of_the_log(seed: int) -> None:
    random = Random(seed)
    for _ in range(200):
        assert_folded_onward_like_the_log(arriving(random))


def assert_folded_onward_like_the_log(batches: list[list[FoldOp]]) -> None:
    log: list[FoldOp] = []
    row: Row | None = None
    awaited: set[str] | None = set()
    for batch in batches:
        in_log = {each.op_id for each in log}
        log += batch
        onward = (
            None if awaited is None else awaited_after(awaited, heads_in(row) if row else (), batch)
        )
        if row is not None and onward is None:
            row, awaited = fold(None, log, False), awaited_after((), (), log)
        else:
            row, awaited = fold(row, batch, False), onward and onward - in_log
        assert row == fold(None, log, False)


def test_an_op_awaited_by_an_older_one_takes_the_log() -> None:
    late, early = op(1, {"name": "a"}), op(2, {"name": "b"}, seen={"name": [1]})
    assert awaited_after((), (), [late, early]) == set()
    assert awaited_after((), (), [early]) == {late.op_id}
    assert awaited_after({late.op_id}, (), [late]) is None
    assert awaited_after((), (), [early, late]) is None


def edit(ines: Phone, made: Any, name: str, *seen: str) -> Any:
    return ines.op("dog", {"name": name}, rid=made["rid"], new=False, seen={"name": list(seen)})


@pytest.mark.django_db
def test_an_edit_reads_none_of_the_older_operations(ines: Phone) -> None:
    last = made = ines.make("dog", dog_values())
    for number in range(3):
        last = edit(ines, made, f"Tansy {number}", last["op_id"])
        with CaptureQueriesContext(connection) as captured:
            ines.push(last)
        assert not [each for each in captured if '"sync_op"."body"' in each["sql"]]
    assert ines.row(made["rid"])["values"]["name"] == "Tansy 2"


@pytest.mark.django_db
def test_what_arrives_after_an_op_that_had_seen_it_stays_replaced(ines: Phone) -> None:
    made = ines.make("dog", dog_values())
    first = edit(ines, made, "first", made["op_id"])
    second = edit(ines, made, "second", first["op_id"], made["op_id"])
    ines.push(second)
    assert Record.objects.get().awaited == first["op_id"]
    ines.push(first)
    row = ines.row(made["rid"])
    assert (row["values"]["name"], row["also"]) == ("second", {})
    ines.push(edit(ines, made, "third", second["op_id"]))
    row = ines.row(made["rid"])
    assert (row["values"]["name"], row["also"]) == ("third", {})


@pytest.mark.django_db
def test_a_refused_or_replaced_op_is_not_awaited(ines: Phone) -> None:
    made = ines.make("dog", dog_values())
    refused = edit(ines, made, "", made["op_id"])
    replaced = edit(ines, made, "a", made["op_id"])
    ines.push(refused, replaced)
    ines.push(edit(ines, made, "b", replaced["op_id"]))
    ines.push(edit(ines, made, "c", refused["op_id"], replaced["op_id"]))
    assert Record.objects.get().awaited == ""
    assert len(ines.row(made["rid"])["also"]["name"]) == 2


@pytest.mark.django_db
def test_a_record_that_waits_for_too_much_is_folded_from_the_log(ines: Phone) -> None:
    made = ines.make("dog", dog_values())
    never = [new_id() for _ in range(MOST_AWAITED + 1)]
    ines.push(edit(ines, made, "a", made["op_id"], *never))
    assert Record.objects.get().awaited is None
    ines.push(edit(ines, made, "b", made["op_id"]))
    assert len(ines.row(made["rid"])["also"]["name"]) == 2


@pytest.mark.django_db
def test_a_state_of_an_older_schema_is_folded_from_the_log(
    ines: Phone, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Its registers have the names of before; the log is upcast."""
    made = ines.make("dog", dog_values())

    def rename(old: dict[str, Any]) -> dict[str, Any]:
        return {**json.loads(json.dumps(old).replace('"breed":', '"vet_notes":'))}

    monkeypatch.setattr(registry, "SCHEMA", 2)
    monkeypatch.setattr(registry, "_upcasters", {1: rename})
    ines.push(edit(ines, made, "Tansy B", made["op_id"]))
    assert ines.row(made["rid"])["values"] == {"name": "Tansy B", "vet_notes": "whippet"}
