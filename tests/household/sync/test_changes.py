"""Pull through the API: nothing is missed, nothing is shown that the role may not see."""

from typing import Any

import pytest
from django.utils import timezone

from household.accounts.models import Member
from household.dogs.models import Dog
from household.stores.models import Lot
from household.sync.models import Op, Record
from tests.household.conftest import LOT, Phone, dog_values, new_id

pytestmark = pytest.mark.django_db
AT = "2026-11-25T08:00:00Z"


def wind_back(household: Any, seq: int) -> None:
    """Put the database back to what it was at a seq, as restoring an older backup does."""
    Op.objects.filter(household=household, seq__gt=seq).delete()
    Record.objects.filter(household=household, seq__gt=seq).delete()
    Dog.objects.filter(household=household, seq__gt=seq).delete()
    household.refresh_from_db()
    household.seq = seq
    household.save()


def test_a_pull_gives_the_newest_state_and_then_nothing_more(ines: Phone, callum: Phone) -> None:
    op = ines.make("dog", dog_values())
    edit = ines.make(
        "dog", {"name": "Tansy B"}, rid=op["rid"], new=False, seen={"name": [op["op_id"]]}
    )
    rows = callum.pull()
    assert list(rows) == [op["rid"]]
    row = rows[op["rid"]]
    assert row["values"] == {"name": "Tansy B", "breed": "whippet"}
    assert row["op"] == edit["op_id"]
    assert row["heads"]["breed"][0][0] == op["op_id"]
    assert (row["made_by"], row["also"], row["del"]) == (op["author"], {}, {})
    assert callum.pull() == {}


def test_a_row_is_the_stored_state_with_what_names_it(ines: Phone) -> None:
    dog = ines.make("dog", dog_values(name='“Tansy” \\ "B"\u2028', vet_notes="é\n🐕"))
    ines.make("weighing", {"dog": dog["rid"], "at": AT, "mass_g": 9000.5})
    rows = ines.pull()
    assert len(rows) == 2
    for record in Record.objects.all():
        assert rows[str(record.rid)] == {
            "rid": str(record.rid),
            "entity": record.entity,
            "owner": record.owner and str(record.owner),
            "seq": record.seq,
            **record.row,
        }


def test_an_empty_household_has_a_mark_that_stays_good(ines: Phone) -> None:
    assert ines.pull() == {}
    assert ines.mark == {"seq": 0, "token": "-", "role": "owner"}
    ines.make("dog", dog_values())


def test_fault_14_concurrent_edits_stand_side_by_side_on_every_device(
    ines: Phone, callum: Phone
) -> None:
    op = ines.make("dog", dog_values())
    seen = {"name": [op["op_id"]]}
    first = ines.op("dog", {"name": "A" * 61}, rid=op["rid"], new=False, seen=seen)  # Refused.
    chain = ines.op(
        "dog",
        {"name": "Tansy I"},
        rid=op["rid"],
        new=False,
        seen={"name": [first["op_id"], op["op_id"]]},
    )
    assert [each["status"] for each in ines.results(first, chain)] == ["rejected", "applied"]
    callum.make("dog", {"name": "Tansy C"}, rid=op["rid"], new=False, seen=seen)
    for phone in (ines, callum):
        row = phone.row(op["rid"])
        assert {other["value"] for other in row["also"]["name"]} == {"Tansy I", "Tansy C"}
    heads = [entry[0] for entry in row["heads"]["name"]]
    ines.make("dog", {"name": "Tansy I"}, rid=op["rid"], new=False, seen={"name": heads})
    assert callum.row(op["rid"])["also"] == {}


def test_fault_15_edits_of_different_registers_are_both_kept(ines: Phone, callum: Phone) -> None:
    op = ines.make("dog", dog_values())
    ines.make("dog", {"name": "T"}, rid=op["rid"], new=False, seen={"name": [op["op_id"]]})
    callum.make("dog", {"sex": "female"}, rid=op["rid"], new=False)
    row = ines.row(op["rid"])
    assert (row["values"]["name"], row["values"]["sex"], row["also"]) == ("T", "female", {})


def delete_of(phone: Phone, op: dict[str, Any], entity: str) -> dict[str, Any]:
    """A delete that saw the op's values."""
    seen = {register: [op["op_id"]] for register in op["set"]}
    return phone.op(entity, {"deleted": True}, rid=op["rid"], new=False, seen=seen)


@pytest.mark.parametrize("delete_first", [True, False])
def test_fault_16_an_edit_the_delete_did_not_see_survives(
    ines: Phone, callum: Phone, delete_first: bool
) -> None:
    op = ines.make("dog", dog_values())
    delete = delete_of(ines, op, "dog")
    edit = callum.op("dog", {"sex": "female"}, rid=op["rid"], new=False)
    order = [(ines, delete), (callum, edit)]
    for phone, each in order if delete_first else reversed(order):
        assert phone.results(each)[0]["status"] == "applied"
    row = callum.row(op["rid"])
    assert (row["gone"], row["flags"]) == (False, ["deleted_but_changed"])
    assert Dog.objects.get().gone is False


