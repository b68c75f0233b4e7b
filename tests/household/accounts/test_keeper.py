"""What whoever looks after the server can do for a person who has forgotten the password."""

import io

import pytest
from django.core.management import call_command
from django.test import Client
from rest_framework.test import APIClient

from household.accounts.models import User
from tests.conftest import PASSWORD, Cast

pytestmark = pytest.mark.django_db
NEW = "three-bowls-and-a-mat"


def sign_in(password: str) -> int:
    given = {"email": "callum@larch-row.example", "password": password}
    return APIClient().post("/api/sign-in", given).status_code


@pytest.mark.parametrize(
    "typed", ["callum@larch-row.example", "Callum@Larch-Row.example", " callum@larch-row.example "]
)
def test_the_keeper_sets_a_new_password_on_the_servers_command_line(
    cast: Cast, monkeypatch: pytest.MonkeyPatch, typed: str
) -> None:
    device = APIClient()
    device.force_login(cast.callum.user)
    monkeypatch.setattr("getpass.getpass", lambda prompt="": NEW)
    output = io.StringIO()
    call_command("changepassword", typed, stdout=output)
    assert "Password changed successfully" in output.getvalue()
    assert (sign_in(PASSWORD), sign_in(NEW)) == (400, 200)
    # Whoever held the old password loses the devices that were signed in with it.
    assert device.get("/api/session").json()["user"] is None


def test_the_keeper_sets_a_new_password_on_a_page(cast: Cast) -> None:
    keeper = User.objects.create_superuser("keeper@larch-row.example", PASSWORD, name="Keeper")
    client = Client()
    client.force_login(keeper)
    page = f"/admin/accounts/user/{cast.callum.user.pk}/password/"
    given = {"usable_password": "true", "password1": NEW, "password2": NEW}
    assert client.post(page, given).status_code == 302
    assert sign_in(NEW) == 200
    weak = {**given, "password1": "short", "password2": "short"}
    assert b"at least 10 characters" in client.post(page, weak).content


def test_a_keeper_is_made_by_command(db: None, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("DJANGO_SUPERUSER_PASSWORD", NEW)
    call_command(
        "createsuperuser", interactive=False, email="Keeper@larch-row.example", name="Keeper"
    )
    keeper = User.objects.get(email="keeper@larch-row.example")
    assert keeper.is_staff
    assert keeper.is_superuser
