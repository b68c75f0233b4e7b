"""Walks of three phones that write, delete, refuse and repeat in any order, checked at the end.

Each walk is made by its seed. Whatever the order and the batches, every record is the fold of its
applied operations, the same for every device, and no value is lost that nobody had seen.
"""

import random
from typing import Any

import pytest

from household.sync.fold import FoldOp, fold, heads_of
from household.sync.models import Op, Record
from tests.household.conftest import LOT, NOW, Phone, dog_values

pytestmark = pytest.mark.django_db
AT = "2026-11-25T08:00:00Z"
NAMES = ["Tansy", "Morag", "Pascoe", ""]  # The last is refused.


class Walk:
    def __init__(self, phones: list[Phone], seed: int) -> None:
        self.phones, self.random = phones, random.Random(seed)
        self.ops: list[dict[str, Any]] = []
        self.records: list[dict[str, Any]] = []

    def write(self) -> None:
        """One phone writes one operation with some view of what is there."""
        phone = self.random.choice(self.phones)
        occurred_at = NOW + self.random.randint(-10, 10) * 60_000
        choice = self.random.random()
        if choice < 0.3 or not self.records:
            entity, values = self.random.choice([("lot", LOT), ("dog", dog_values())])
            op = phone.op(entity, dict(values), occurred_at=occurred_at)
            self.records.append(op)
        elif choice < 0.5 and any(each["entity"] == "lot" for each in self.records):
            lot = self.random.choice([each for each in self.records if each["entity"] == "lot"])
            movement = {"of": lot["rid"], "what": "stored", "mass_g": 100, "at": AT}
            op = phone.op("movement", movement, occurred_at=occurred_at)
            self.records.append(op)
        else:
            op = self.change(phone, self.random.choice(self.records), occurred_at)
        self.ops.append(op)

    def change(self, phone: Phone, made: dict[str, Any], occurred_at: int) -> dict[str, Any]:
        """An edit, a delete or an undelete that has seen some of the earlier operations."""
        earlier = [each for each in self.ops if each["rid"] == made["rid"]]
        seen = {
            register: self.random.sample(ids, self.random.randint(0, len(ids)))
            for register in ("name", "note", "deleted", *made["set"])
            if (ids := [each["op_id"] for each in earlier if register in each["set"]])
        }
        values: dict[str, Any] = {"deleted": self.random.random() < 0.7}
        if self.random.random() < 0.5:
            register = "name" if made["entity"] == "dog" else "note"
            values = {register: self.random.choice(NAMES)}
        return phone.op(
            made["entity"], values, rid=made["rid"], new=False, seen=seen, occurred_at=occurred_at
        )

    def push_all(self) -> None:
        """Push everything shuffled and cut anywhere, some of it twice, until nothing waits."""
        left = self.ops + self.random.sample(self.ops, len(self.ops) // 3)
        self.random.shuffle(left)
        for _ in range(10):
            waiting = []
            while left:
                size = self.random.randint(1, 6)
                batch, left = left[:size], left[size:]
                phone = self.random.choice(self.phones)
                for op, result in zip(batch, phone.results(*batch), strict=True):
                    if result["status"] == "wait":
                        waiting.append(op)
            left = waiting
        assert not left


def as_fold_op(entry: Op, sent: dict[str, Any]) -> FoldOp:
    assert entry.occurred_at is not None
    return FoldOp(
        op_id=sent["op_id"],
        author=sent["author"],
        at=min(entry.occurred_at, entry.received_at),
        set=sent["set"],
        seen=sent["seen"],
        new=sent["new"],
    )


@pytest.mark.parametrize("seed", range(12))
def test_every_walk_ends_in_the_fold_of_its_operations(
    seed: int, ines: Phone, callum: Phone
) -> None:
    walk = Walk([ines, callum], seed)
    for _ in range(30):
        walk.write()
    walk.push_all()
    sent = {op["op_id"]: op for op in walk.ops}
    entries = {str(entry.op_id): entry for entry in Op.objects.all()}
    assert set(entries) == set(sent)  # Everything is in the log, once.
    rows = ines.pull()
    ines.forget()
    assert ines.pull(limit=3) == rows == Phone(callum.client, callum.member).pull()
    living = {row["owner"] for row in rows.values() if not row["gone"]}
    for rid, row in rows.items():
        ops = [
            as_fold_op(entry, sent[op_id])
            for op_id, entry in entries.items()
            if entry.applied and str(entry.rid) == rid
        ]
        expected = fold(None, ops, rid in living)
        assert {key: row[key] for key in expected} == expected
        assert_nothing_is_lost(row, ops)
    assert Record.objects.count() == len(rows)


def assert_nothing_is_lost(row: dict[str, Any], ops: list[FoldOp]) -> None:
    for op in ops:
        for register in op.set:
            others = [each for each in ops if each is not op and register in each.set]
            seen = any(op.op_id in each.seen.get(register, ()) for each in others)
            assert seen != (op.op_id in heads_of(row, register))
