"""Signing up, in and out, and what a session tells the phone."""

from collections.abc import Callable
from datetime import timedelta

import pytest
from django.contrib.sessions.models import Session
from django.utils import timezone
from rest_framework.test import APIClient

from household.accounts.models import Household, Member, User
from tests.conftest import PASSWORD, Cast

pytestmark = pytest.mark.django_db
SignedIn = Callable[[Member | None], APIClient]
NEW_PERSON = {
    "name": "Maren",
    "email": "Maren@Larch-Row.example",
    "password": "nine-bowls-in-a-row",
    "time_zone": "Europe/London",
}


def test_nobody_is_signed_in_at_first(client: APIClient) -> None:
    answer = APIClient().get("/api/session")
    body = answer.json()
    assert body["user"] is None
    assert body["households"] == []
    assert body["secure"] is False
    assert len(body["csrf_token"]) > 30
    assert answer["Cache-Control"] == "no-store"


def test_sign_up_makes_a_household_and_signs_its_owner_in() -> None:
    api = APIClient()
    answer = api.post("/api/sign-up", {**NEW_PERSON, "household_name": "Mill Lane"})
    assert answer.status_code == 201, answer.json()
    assert answer.json()["user"]["email"] == "maren@larch-row.example"
    household = Household.objects.get()
    (entry,) = api.get("/api/session").json()["households"]
    assert entry == {
        "id": str(household.pk),
        "name": "Mill Lane",
        "role": "owner",
        "member_id": str(household.members.get().pk),
        "time_zone": "Europe/London",
        "units": "metric",
    }
    assert User.objects.get().password.startswith("argon2")


@pytest.mark.parametrize(
    ("change", "field", "words"),
    [
        ({"email": "no address"}, "email", "valid email address"),
        ({"password": "short"}, "password", "at least 10 characters"),
        ({"password": "maren@larch-row.example"}, "password", "too similar"),
        ({"password": "password123"}, "password", "too common"),
        ({"password": "73649174651"}, "password", "entirely numeric"),
        ({"time_zone": "Larch/Row"}, "time_zone", "Europe/London"),
        ({"name": ""}, "name", "may not be blank"),
        ({"household_name": ""}, "household_name", "may not be blank"),
    ],
)
def test_sign_up_says_which_field_is_wrong(change: dict[str, str], field: str, words: str) -> None:
    given = {**NEW_PERSON, "household_name": "Mill Lane", **change}
    answer = APIClient().post("/api/sign-up", given)
    assert answer.status_code == 400
    assert answer.json()["code"] == "invalid"
    assert words in " ".join(answer.json()["fields"][field])
    assert not User.objects.exists()
    assert not Household.objects.exists()


@pytest.mark.parametrize("extra", [{}, {"household_name": "Mill Lane", "invitation": "x"}])
def test_sign_up_needs_a_household_or_an_invitation(extra: dict[str, str]) -> None:
    answer = APIClient().post("/api/sign-up", {**NEW_PERSON, **extra})
    assert answer.status_code == 400
    assert "either household_name" in answer.json()["message"]


def test_an_address_signs_up_once_however_it_is_capitalised(cast: Cast) -> None:
    given = {**NEW_PERSON, "email": "INES@larch-row.example", "household_name": "Mill Lane"}
    answer = APIClient().post("/api/sign-up", given)
    assert answer.status_code == 400
    assert answer.json()["code"] == "email_taken"
    assert "Sign in instead" in answer.json()["fields"]["email"][0]


def test_sign_in_opens_a_long_session_whatever_the_capitals(cast: Cast) -> None:
    api = APIClient()
    given = {"email": " Ines@LARCH-ROW.example ", "password": PASSWORD}
    answer = api.post("/api/sign-in", given)
    assert answer.status_code == 200
    assert [entry["name"] for entry in answer.json()["households"]] == ["Larch Row"]
    cookie = answer.cookies["sessionid"]
    assert cookie["samesite"] == "Lax"
    assert cookie["httponly"]
    assert cookie["max-age"] == 180 * 24 * 60 * 60


