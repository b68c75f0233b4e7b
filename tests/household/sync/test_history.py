"""A record's history through the API: complete, in order, and never another household's."""

from typing import Any

import pytest
from django.utils import timezone

from household.accounts.models import Member
from household.sync import registry
from tests.household.conftest import LOT, NOW, Phone, dog_values, heads, new_id

pytestmark = pytest.mark.django_db


def history(phone: Phone, rid: str, *, expect: int = 200, **query: Any) -> Any:
    response = phone.client.get(f"{phone.base}/history/{rid}", query, headers=heads({}))
    assert response.status_code == expect, response.content
    return response.json()


def renamed(phone: Phone, rid: str, name: str, seen: str) -> dict[str, Any]:
    return phone.make("dog", {"name": name}, rid=rid, new=False, seen={"name": [seen]})


def test_it_says_who_did_what_when_the_newest_first(ines: Phone, callum: Phone) -> None:
    made = ines.make("dog", dog_values())
    edit = renamed(callum, made["rid"], "Tansy B", made["op_id"])
    reply = history(ines, made["rid"])
    assert (reply["rid"], reply["entity"], reply["more"]) == (made["rid"], "dog", False)
    assert [deed["op_id"] for deed in reply["deeds"]] == [edit["op_id"], made["op_id"]]
    newest, oldest = reply["deeds"]
    assert newest["by"] == str(callum.member.pk)
    assert (newest["set"], newest["seen"]) == ({"name": "Tansy B"}, {"name": [made["op_id"]]})
    assert (newest["new"], newest["at"]) == (False, NOW)
    assert (oldest["new"], oldest["set"]) == (True, dog_values())


def test_it_carries_the_headers_by_which_a_phone_knows_our_answers(ines: Phone) -> None:
    made = ines.make("dog", dog_values())
    response = ines.client.get(f"{ines.base}/history/{made['rid']}", headers=heads({}))
    assert response.headers["Sync-Protocol"] == "1"
    assert response.headers["X-Request-Id"] == response.json()["request_id"] == "r-1"
    assert response.headers["Cache-Control"] == "no-store"


def test_it_comes_in_pages_and_misses_none(ines: Phone) -> None:
    made = ines.make("dog", dog_values())
    last = made["op_id"]
    for number in range(4):
        last = renamed(ines, made["rid"], f"Tansy {number}", last)["op_id"]
    first = history(ines, made["rid"], limit=2)
    assert first["more"]
    second = history(ines, made["rid"], limit=2, before=first["deeds"][-1]["seq"])
    third = history(ines, made["rid"], limit=2, before=second["deeds"][-1]["seq"])
    assert not third["more"]
    names = [deed["set"]["name"] for page in (first, second, third) for deed in page["deeds"]]
    assert names == ["Tansy 3", "Tansy 2", "Tansy 1", "Tansy 0", "Tansy"]


def test_a_deleted_record_keeps_its_history(ines: Phone, callum: Phone) -> None:
    made = ines.make("dog", {"name": "Tansy"})
    seen = {"name": [made["op_id"]]}
    gone = ines.make("dog", {"deleted": True}, rid=made["rid"], new=False, seen=seen)
    callum.make(
        "dog", {"deleted": False}, rid=made["rid"], new=False, seen={"deleted": [gone["op_id"]]}
    )
    deeds = history(ines, made["rid"])["deeds"]
    assert [deed["set"].get("deleted") for deed in deeds] == [False, True, None]


def test_refused_entries_are_no_part_of_it(ines: Phone) -> None:
    made = ines.make("dog", dog_values())
    long_name = ines.op("dog", {"name": "A" * 61}, rid=made["rid"], new=False)
    assert ines.results(long_name)[0]["status"] == "rejected"
    assert len(history(ines, made["rid"])["deeds"]) == 1


def test_a_clock_that_is_ahead_counts_from_receipt(ines: Phone) -> None:
    made = ines.make("dog", dog_values(), occurred_at=NOW + 10_000_000)
    assert history(ines, made["rid"])["deeds"][0]["at"] == NOW + 1000


def test_entries_of_an_older_app_come_in_todays_words(
    ines: Phone, monkeypatch: pytest.MonkeyPatch
) -> None:
    made = ines.make("dog", {"name": "Tansy"})

    def rename(op: dict[str, Any]) -> dict[str, Any]:
        return {
            **op,
            "set": {"breed" if key == "name" else key: value for key, value in op["set"].items()},
        }

    monkeypatch.setattr(registry, "SCHEMA", 2)
    monkeypatch.setitem(registry._upcasters, 1, rename)
    assert history(ines, made["rid"])["deeds"][0]["set"] == {"breed": "Tansy"}


def test_who_sent_what_another_had_written_is_named(ines: Phone, callum: Phone) -> None:
    op = callum.op("dog", dog_values(), author=str(ines.member.pk))
    assert callum.results(op)[0]["status"] == "applied"
    (deed,) = history(ines, op["rid"])["deeds"]
    assert (deed["by"], deed["submitted_by"]) == (str(ines.member.pk), str(callum.member.pk))


def test_what_a_role_may_not_see_has_no_history_for_it(ines: Phone, sitter: Phone) -> None:
    lot = ines.make("lot", LOT)
    dog = ines.make("dog", dog_values())
    assert history(sitter, lot["rid"], expect=404) == history(sitter, new_id(), expect=404)
    assert len(history(sitter, dog["rid"])["deeds"]) == 1


def test_another_household_has_no_history_here(ines: Phone, cast: Any, phone_of: Any) -> None:
    made = ines.make("dog", dog_values())
    odile = phone_of(cast.odile)
    answer = history(odile, made["rid"], expect=404)
    assert answer["code"] == "not_found"
    assert "Tansy" not in str(answer)
    theirs = odile.client.get(f"{ines.base}/history/{made['rid']}", headers=heads({}))
    assert theirs.status_code == 404


def test_a_removed_member_reads_none(ines: Phone, callum: Phone) -> None:
    made = ines.make("dog", dog_values())
    Member.objects.filter(pk=callum.member.pk).update(removed_at=timezone.now())
    assert history(callum, made["rid"], expect=403)["code"] == "not_member"


@pytest.mark.parametrize("query", [{"limit": 0}, {"limit": 501}, {"before": -1}, {"before": "x"}])
def test_a_page_that_cannot_be_asked_for_is_explained(ines: Phone, query: Any) -> None:
    answer = history(ines, new_id(), expect=400, **query)
    assert next(iter(query)) in answer["message"]
