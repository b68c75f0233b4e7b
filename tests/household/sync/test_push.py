"""Push through the API: one effect for each operation, whatever happens to the reply."""

from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from household.dogs.models import Dog
from household.sync import registry
from household.sync.models import Op, Record
from tests.household.conftest import LOT, NOW, Phone, dog_values, new_id

pytestmark = pytest.mark.django_db


def test_an_applied_operation_is_logged_folded_and_projected(ines: Phone) -> None:
    op = ines.op("dog", dog_values(born={"date": "2026-03-01", "estimated": True}, sex="female"))
    reply = ines.push(op)
    assert reply["results"] == [{"op_id": op["op_id"], "status": "applied", "seq": 1}]
    assert reply["mark"]["seq"] == 1
    assert reply["mark"]["role"] == "owner"
    dog = Dog.objects.get(pk=op["rid"])
    assert (dog.name, str(dog.born_date), dog.born_estimated, dog.sex) == (
        "Tansy",
        "2026-03-01",
        True,
        "female",
    )
    assert (dog.neutered, dog.adult_weight_g, dog.activity) == (None, None, "")
    row = ines.row(op["rid"])
    assert row["values"]["name"] == "Tansy"
    assert (row["op"], row["seq"], row["owner"], row["gone"]) == (op["op_id"], 1, None, False)


def test_the_reply_names_the_protocol_and_gives_the_request_id_back(ines: Phone) -> None:
    response = ines.send({"device_id": ines.device_id, "ops": [ines.op("dog", dog_values())]})
    assert response.headers["Sync-Protocol"] == "1"
    assert response.headers["X-Request-Id"] == "r-1" == response.json()["request_id"]
    refused = ines.send({"device_id": ines.device_id, "ops": []})
    assert refused.status_code == 400
    assert refused.json()["request_id"] == "r-1"
    assert refused.headers["Sync-Protocol"] == "1"


def test_fault_01_a_reply_lost_after_commit_leaves_one_effect(ines: Phone) -> None:
    ops = [ines.op("dog", dog_values()), ines.op("dog", {"name": ""})]
    first = ines.push(*ops)
    again = ines.push(*ops)
    assert again["results"] == first["results"]
    assert again["mark"] == first["mark"]
    assert [each["status"] for each in first["results"]] == ["applied", "rejected"]
    assert Op.objects.count() == 2
    assert Record.objects.count() == 1


def test_the_same_operation_twice_in_a_batch_has_one_effect(ines: Phone) -> None:
    op = ines.op("dog", dog_values())
    one, other = ines.results(op, op)
    assert one == other
    assert Op.objects.count() == 1


def test_fault_06_two_tabs_that_send_one_queue_in_other_batches_have_one_effect(
    ines: Phone,
) -> None:
    queue = [ines.op("dog", dog_values(name=name)) for name in ("a", "b", "c", "d")]
    answers = [ines.results(*batch) for batch in (queue[:2], queue, queue[2:], queue[::-1])]
    whole = answers[1]
    assert answers == [whole[:2], whole, whole[2:], whole[::-1]]
    assert list(Op.objects.order_by("seq").values_list("n", flat=True)) == [1, 2, 3, 4]
    assert Dog.objects.count() == 4


