"""The life of an invitation: made, passed on, used once, withdrawn or run out."""

import re
import threading
import xml.etree.ElementTree as ElementTree
from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Any

import pytest
from django.db import connection
from django.utils import timezone
from rest_framework.test import APIClient

from household.accounts import actions
from household.accounts.errors import Forbidden, InvitationUsed, LastOwner
from household.accounts.models import Invitation, Member
from tests.conftest import Cast, make_user

pytestmark = pytest.mark.django_db
SignedIn = Callable[[Member | None], APIClient]
NEW_PERSON = {"name": "Maren", "email": "maren@mill.example", "password": "nine-bowls-in-a-row"}


def invite(cast: Cast, client_of: SignedIn, role: str = "sitter") -> dict[str, Any]:
    url = f"/api/households/{cast.household.pk}/invitations"
    answer = client_of(cast.ines).post(url, {"role": role})
    assert answer.status_code == 201, answer.json()
    made: dict[str, Any] = answer.json()
    return made


def listed(cast: Cast, client_of: SignedIn) -> list[dict[str, Any]]:
    answer = client_of(cast.ines).get(f"/api/households/{cast.household.pk}/invitations")
    found: list[dict[str, Any]] = answer.json()
    return found


def test_an_invitation_is_a_link_and_a_picture_of_it(cast: Cast, client_of: SignedIn) -> None:
    made = invite(cast, client_of)
    assert made["url"] == f"http://testserver/join/{made['token']}"
    picture = ElementTree.fromstring(made["qr_svg"])
    assert picture.tag.endswith("svg")
    assert not re.search(r"<script|style=|href", made["qr_svg"])
    left = datetime.fromisoformat(made["expires_at"]) - timezone.now()
    assert timedelta(days=6, hours=23) < left <= timedelta(days=7)


def test_the_link_names_the_address_that_phones_can_reach(
    cast: Cast, client_of: SignedIn, settings: Any
) -> None:
    settings.INVITATION_BASE_URL = "https://dogs.example"
    made = invite(cast, client_of)
    assert made["url"] == f"https://dogs.example/join/{made['token']}"


def test_the_token_is_not_kept(cast: Cast, client_of: SignedIn) -> None:
    made = invite(cast, client_of)
    invitation = Invitation.objects.get()
    assert made["token"] not in str(vars(invitation))
    assert "token" not in listed(cast, client_of)[0]


def test_whoever_has_the_link_sees_what_it_offers(cast: Cast, client_of: SignedIn) -> None:
    made = invite(cast, client_of, role="partner")
    answer = APIClient().get(f"/api/invitations/{made['token']}")
    assert answer.json() == {
        "household_name": "Larch Row",
        "role": "partner",
        "invited_by": "Ines",
        "expires_at": made["expires_at"],
    }


def test_a_new_person_joins_by_signing_up(cast: Cast, client_of: SignedIn) -> None:
    made = invite(cast, client_of)
    api = APIClient()
    answer = api.post("/api/sign-up", {**NEW_PERSON, "invitation": made["token"]})
    assert answer.status_code == 201, answer.json()
    (entry,) = answer.json()["households"]
    assert (entry["name"], entry["role"]) == ("Larch Row", "sitter")
    (row,) = listed(cast, client_of)
    assert (row["state"], row["used_by"], row["made_by"]) == ("used", "Maren", "Ines")


def test_an_invitation_is_good_once(cast: Cast, client_of: SignedIn) -> None:
    made = invite(cast, client_of)
    accept = f"/api/invitations/{made['token']}/accept"
    assert client_of(cast.odile).post(accept).status_code == 200
    late = APIClient().post("/api/sign-up", {**NEW_PERSON, "invitation": made["token"]})
    assert late.status_code == 410
    assert late.json()["code"] == "invitation_used"
    assert not Member.objects.filter(user__email="maren@mill.example").exists()
    assert APIClient().get(f"/api/invitations/{made['token']}").status_code == 410


def test_who_joined_may_say_so_again_when_the_reply_was_lost(
    cast: Cast, client_of: SignedIn
) -> None:
    made = invite(cast, client_of)
    accept = f"/api/invitations/{made['token']}/accept"
    first = client_of(cast.odile).post(accept)
    again = client_of(cast.odile).post(accept)
    assert (first.status_code, again.status_code) == (200, 200)
    assert again.json()["households"] == first.json()["households"]
    assert client_of(cast.wilfred).post(accept).json()["code"] == "invitation_used"
    # Who was removed since does not come back by the link.
    member = Member.objects.get(household=cast.household, user=cast.odile.user)
    left = client_of(cast.odile).delete(f"/api/households/{cast.household.pk}/members/{member.pk}")
    assert left.status_code == 204
    assert client_of(cast.odile).post(accept).json()["code"] == "invitation_used"


def test_who_signed_up_by_a_link_is_told_to_sign_in_when_the_reply_was_lost(
    cast: Cast, client_of: SignedIn
) -> None:
    person = {**NEW_PERSON, "invitation": invite(cast, client_of)["token"]}
    assert APIClient().post("/api/sign-up", person).status_code == 201
    again = APIClient().post("/api/sign-up", person)
    assert (again.status_code, again.json()["code"]) == (400, "email_taken")
    other = APIClient().post("/api/sign-up", {**person, "email": "other@mill.example"})
    assert other.json()["code"] == "invitation_used"


def test_a_signed_in_person_joins_with_the_role_offered(cast: Cast, client_of: SignedIn) -> None:
    made = invite(cast, client_of, role="partner")
    answer = client_of(cast.odile).post(f"/api/invitations/{made['token']}/accept")
    assert {entry["name"]: entry["role"] for entry in answer.json()["households"]} == {
        "Quarry Cottage": "owner",
        "Larch Row": "partner",
    }