def test_a_device_in_use_is_never_signed_out_by_time(cast: Cast, client_of: SignedIn) -> None:
    api = client_of(cast.ines)
    almost_over = timezone.now() + timedelta(days=3)
    Session.objects.update(expire_date=almost_over)
    renewed = api.get("/api/session")
    assert renewed.cookies["sessionid"]["max-age"] == 180 * 24 * 60 * 60
    assert Session.objects.get().expire_date > timezone.now() + timedelta(days=179)
    # Once a day is enough: reading must not write each time.
    assert "sessionid" not in api.get("/api/session").cookies


@pytest.mark.parametrize(
    "given",
    [
        {"email": "ines@larch-row.example", "password": "not-this-one"},
        {"email": "nobody@larch-row.example", "password": PASSWORD},
    ],
)
def test_sign_in_does_not_say_whether_the_address_exists(cast: Cast, given: dict[str, str]) -> None:
    answer = APIClient().post("/api/sign-in", given)
    assert answer.status_code == 400
    assert answer.json()["code"] == "wrong_credentials"
    assert "No account has this e-mail address with this password" in answer.json()["message"]


def test_signing_out_ends_the_session(cast: Cast, client_of: SignedIn) -> None:
    api = client_of(cast.ines)
    answer = api.post("/api/sign-out")
    assert answer.status_code == 200
    assert answer.json()["user"] is None
    assert not Session.objects.exists()
    refused = api.get(f"/api/households/{cast.household.pk}")
    assert refused.status_code == 403
    assert refused.json()["code"] == "not_authenticated"


def test_a_new_password_ends_the_sessions_of_other_devices(cast: Cast, client_of: SignedIn) -> None:
    here, there = client_of(cast.ines), client_of(cast.ines)
    answer = here.post("/api/password", {"current": PASSWORD, "new": "three-bowls-and-a-mat"})
    assert answer.status_code == 200
    assert here.get("/api/session").json()["user"] is not None
    assert there.get("/api/session").json()["user"] is None
    again = {"email": "ines@larch-row.example", "password": "three-bowls-and-a-mat"}
    assert APIClient().post("/api/sign-in", again).status_code == 200


def test_a_new_password_needs_the_present_one_and_must_be_good(
    cast: Cast, client_of: SignedIn
) -> None:
    api = client_of(cast.ines)
    wrong = api.post("/api/password", {"current": "guess", "new": "three-bowls-and-a-mat"})
    assert wrong.json()["code"] == "wrong_credentials"
    assert "current" in wrong.json()["fields"]
    weak = api.post("/api/password", {"current": PASSWORD, "new": "short"})
    assert weak.json()["code"] == "invalid"
    assert "new" in weak.json()["fields"]


def test_every_change_needs_the_csrf_token_also_before_signing_in(cast: Cast) -> None:
    api = APIClient(enforce_csrf_checks=True)
    given = {"email": "ines@larch-row.example", "password": PASSWORD}
    forged = api.post("/api/sign-in", given)
    assert forged.status_code == 403
    assert forged.json()["code"] == "csrf_failed"
    token = api.get("/api/session").json()["csrf_token"]
    real = api.post("/api/sign-in", given, headers={"x-csrftoken": token})
    assert real.status_code == 200
    # Signing in changes the token; the old one is of no use to whoever saw it before.
    fresh = real.json()["csrf_token"]
    assert api.post("/api/sign-out", headers={"x-csrftoken": fresh}).status_code == 200


def test_cookies_are_secure_behind_https_and_work_without_it(cast: Cast) -> None:
    given = {"email": "ines@larch-row.example", "password": PASSWORD}
    over_https = APIClient().post("/api/sign-in", given, secure=True)
    assert over_https.cookies["sessionid"]["secure"]
    assert over_https.cookies["csrftoken"]["secure"]
    assert over_https.json()["secure"] is True
    assert not APIClient().post("/api/sign-in", given).cookies["sessionid"]["secure"]