def test_fault_05_a_failure_in_the_middle_undoes_the_whole_batch(
    ines: Phone, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(*args: Any) -> None:
        raise RuntimeError("the power went")

    monkeypatch.setattr("household.sync.projection._store_kind", fail)
    ines.client.raise_request_exception = False
    ines.push(ines.op("dog", dog_values()), expect=500)
    assert (Op.objects.count(), Record.objects.count()) == (0, 0)


def test_fault_09_an_invalid_operation_does_not_stop_the_others(ines: Phone) -> None:
    good, bad, last = (
        ines.op("dog", dog_values()),
        ines.op("dog", dog_values(adult_weight_g=300_000)),
        ines.op("dog", dog_values(name="Morag")),
    )
    results = ines.results(good, bad, last)
    assert [each["status"] for each in results] == ["applied", "rejected", "applied"]
    assert results[1]["code"] == "invalid"
    assert Dog.objects.count() == 2
    assert Op.objects.get(op_id=bad["op_id"]).body  # Kept with its reason.


def test_fault_19_an_op_id_with_another_body_is_refused_and_changes_nothing(ines: Phone) -> None:
    op = ines.make("dog", dog_values())
    other = {**op, "set": dog_values(name="Pascoe")}
    (result,) = ines.results(other)
    assert (result["status"], result["code"]) == ("rejected", "op_id_reused")
    assert op["op_id"] in result["message"]
    assert ines.results(op)[0]["status"] == "applied"
    assert Dog.objects.get().name == "Tansy"


def test_fault_19_also_within_one_batch(ines: Phone) -> None:
    op = ines.op("dog", dog_values())
    results = ines.results(op, {**op, "set": dog_values(name="Pascoe")})
    assert [each["status"] for each in results] == ["applied", "rejected"]


def test_fault_20_a_child_waits_for_its_refused_parent_and_then_applies(ines: Phone) -> None:
    dog = ines.op("dog", dog_values(name=""))
    weighing = ines.op(
        "weighing", {"dog": dog["rid"], "at": "2026-11-25T08:00:00Z", "mass_g": 9000}
    )
    edit = ines.op("dog", {"breed": "lurcher"}, rid=dog["rid"], new=False)
    refused, waits, edit_waits = ines.results(dog, weighing, edit)
    assert refused["code"] == "invalid"
    assert waits == {"op_id": weighing["op_id"], "status": "wait", "rid": dog["rid"]}
    assert edit_waits["status"] == "wait"
    assert Op.objects.count() == 1  # What waits is not logged.
    again = ines.op(
        "dog", dog_values(), rid=dog["rid"], new=True, seen={"name": [dog["op_id"]], "breed": []}
    )
    assert [each["status"] for each in ines.results(again, weighing, edit)] == ["applied"] * 3
    assert Dog.objects.get().weighings.get().mass_g == 9000


def test_asking_finds_what_is_applied_after_all_with_the_same_body_only(ines: Phone) -> None:
    op = ines.make("dog", dog_values())
    refused = ines.op("dog", {"name": ""})
    ines.push(refused)
    reply = ines.push(
        ask=[
            {"op_id": op["op_id"], "hash": ines.hash(op)},
            {"op_id": refused["op_id"], "hash": ines.hash(refused)},
            {"op_id": new_id(), "hash": "0" * 64},
        ]
    )
    assert reply["asked"] == [{"op_id": op["op_id"], "status": "applied", "seq": 1}]
    assert ines.push(ask=[{"op_id": op["op_id"], "hash": "0" * 64}])["asked"] == []


def test_fault_11_a_clock_ahead_is_accepted_and_flagged(ines: Phone) -> None:
    op = ines.make("dog", dog_values(), occurred_at=NOW + 3 * 365 * 86_400_000)
    row = ines.row(op["rid"])
    assert row["flags"] == ["clock_ahead"]
    assert row["op_at"] <= Op.objects.get().received_at


def test_fault_12_a_clock_three_days_behind_does_not_lose_an_edit(ines: Phone) -> None:
    op = ines.make("dog", dog_values())
    ines.make(
        "dog",
        {"name": "Tansy B"},
        rid=op["rid"],
        new=False,
        seen={"name": [op["op_id"]]},
        occurred_at=NOW - 3 * 86_400_000,
    )
    assert ines.row(op["rid"])["values"]["name"] == "Tansy B"


def test_fault_13_a_clock_that_jumps_back_between_two_edits_loses_neither(ines: Phone) -> None:
    op = ines.make("dog", dog_values())
    change: dict[str, Any] = {"rid": op["rid"], "new": False}
    first = ines.make(
        "dog", {"name": "A"}, seen={"name": [op["op_id"]]}, occurred_at=NOW + 500, **change
    )
    ines.make(
        "dog", {"name": "B"}, seen={"name": [first["op_id"]]}, occurred_at=NOW - 7_200_000, **change
    )
    row = ines.row(op["rid"])
    assert (row["values"]["name"], row["also"]) == ("B", {})
    assert Op.objects.filter(applied=True).count() == 3


def test_fault_24_an_older_schema_is_upcast_and_its_hash_stays(
    ines: Phone, monkeypatch: pytest.MonkeyPatch
) -> None:
    op = ines.op("dog", {"called": "Tansy"})
    edit = ines.op(
        "dog", {"called": "Tansy B"}, rid=op["rid"], new=False, seen={"called": [op["op_id"]]}
    )

    def rename(old: dict[str, Any]) -> dict[str, Any]:
        renamed = {
            part: {("name" if key == "called" else key): value for key, value in old[part].items()}
            for part in ("set", "seen")
        }
        return {**old, **renamed}

    monkeypatch.setattr(registry, "SCHEMA", 2)
    monkeypatch.setattr(registry, "_upcasters", {1: rename})
    assert [each["status"] for each in ines.results(op, edit)] == ["applied", "applied"]
    assert Dog.objects.get().name == "Tansy B"
    assert ines.results(op)[0]["status"] == "applied"  # The body as sent is what was hashed.


def test_fault_25_a_server_rolled_back_pauses_a_newer_device(ines: Phone) -> None:
    response = ines.send(
        {"device_id": ines.device_id, "ops": [ines.op("dog", dog_values())]}, **{"Sync-Schema": "2"}
    )
    assert (response.status_code, response.json()["code"]) == (426, "schema_too_new")
    reply = ines.push(ines.op("dog", dog_values(), schema=2), expect=426)
    assert reply["code"] == "schema_too_new"
    assert Op.objects.count() == 0


def test_fault_38_an_export_imported_from_another_device_has_one_effect(
    ines: Phone, callum: Phone
) -> None:
    op = ines.make("dog", dog_values())
    assert callum.results(op)[0]["status"] == "applied"
    assert Op.objects.count() == 1


def test_a_record_of_another_household_is_not_touched(
    ines: Phone, cast: Any, phone_of: Any
) -> None:
    op = ines.make("dog", dog_values())
    odile = phone_of(cast.odile)
    (result,) = odile.results(odile.op("dog", dog_values(name="Mine"), rid=op["rid"], new=True))
    assert result["code"] == "invalid"
    assert Dog.objects.get().name == "Tansy"


def test_an_id_keeps_its_kind(ines: Phone) -> None:
    dog = ines.make("dog", dog_values())
    lot = ines.make("lot", LOT)
    as_lot, child_of_lot = ines.results(
        ines.op("lot", {"pack_mass_g": 600}, rid=dog["rid"], new=False),
        ines.op("weighing", {"dog": lot["rid"], "at": "2026-11-25T08:00:00Z", "mass_g": 9000}),
    )
    assert list(as_lot["fields"]) == ["rid"]
    assert "is a lot; allowed is a dog" in child_of_lot["fields"]["dog"][0]


def test_the_number_of_queries_does_not_grow_with_the_batch(ines: Phone) -> None:
    def queries(count: int) -> int:
        dog = ines.make("dog", dog_values())
        ops = [
            ines.op(
                "weighing", {"dog": dog["rid"], "at": "2026-11-25T08:00:00Z", "mass_g": 9000 + n}
            )
            for n in range(count)
        ]
        with CaptureQueriesContext(
            connection,
        ) as captured:
            ines.push(*ops)
        return len(captured)

    assert queries(60) <= queries(2) + 4
