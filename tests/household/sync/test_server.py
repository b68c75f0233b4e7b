"""What the server itself writes, and what the database refuses."""

from collections.abc import Callable
from typing import Any
from uuid import UUID, uuid4

import pytest
from django.db import DataError, IntegrityError, transaction

from household.dogs.models import Dog
from household.sync.actions import Write, write_ops
from household.sync.envelope import slot_id
from household.sync.fold import DELETED
from household.sync.fold import fold as real_fold
from household.sync.instants import to_millis
from household.sync.models import Op, Record
from tests.household.conftest import NOW, Phone, dog_values

pytestmark = pytest.mark.django_db


def test_the_server_writes_through_the_log_like_everybody(ines: Phone) -> None:
    rid = uuid4()
    made = write_ops(ines.member.household_id, [Write("dog", rid, dog_values())])
    assert made == 1
    row = ines.row(str(rid))
    assert (row["made_by"], row["values"]["name"]) == ("server", "Tansy")
    assert Dog.objects.get(pk=rid).made_by == "server"
    assert Op.objects.get().device_id == "server"


def test_the_server_repeats_itself_without_an_operation(ines: Phone) -> None:
    rid = slot_id("summary", ines.member.household_id, "dog", "2026-W47")
    assert rid == slot_id("summary", ines.member.household_id, "dog", "2026-W47")
    assert rid.version == 8
    write = Write("dog", rid, dog_values())
    assert [write_ops(ines.member.household_id, [write]) for _ in range(2)] == [1, 0]
    changed = Write("dog", rid, dog_values(name="Tansy B"))
    assert write_ops(ines.member.household_id, [changed]) == 1
    row = ines.row(str(rid))
    assert (row["values"]["name"], row["also"]) == ("Tansy B", {})
    assert list(Op.objects.values_list("n", flat=True).order_by("seq")) == [1, 2]


def test_the_server_deletes_what_it_sees(ines: Phone) -> None:
    op = ines.make("dog", dog_values())
    write_ops(ines.member.household_id, [Write("dog", UUID(op["rid"]), {DELETED: True})])
    assert ines.row(op["rid"])["gone"] is True


def test_the_servers_own_mistake_is_loud_and_leaves_nothing(ines: Phone) -> None:
    with pytest.raises(ValueError, match="Adult weight 1 g is outside"):
        write_ops(
            ines.member.household_id,
            [
                Write("dog", uuid4(), dog_values()),
                Write("dog", uuid4(), dog_values(adult_weight_g=1)),
            ],
        )
    assert Op.objects.count() == 0


def bypasses() -> dict[str, Callable[[Any], Any]]:
    """Ways round the log; each gets the household's dog."""

    def second_record(dog: Dog) -> None:
        record = Record.objects.get(rid=dog.rid)
        record.pk, record.rid, record.seq = None, uuid4(), 99
        record.save()

    def second_dog(dog: Dog) -> None:
        dog.rid = uuid4()
        dog.save(force_insert=True)

    def late_entry(dog: Dog) -> None:
        entry = Op.objects.get()
        entry.pk, entry.op_id, entry.seq = None, uuid4(), 99
        entry.save()

    return {
        "a typed row changed": lambda dog: Dog.objects.update(name="Other"),
        "a typed row saved": lambda dog: dog.save(),
        "a typed row added": second_dog,
        "a row state without an entry": second_record,
        "a row state set back": lambda dog: Record.objects.update(seq=0),
        "an entry with a number nobody handed out": late_entry,
        "an entry changed": lambda dog: Op.objects.update(author="other"),
        "an entry twice on a seq": lambda dog: _copy(Op.objects.get(), op_id=uuid4()),
        "an op_id twice": lambda dog: _copy(Op.objects.get(), seq=0),
    }


def _copy(entry: Op, **changes: Any) -> None:
    entry.pk = None
    for name, value in changes.items():
        setattr(entry, name, value)
    entry.save()


@pytest.mark.parametrize("way", bypasses())
def test_fault_39_a_write_that_bypasses_the_log_is_refused(ines: Phone, way: str) -> None:
    op = ines.make("dog", dog_values())
    with pytest.raises(IntegrityError), transaction.atomic():
        bypasses()[way](Dog.objects.get(pk=op["rid"]))
    assert ines.row(op["rid"])["values"]["name"] == "Tansy"


def test_a_value_the_database_cannot_hold_is_refused_alone(
    ines: Phone, monkeypatch: pytest.MonkeyPatch
) -> None:
    """No declared limit lets one through; a change of declaration might."""

    def fold(base: Any, ops: Any, live: bool) -> Any:
        row = real_fold(base, ops, live)
        if row["values"].get("name") == "too much":
            raise DataError("numeric value out of range")
        return row

    monkeypatch.setattr("household.sync.refold.fold", fold)
    good, bad, last = (ines.op("dog", dog_values(name=name)) for name in ("a", "too much", "b"))
    results = ines.results(good, bad, last)
    assert [each["status"] for each in results] == ["applied", "rejected", "applied"]
    assert results[1]["message"].startswith("The database cannot hold a value of this entry.")
    assert ines.results(good, bad, last) == results
    assert Dog.objects.count() == 2


def test_typed_rows_say_when_and_by_whom(ines: Phone, callum: Phone) -> None:
    op = ines.make("dog", dog_values())
    callum.make(
        "dog", {"name": "T"}, rid=op["rid"], new=False, seen={"name": [op["op_id"]]},
        occurred_at=op["occurred_at"] + 5000,
    )  # fmt: skip
    dog = Dog.objects.get()
    assert (dog.made_by, dog.op_by) == (str(ines.member.pk), str(callum.member.pk))
    assert (to_millis(dog.made_at), to_millis(dog.op_at)) == (NOW, NOW + 1000)  # At most received.
