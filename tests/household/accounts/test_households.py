"""A household, its members and their roles."""

import uuid
from collections.abc import Callable

import pytest
from rest_framework.test import APIClient

from household.accounts.models import Member
from tests.conftest import Cast

pytestmark = pytest.mark.django_db
SignedIn = Callable[[Member | None], APIClient]


def member_url(member: Member) -> str:
    return f"/api/households/{member.household_id}/members/{member.pk}"


def test_a_sitter_sees_the_household_and_who_belonged_to_it(
    cast: Cast, client_of: SignedIn
) -> None:
    body = client_of(cast.bettrys).get(f"/api/households/{cast.household.pk}").json()
    assert body["name"] == "Larch Row"
    assert body["role"] == "sitter"
    assert body["member_id"] == str(cast.bettrys.pk)
    people = {member["name"]: (member["role"], member["removed"]) for member in body["members"]}
    assert people == {
        "Ines": ("owner", False),
        "Callum": ("partner", False),
        "Bettrys": ("sitter", False),
        "Wilfred": ("partner", True),
    }


@pytest.mark.parametrize("method", ["get", "patch"])
def test_a_stranger_is_told_that_there_is_nothing(
    cast: Cast, client_of: SignedIn, method: str
) -> None:
    api = client_of(cast.odile)
    hers_not = getattr(api, method)(f"/api/households/{cast.household.pk}")
    nobodys = getattr(api, method)(f"/api/households/{uuid.uuid4()}")
    assert hers_not.status_code == nobodys.status_code == 404
    assert hers_not.json() == nobodys.json()


def test_a_removed_member_is_told_so(cast: Cast, client_of: SignedIn) -> None:
    answer = client_of(cast.wilfred).get(f"/api/households/{cast.household.pk}")
    assert answer.status_code == 403
    assert answer.json()["code"] == "not_member"
    assert client_of(cast.wilfred).get("/api/session").json()["households"] == []


def test_an_owner_renames_the_household_and_moves_it(cast: Cast, client_of: SignedIn) -> None:
    url = f"/api/households/{cast.household.pk}"
    body = client_of(cast.ines).patch(url, {"name": "Larch End", "time_zone": "Asia/Tokyo"}).json()
    assert (body["name"], body["time_zone"]) == ("Larch End", "Asia/Tokyo")
    refused = client_of(cast.callum).patch(url, {"name": "Callum's"})
    assert refused.status_code == 403
    assert refused.json()["code"] == "forbidden"
    for name in ("Here", "Factory", "localtime"):
        wrong = client_of(cast.ines).patch(url, {"time_zone": name})
        assert "time_zone" in wrong.json()["fields"]


def test_an_owner_gives_roles(cast: Cast, client_of: SignedIn) -> None:
    answer = client_of(cast.ines).patch(member_url(cast.bettrys), {"role": "partner"})
    assert answer.status_code == 200
    assert answer.json()["role"] == "partner"
    assert (
        client_of(cast.callum).patch(member_url(cast.bettrys), {"role": "owner"}).status_code == 403
    )
    unknown = client_of(cast.ines).patch(member_url(cast.bettrys), {"role": "cook"})
    assert "role" in unknown.json()["fields"]


def test_everybody_sets_their_own_units_and_nobody_elses(cast: Cast, client_of: SignedIn) -> None:
    answer = client_of(cast.bettrys).patch(member_url(cast.bettrys), {"units": "us"})
    assert answer.json()["units"] == "us"
    refused = client_of(cast.ines).patch(member_url(cast.callum), {"units": "us"})
    assert refused.status_code == 403
    assert "Units are personal" in refused.json()["message"]


def test_a_refused_part_of_a_change_undoes_the_rest(cast: Cast, client_of: SignedIn) -> None:
    both = {"role": "sitter", "units": "us"}
    assert client_of(cast.ines).patch(member_url(cast.callum), both).status_code == 403
    cast.callum.refresh_from_db()
    assert cast.callum.role == "partner"


def test_a_change_must_say_what_to_change(cast: Cast, client_of: SignedIn) -> None:
    answer = client_of(cast.ines).patch(member_url(cast.callum), {})
    assert answer.status_code == 400
    assert "give role or units" in answer.json()["message"]


def test_the_last_owner_can_neither_leave_nor_step_down(cast: Cast, client_of: SignedIn) -> None:
    api = client_of(cast.ines)
    for answer in (
        api.delete(member_url(cast.ines)),
        api.patch(member_url(cast.ines), {"role": "partner"}),
    ):
        assert answer.status_code == 409
        assert answer.json()["code"] == "last_owner"
        assert "Make another member an owner first" in answer.json()["message"]
    assert api.patch(member_url(cast.callum), {"role": "owner"}).status_code == 200
    assert api.delete(member_url(cast.ines)).status_code == 204
    # Wilfred is no owner, and Callum is now the only one.
    assert client_of(cast.callum).delete(member_url(cast.callum)).status_code == 409


def test_a_removed_owner_does_not_count_as_another_owner(cast: Cast, client_of: SignedIn) -> None:
    cast.wilfred.role = "owner"
    cast.wilfred.save()
    assert client_of(cast.ines).delete(member_url(cast.ines)).status_code == 409


def test_an_owner_removes_and_a_member_leaves(cast: Cast, client_of: SignedIn) -> None:
    assert client_of(cast.callum).delete(member_url(cast.bettrys)).status_code == 403
    assert client_of(cast.ines).delete(member_url(cast.bettrys)).status_code == 204
    again = client_of(cast.ines).delete(member_url(cast.bettrys))
    assert again.status_code == 404
    assert "no longer belongs to the household" in again.json()["message"]
    assert client_of(cast.callum).delete(member_url(cast.callum)).status_code == 204
    gone = client_of(cast.callum).get(f"/api/households/{cast.household.pk}")
    assert gone.json()["code"] == "not_member"


def test_a_member_of_another_household_cannot_be_touched(cast: Cast, client_of: SignedIn) -> None:
    foreign = f"/api/households/{cast.household.pk}/members/{cast.odile.pk}"
    assert client_of(cast.ines).delete(foreign).status_code == 404
    assert client_of(cast.ines).patch(foreign, {"role": "sitter"}).status_code == 404


def test_a_person_can_begin_another_household(cast: Cast, client_of: SignedIn) -> None:
    answer = client_of(cast.wilfred).post("/api/households", {"name": "The Annexe"})
    assert answer.status_code == 201
    (entry,) = answer.json()["households"]
    assert (entry["name"], entry["role"], entry["time_zone"]) == ("The Annexe", "owner", "UTC")