def test_a_past_member_takes_their_place_again(cast: Cast, client_of: SignedIn) -> None:
    made = invite(cast, client_of, role="sitter")
    answer = client_of(cast.wilfred).post(f"/api/invitations/{made['token']}/accept")
    (entry,) = answer.json()["households"]
    assert entry["member_id"] == str(cast.wilfred.pk)
    assert entry["role"] == "sitter"


def test_a_member_does_not_use_up_an_invitation(cast: Cast, client_of: SignedIn) -> None:
    made = invite(cast, client_of, role="owner")
    answer = client_of(cast.callum).post(f"/api/invitations/{made['token']}/accept")
    assert answer.status_code == 409
    assert answer.json()["code"] == "already_member"
    assert APIClient().get(f"/api/invitations/{made['token']}").status_code == 200
    cast.callum.refresh_from_db()
    assert cast.callum.role == "partner"


def test_accepting_needs_a_signed_in_person(cast: Cast, client_of: SignedIn) -> None:
    made = invite(cast, client_of)
    answer = APIClient().post(f"/api/invitations/{made['token']}/accept")
    assert answer.status_code == 403
    assert answer.json()["code"] == "not_authenticated"


def test_an_invitation_runs_out(cast: Cast, client_of: SignedIn) -> None:
    made = invite(cast, client_of)
    Invitation.objects.update(expires_at=timezone.now() - timedelta(seconds=1))
    answer = APIClient().get(f"/api/invitations/{made['token']}")
    assert answer.status_code == 410
    assert answer.json()["code"] == "invitation_expired"
    assert listed(cast, client_of)[0]["state"] == "expired"


def test_an_owner_withdraws_an_invitation(cast: Cast, client_of: SignedIn) -> None:
    made = invite(cast, client_of)
    url = f"/api/households/{cast.household.pk}/invitations/{made['id']}"
    assert client_of(cast.callum).delete(url).status_code == 403
    assert client_of(cast.odile).delete(url).status_code == 404
    assert client_of(cast.ines).delete(url).status_code == 204
    assert client_of(cast.ines).delete(url).status_code == 204
    answer = client_of(cast.odile).post(f"/api/invitations/{made['token']}/accept")
    assert answer.status_code == 410
    assert answer.json()["code"] == "invitation_withdrawn"


def test_an_owner_who_was_removed_does_not_come_back_by_their_own_link(
    cast: Cast, client_of: SignedIn
) -> None:
    made = invite(cast, client_of, role="owner")
    other = Member.objects.create(household=cast.household, user=make_user("Maren"), role="owner")
    actions.remove_member(other, member_id=cast.ines.pk, now=timezone.now())
    answer = client_of(cast.ines).post(f"/api/invitations/{made['token']}/accept")
    assert (answer.status_code, answer.json()["code"]) == (410, "invitation_withdrawn")
    cast.ines.refresh_from_db()
    assert cast.ines.is_removed


def test_a_used_invitation_cannot_be_withdrawn(cast: Cast, client_of: SignedIn) -> None:
    made = invite(cast, client_of)
    client_of(cast.odile).post(f"/api/invitations/{made['token']}/accept")
    url = f"/api/households/{cast.household.pk}/invitations/{made['id']}"
    answer = client_of(cast.ines).delete(url)
    assert answer.status_code == 409
    assert "remove the member instead" in answer.json()["message"]


def test_only_owners_invite_and_read_the_list(cast: Cast, client_of: SignedIn) -> None:
    url = f"/api/households/{cast.household.pk}/invitations"
    assert client_of(cast.callum).post(url, {"role": "owner"}).status_code == 403
    assert client_of(cast.callum).get(url).status_code == 403
    assert client_of(cast.odile).get(url).status_code == 404


def test_an_unknown_token_is_not_found(db: None) -> None:
    answer = APIClient().get("/api/invitations/none")
    assert answer.status_code == 404
    assert "Ask for the link again" in answer.json()["message"]


@pytest.mark.django_db(transaction=True)
def test_two_people_with_one_link_cannot_both_join(cast: Cast) -> None:
    made = actions.invite(cast.ines, role="sitter", now=timezone.now())
    people = [make_user("Maren"), make_user("Tobias")]
    start, outcomes = threading.Barrier(2), list[str]()

    def join(number: int) -> None:
        start.wait()
        try:
            actions.accept_invitation(people[number], token=made.token, now=timezone.now())
            outcomes.append("joined")
        except InvitationUsed:
            outcomes.append("used")
        finally:
            connection.close()

    threads = [threading.Thread(target=join, args=(number,)) for number in range(2)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(outcomes) == ["joined", "used"]


@pytest.mark.django_db(transaction=True)
def test_two_owners_cannot_demote_each_other_at_once(cast: Cast) -> None:
    Member.objects.filter(pk=cast.callum.pk).update(role="owner")
    pairs = [(cast.ines, cast.callum), (cast.callum, cast.ines)]
    start, refused = threading.Barrier(2), list[str]()

    def demote(by: Member, other: Member) -> None:
        start.wait()
        try:
            actions.change_role(by, member_id=other.pk, role="sitter")
        except (Forbidden, LastOwner) as refusal:
            refused.append(refusal.code)
        finally:
            connection.close()

    threads = [threading.Thread(target=demote, args=pair) for pair in pairs]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(refused) == 1
    assert cast.household.members.filter(role="owner", removed_at=None).count() == 1