@pytest.mark.parametrize("delete_first", [True, False])
@pytest.mark.parametrize("in_one_push", [True, False])
def test_fault_16_a_new_child_keeps_its_deleted_owner(
    ines: Phone, callum: Phone, delete_first: bool, in_one_push: bool
) -> None:
    lot = ines.make("lot", LOT)
    delete = delete_of(ines, lot, "lot")
    child = callum.op("movement", {"of": lot["rid"], "what": "stored", "mass_g": 900, "at": AT})
    ops = [delete, child] if delete_first else [child, delete]
    if in_one_push:
        ines.results(*ops)
    else:
        for each in ops:
            ines.results(each)
    row = callum.row(lot["rid"])
    assert (row["gone"], row["flags"]) == (False, ["deleted_but_has_children"])
    assert Lot.objects.get().gone is False
    # The child deleted first, its owner's delete holds, and the owner comes with the child's seq.
    callum.pull()
    gone = ines.results(delete_of(ines, child, "movement"))[0]
    rows = callum.pull()
    assert {rid: row["gone"] for rid, row in rows.items()} == {lot["rid"]: True, child["rid"]: True}
    assert {row["seq"] for row in rows.values()} == {gone["seq"]}
    assert Lot.objects.get().gone is True


def test_a_grandchild_keeps_a_deleted_batch(ines: Phone) -> None:
    batch = ines.make("batch", {"method": "ground", "stage": "done"})
    bag = ines.make(
        "bag",
        {"batch": batch["rid"], "mass_g": 400, "count": 3, "place": "freezer", "packed_at": AT},
    )
    moved = ines.make("movement", {"of": bag["rid"], "what": "used", "mass_g": 400, "at": AT})
    ines.results(delete_of(ines, bag, "bag"), delete_of(ines, batch, "batch"))
    assert [ines.row(op["rid"])["gone"] for op in (batch, bag)] == [False, False]
    ines.results(delete_of(ines, moved, "movement"))
    assert [ines.row(op["rid"])["gone"] for op in (batch, bag)] == [True, True]


def test_fault_08_a_page_never_ends_inside_a_seq(ines: Phone, callum: Phone) -> None:
    lot = ines.make("lot", LOT)
    child = ines.make("movement", {"of": lot["rid"], "what": "stored", "mass_g": 900, "at": AT})
    ines.make("dog", dog_values())
    ines.results(delete_of(ines, lot, "lot"))
    ines.results(delete_of(ines, child, "movement"))  # Now the lot is gone too: two rows, one seq.
    pages = []
    cursor = 0
    while True:
        page = callum.page(cursor=cursor, limit=1)
        pages.append([row["seq"] for row in page["rows"]])
        cursor = page["cursor"]
        if not page["more"]:
            break
    assert pages == [[3], [5, 5]]
    assert cursor == 5


def test_the_last_cursor_is_the_newest_entry_not_the_counter(ines: Phone) -> None:
    op = ines.make("dog", dog_values())
    ines.push(op)  # A resend takes a number and logs nothing.
    assert ines.page()["cursor"] == 1
    ines.member.household.refresh_from_db()
    assert ines.member.household.seq == 2


def test_fault_32_a_restored_server_answers_410_and_takes_the_entries_again(
    ines: Phone, callum: Phone
) -> None:
    kept = ines.make("dog", dog_values())
    ines.pull()
    lost = ines.make("dog", dog_values(name="Morag"))
    wind_back(ines.member.household, 1)
    assert ines.page(expect=410)["code"] == "mark_gone"
    assert ines.push(ines.op("dog", dog_values(name="Pascoe")), expect=410)["code"] == "mark_gone"
    ines.forget()
    assert [each["status"] for each in ines.results(kept, lost)] == ["applied", "applied"]
    assert set(ines.pull()) == {kept["rid"], lost["rid"]}


def test_fault_32_an_entry_confirmed_but_not_pulled_is_not_lost(ines: Phone, callum: Phone) -> None:
    """The server is restored and written past the cursor: only the mark of the push can tell."""
    ines.make("dog", dog_values())
    ines.pull()
    callum.pull()
    lost = ines.make("dog", dog_values(name="Morag"))  # Confirmed, never pulled.
    wind_back(ines.member.household, 1)
    for name in ("Pascoe", "Bramble"):
        callum.make("dog", dog_values(name=name))
    assert ines.page(expect=410)["code"] == "mark_gone"
    ines.forget()
    ines.results(lost)
    assert {row["values"]["name"] for row in ines.pull().values()} == {
        "Tansy",
        "Morag",
        "Pascoe",
        "Bramble",
    }


