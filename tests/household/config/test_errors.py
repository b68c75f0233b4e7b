"""Every error leaves the API in one form, with words that help."""

from collections.abc import Callable
from typing import Any

import pytest
from django.test import Client, RequestFactory
from rest_framework.exceptions import ValidationError
from rest_framework.test import APIClient

from household.accounts.models import Member
from household.config import errors
from tests.conftest import Cast

SignedIn = Callable[[Member | None], APIClient]


def assert_form(answer: Any, status: int, code: str) -> dict[str, Any]:
    assert answer.status_code == status
    assert answer["Content-Type"].startswith("application/json")
    body: dict[str, Any] = answer.json()
    assert set(body) == {"code", "message", "fields"}
    assert body["code"] == code
    assert body["message"].endswith(".")
    return body


def test_not_signed_in(db: None) -> None:
    answer = APIClient().get("/api/households/7b0e1f1e-0000-4000-8000-000000000000")
    assert_form(answer, 403, "not_authenticated")


def test_not_json(db: None) -> None:
    answer = APIClient().post("/api/sign-in", "{broken", content_type="application/json")
    body = assert_form(answer, 400, "parse_error")
    assert "not valid JSON" in body["message"]


def test_json_nested_beyond_all_sense(db: None) -> None:
    nested = "[" * 100_000
    answer = APIClient().post("/api/sign-up", nested, content_type="application/json")
    assert "nested too deeply" in assert_form(answer, 400, "parse_error")["message"]


def test_half_a_surrogate_pair_is_not_said_back(cast: Cast, client_of: SignedIn) -> None:
    answer = client_of(cast.ines).post(
        f"/api/households/{cast.household.pk}/invitations",
        '{"role": "\\ud800"}',
        content_type="application/json",
    )
    assert "\ufffd" in assert_form(answer, 400, "invalid")["message"]


def test_json_of_the_wrong_shape(db: None) -> None:
    body = assert_form(APIClient().post("/api/sign-in", [1, 2]), 400, "invalid")
    assert "dictionary" in body["message"]


def test_another_media_type(db: None) -> None:
    answer = APIClient().post("/api/sign-in", "a=b", content_type="text/plain")
    assert_form(answer, 415, "unsupported_media_type")


def test_another_method(db: None) -> None:
    body = assert_form(APIClient().get("/api/sign-in"), 405, "method_not_allowed")
    assert '"GET" not allowed' in body["message"]


def test_missing_fields_are_named(db: None) -> None:
    body = assert_form(APIClient().post("/api/sign-in", {}), 400, "invalid")
    assert body["fields"] == {
        "email": ["This field is required."],
        "password": ["This field is required."],
    }
    assert "email: This field is required." in body["message"]


def test_an_unknown_address(db: None) -> None:
    assert_form(Client().get("/api/none"), 404, "not_found")


def test_too_large_a_request_is_refused_unread(db: None, settings: Any) -> None:
    settings.REQUEST_MAX_BYTES = 1000
    body = assert_form(APIClient().post("/api/sign-in", {"email": "x" * 2000}), 413, "too_large")
    assert "at most 1000" in body["message"]


def test_an_unknown_host(db: None) -> None:
    answer = Client().get("/api/session", headers={"host": "elsewhere.example"})
    assert_form(answer, 400, "bad_request")


def test_a_fault_of_ours_says_that_nothing_was_changed(
    cast: Cast, client_of: SignedIn, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("household.accounts.api.households.members_of", lambda household: 1 / 0)
    api = client_of(cast.ines)
    api.raise_request_exception = False
    body = assert_form(api.get(f"/api/households/{cast.household.pk}"), 500, "server_error")
    assert "nothing was changed" in body["message"]


def test_pages_outside_the_api_keep_their_own_form(rf: RequestFactory) -> None:
    for answer in (
        errors.bad_request(rf.get("/x"), ValueError()),
        errors.forbidden(rf.get("/x"), ValueError()),
        errors.not_found(rf.get("/x"), ValueError()),
        errors.server_error(rf.get("/x")),
    ):
        assert answer["Content-Type"].startswith("text/html")


def test_nested_messages_get_dotted_paths() -> None:

    nested = ValidationError(
        {"ops": [{}, {"set": {"mass_g": ["Too much."]}}], "days": ["Too few."]}
    )
    response = errors.handle(nested, {})
    assert response is not None
    assert response.data["fields"] == {"ops.1.set.mass_g": ["Too much."], "days": ["Too few."]}
