"""Guessing is slowed down; typing correctly never is."""

import pytest
from django.contrib.auth import hashers
from rest_framework.test import APIClient

from household.accounts.throttles import (
    InvitationFailures,
    SignInFailures,
    SignInFailuresPerPerson,
    SignUps,
)
from tests.conftest import PASSWORD, Cast

pytestmark = pytest.mark.django_db
RIGHT = {"email": "ines@larch-row.example", "password": PASSWORD}
WRONG = {"email": "ines@larch-row.example", "password": "a-guess"}


@pytest.fixture(autouse=True)
def quick_hashes(monkeypatch: pytest.MonkeyPatch) -> None:
    """Failed sign-ins hash on purpose; here that only takes time."""
    monkeypatch.setattr(hashers.Argon2PasswordHasher, "time_cost", 1)
    monkeypatch.setattr(hashers.Argon2PasswordHasher, "memory_cost", 64)


def limit_to(monkeypatch: pytest.MonkeyPatch, throttle: type, attempts: int) -> None:
    monkeypatch.setattr(throttle, "rate", f"{attempts}/hour")


def test_guessing_one_persons_password_is_stopped_for_the_guesser_alone(
    cast: Cast, monkeypatch: pytest.MonkeyPatch
) -> None:
    limit_to(monkeypatch, SignInFailuresPerPerson, 3)
    api = APIClient()
    for _ in range(3):
        assert api.post("/api/sign-in", WRONG).status_code == 400
    stopped = api.post("/api/sign-in", RIGHT)
    assert stopped.status_code == 429
    assert stopped.json()["code"] == "throttled"
    assert "Try again in 60 minutes" in stopped.json()["message"]
    assert 3500 < int(stopped["Retry-After"]) <= 3600
    # The others at home still get in, and so does Ines from anywhere else.
    callum = {"email": "callum@larch-row.example", "password": PASSWORD}
    assert api.post("/api/sign-in", callum).status_code == 200
    assert api.post("/api/sign-in", RIGHT, REMOTE_ADDR="192.0.2.7").status_code == 200


def test_guessing_across_people_is_stopped_by_place(
    cast: Cast, monkeypatch: pytest.MonkeyPatch
) -> None:
    limit_to(monkeypatch, SignInFailures, 3)
    api = APIClient()
    for number in range(3):
        api.post("/api/sign-in", {"email": f"dog{number}@larch-row.example", "password": "x"})
    assert api.post("/api/sign-in", RIGHT).status_code == 429


def test_signing_in_correctly_is_never_counted(cast: Cast, monkeypatch: pytest.MonkeyPatch) -> None:
    limit_to(monkeypatch, SignInFailuresPerPerson, 2)
    for _ in range(6):
        assert APIClient().post("/api/sign-in", RIGHT).status_code == 200


def test_a_made_up_forwarding_header_does_not_reset_the_count(
    cast: Cast, monkeypatch: pytest.MonkeyPatch
) -> None:
    limit_to(monkeypatch, SignInFailuresPerPerson, 2)
    codes = [
        APIClient()
        .post("/api/sign-in", WRONG, headers={"x-forwarded-for": f"198.51.100.{number}"})
        .status_code
        for number in range(3)
    ]
    assert codes == [400, 400, 429]


def test_guessing_invitations_is_stopped(db: None, monkeypatch: pytest.MonkeyPatch) -> None:
    limit_to(monkeypatch, InvitationFailures, 2)
    api = APIClient()
    codes = [api.get(f"/api/invitations/guess-{number}").status_code for number in range(3)]
    assert codes == [404, 404, 429]


def test_signing_up_in_a_row_is_stopped(db: None, monkeypatch: pytest.MonkeyPatch) -> None:
    limit_to(monkeypatch, SignUps, 2)
    given = {"password": "nine-bowls-in-a-row", "household_name": "Mill Lane"}
    codes = [
        APIClient()
        .post("/api/sign-up", {**given, "name": "Maren", "email": f"m{number}@mill.example"})
        .status_code
        for number in range(3)
    ]
    assert codes == [201, 201, 429]


def test_an_address_with_half_a_surrogate_pair_is_refused_like_any_other() -> None:
    broken = '{"email": "ines\\ud800@larch-row.example", "password": "x"}'
    refused = APIClient().post("/api/sign-in", broken, content_type="application/json")
    assert (refused.status_code, refused.json()["code"]) == (400, "invalid")