def test_fault_32_a_pushed_again_op_on_its_old_seq_does_not_pass_for_the_old_log(
    ines: Phone, callum: Phone
) -> None:
    op = ines.make("dog", dog_values())
    callum.pull()
    wind_back(ines.member.household, 0)
    ines.forget()
    ines.results(op)
    assert Op.objects.get().seq == 1  # The same op on the same seq, another token.
    assert callum.page(expect=410)["code"] == "mark_gone"


def test_fault_33_a_changed_role_needs_a_full_pull_and_keeps_the_outbox(
    ines: Phone, sitter: Phone
) -> None:
    lot = ines.make("lot", LOT)
    dog = ines.make("dog", dog_values())
    assert set(sitter.pull()) == {dog["rid"]}
    Member.objects.filter(pk=sitter.member.pk).update(role="partner")
    assert sitter.page(expect=410)["fields"] == {"role": ["partner"]}
    waiting = sitter.op("lot", LOT)
    assert sitter.push(waiting, expect=410)["code"] == "mark_gone"
    sitter.forget()
    assert sitter.results(waiting)[0]["status"] == "applied"
    assert set(sitter.pull()) == {dog["rid"], lot["rid"], waiting["rid"]}


def test_fault_33_a_removed_member_pauses_and_resumes_when_invited_again(callum: Phone) -> None:
    dog = callum.make("dog", dog_values())
    assert set(callum.pull()) == {dog["rid"]}
    Member.objects.filter(pk=callum.member.pk).update(removed_at=timezone.now())
    waiting = callum.op("dog", dog_values(name="Morag"))
    assert callum.push(waiting, expect=403)["code"] == "not_member"
    assert callum.page(expect=403)["code"] == "not_member"
    assert Op.objects.count() == 1  # Nothing is refused in the log.
    Member.objects.filter(pk=callum.member.pk).update(removed_at=None)
    assert callum.results(waiting)[0]["status"] == "applied"
    assert set(callum.pull()) == {waiting["rid"]}  # The mark is still good: the role is the same.


def test_fault_21_signed_out_is_403_and_a_stranger_sees_nothing(
    ines: Phone, cast: Any, client_of: Any
) -> None:
    nobody = Phone(client_of(None), cast.ines)
    reply = nobody.push(nobody.op("dog", dog_values()), expect=403)
    assert (reply["code"], reply["request_id"]) == ("not_authenticated", "r-1")
    assert nobody.page(expect=403)["code"] == "not_authenticated"
    stranger = Phone(client_of(cast.odile), cast.ines)
    stranger.push(stranger.op("dog", dog_values()), expect=404)
    stranger.page(expect=404)
    assert Op.objects.count() == 0


def test_a_sitter_feeds_and_logs_but_plans_nothing(ines: Phone, sitter: Phone) -> None:
    dog = ines.make("dog", dog_values())
    lot = ines.make("lot", LOT)
    ines.make("movement", {"of": lot["rid"], "what": "stored", "mass_g": 900, "at": AT})
    ines.make("count", {"of": lot["rid"], "counted_g": 900, "knew": [], "at": AT})
    ines.make("duty", {"what": "shop"})
    meal = sitter.make("meal", {"day": "2026-11-25", "at": AT})
    for entity, values in (
        ("serving", {"meal": meal["rid"], "dog": dog["rid"], "offered_g": 300}),
        ("weighing", {"dog": dog["rid"], "at": AT, "mass_g": 9000}),
        ("observation", {"dog": dog["rid"], "at": AT, "topic": "stool", "word": "firm"}),
    ):
        more = {"what": {"food": "usda-1"}} if entity == "serving" else {}
        sitter.make(entity, {**values, **more})
    refused = sitter.results(
        sitter.op("dog", {"name": "Mine"}, rid=dog["rid"], new=False),
        sitter.op("lot", LOT),
        sitter.op("batch", {"method": "ground", "stage": "planned"}),
    )
    assert {each["code"] for each in refused} == {"forbidden"}
    assert refused[0]["message"] == (
        "A sitter may not write a dog; allowed is owner or partner. Ask an owner."
    )
    seen = {row["entity"] for row in Phone(sitter.client, sitter.member).pull().values()}
    assert seen == {"dog", "movement", "meal", "serving", "weighing", "observation"}


def test_a_demoted_members_entries_are_refused_one_by_one(callum: Phone) -> None:
    dog = callum.make("dog", dog_values())
    Member.objects.filter(pk=callum.member.pk).update(role="sitter")
    callum.forget()
    edit, weighing = callum.results(
        callum.op("dog", {"name": "T"}, rid=dog["rid"], new=False),
        callum.op("weighing", {"dog": dog["rid"], "at": AT, "mass_g": 9000}),
    )
    assert (edit["code"], weighing["status"]) == ("forbidden", "applied")


def test_nobody_writes_for_the_server(ines: Phone) -> None:
    dog = ines.make("dog", dog_values())
    values = {"dog": dog["rid"], "week": "2026-W47", "body": {}}
    (result,) = ines.results(ines.op("summary", values, rid=new_id(), new=True))
    assert result["code"] == "forbidden"
