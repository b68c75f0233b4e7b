"""Security headers, https at home, health, the schema, and the page about trust."""

import re
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from django.test import Client
from django.utils import timezone
from rest_framework.test import APIClient

from household.config import certificates
from household.config.models import Heartbeat
from household.config.tasks import clear_old_sessions, heartbeat
from tests.conftest import PASSWORD, Cast

pytestmark = pytest.mark.django_db
PHONE: dict[str, Any] = {
    "REMOTE_ADDR": "192.168.1.7",
    "HTTP_HOST": "192.168.1.5:8000",
    "SERVER_PORT": "8000",
}


@pytest.fixture
def home_https(settings: Any, tmp_path: Path) -> None:
    """A server on the home network that has a certificate of its own."""
    settings.HOME_HTTPS_PORT = 8443
    settings.DATA = tmp_path
    settings.ALLOWED_HOSTS = ["localhost", "127.0.0.1", "192.168.1.5"]
    store = certificates.HomeCertificates(tmp_path / "certificates")
    certificates.ensure(store, names=["localhost", "192.168.1.5"], now=timezone.now())


def test_answers_carry_the_security_headers() -> None:
    answer = APIClient().get("/api/session")
    policy = answer["Content-Security-Policy"]
    assert "default-src 'self'" in policy
    assert "script-src 'self';" in policy
    assert "frame-ancestors 'none'" in policy
    assert "unsafe-eval" not in policy
    assert answer["X-Frame-Options"] == "DENY"
    assert answer["X-Content-Type-Options"] == "nosniff"
    assert answer["Referrer-Policy"] == "same-origin"
    assert "camera=()" in answer["Permissions-Policy"]


def test_only_the_app_itself_may_ask_for_the_camera(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "index.html").write_text("<!doctype html>")
    monkeypatch.setattr("frontend.views.APP", tmp_path)
    page = Client().get("/stores/scan")["Permissions-Policy"]
    assert "camera=(self)" in page
    assert "microphone=()" in page
    assert "camera=()" in Client().get("/admin/login/")["Permissions-Policy"]


def test_plain_http_on_the_network_leads_to_the_page_about_trust(home_https: None) -> None:
    answer = Client().get("/join/abc?x=1", **PHONE)
    assert answer.status_code == 302
    assert answer["Location"] == "/trust#/join/abc?x=1"
    refused = Client().post("/api/sign-in", {}, **PHONE)
    assert refused.status_code == 403
    assert refused.json()["code"] == "https_required"


def test_https_and_this_machine_itself_may_pass(home_https: None, cast: Cast) -> None:
    given = {"email": "ines@larch-row.example", "password": PASSWORD}
    assert APIClient().post("/api/sign-in", given, secure=True, **PHONE).status_code == 200
    here: dict[str, Any] = {"HTTP_HOST": "localhost:8000", "SERVER_PORT": "8000"}
    assert APIClient().post("/api/sign-in", given, **here).status_code == 200
    # A name that leads here does not make a stranger's request one of this machine.
    elsewhere = {**here, "REMOTE_ADDR": "192.168.1.7"}
    assert APIClient().post("/api/sign-in", given, **elsewhere).status_code == 403


def test_the_trust_page_walks_a_phone_through(home_https: None, settings: Any) -> None:
    answer = Client().get("/trust", **PHONE)
    assert answer.status_code == 200
    page = answer.content.decode()
    store = certificates.HomeCertificates(settings.DATA / "certificates")
    der = certificates.authority_der(store)
    assert der is not None
    assert certificates.fingerprint(der) in page
    assert 'data-https="https://192.168.1.5:8443"' in page
    assert "<svg" in page
    for words in ("Certificate Trust Settings", "CA certificate", "Remove Profile", "How to undo"):
        assert words in page
    assert "connect-src 'self' https://192.168.1.5:8443" in answer["Content-Security-Policy"]
    # The policy forbids scripts and styles in the page itself.
    assert "<style" not in page
    assert page.count("<script") == page.count('<script src="/static/')


def test_the_certificate_is_offered_for_installing(home_https: None) -> None:
    answer = Client().get("/trust/ca.crt", **PHONE)
    assert answer["Content-Type"] == "application/x-x509-ca-cert"
    assert "trencher-home.crt" in answer["Content-Disposition"]
    assert len(certificates.fingerprint(answer.content)) == 95


def test_the_files_of_the_trust_page_are_served(home_https: None) -> None:
    for name in ("trust.css", "trust.js"):
        assert Client().get(f"/static/config/{name}", **PHONE).status_code == 200


def test_without_a_home_certificate_there_is_nothing_to_trust() -> None:
    assert b"Nothing to set up here" in Client().get("/trust").content
    assert Client().get("/trust/ca.crt").status_code == 404


def test_health_needs_a_living_worker(settings: Any) -> None:
    never = APIClient().get("/api/health")
    assert never.status_code == 503
    assert never.json()["worker"] == "down: no worker has reported yet"
    heartbeat()
    assert APIClient().get("/api/health").json() == {
        "status": "ok",
        "database": "ok",
        "broker": "ok",
        "worker": "ok",
    }
    Heartbeat.objects.update(at=timezone.now() - timedelta(seconds=400))
    silent = APIClient().get("/api/health")
    assert silent.status_code == 503
    assert re.fullmatch(r"down: silent for 40[0-9] seconds", silent.json()["worker"])
    Heartbeat.objects.update(at=timezone.now() + timedelta(days=900))
    ahead = APIClient().get("/api/health")
    assert ahead.status_code == 503
    assert ahead.json()["worker"] == "down: it last reported by a clock that was ahead"


def test_health_notices_a_broker_that_is_away(settings: Any, tmp_path: Path) -> None:
    heartbeat()
    settings.REDIS_URL = "redis://127.0.0.1:1/0"
    away = APIClient().get("/api/health")
    assert away.status_code == 503
    assert away.json()["broker"] == "down: ConnectionError"
    settings.REDIS_URL = ""
    gone = str(tmp_path / "gone")
    settings.CELERY_BROKER_TRANSPORT_OPTIONS = {"data_folder_out": gone}
    assert "not writable" in APIClient().get("/api/health").json()["broker"]


def test_old_sessions_are_cleared(cast: Cast) -> None:
    from django.contrib.sessions.models import Session

    Session.objects.create(session_key="old", expire_date=timezone.now() - timedelta(days=1))
    Session.objects.create(session_key="new", expire_date=timezone.now() + timedelta(days=1))
    clear_old_sessions()
    assert list(Session.objects.values_list("session_key", flat=True)) == ["new"]


def test_the_schema_describes_accounts_with_names_of_their_own() -> None:
    schema = APIClient().get("/api/schema").json()
    components = schema["components"]["schemas"]
    for name in ("Session", "SignUpRequest", "HouseholdDetail", "InvitationMade", "ApiError"):
        assert name in components
    assert components["RoleEnum"]["enum"] == ["owner", "partner", "sitter"]
    assert "/api/households/{household_id}/invitations" in schema["paths"]
    assert schema["components"]["securitySchemes"]["session"]["in"] == "cookie"


def test_the_keepers_pages_ask_for_a_keeper(cast: Cast) -> None:
    client = Client()
    client.force_login(cast.ines.user)
    assert client.get("/admin/").status_code == 302
    cast.ines.user.is_staff = cast.ines.user.is_superuser = True
    cast.ines.user.save()
    for page in ("", "accounts/user/", f"accounts/user/{cast.callum.user.pk}/password/"):
        assert client.get(f"/admin/{page}").status_code == 200
    assert client.get("/admin/accounts/member/add/").status_code == 403
