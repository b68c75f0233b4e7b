"""What all tests share: the cast, a database of their own, and counters that start at nothing.

The cast: Ines owns the household at Larch Row, Callum is its partner and Bettrys its sitter. Odile
owns another household and may see nothing of Larch Row. Wilfred used to belong and was removed.
"""

import functools
import hashlib
import os
import shutil
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from django.contrib.auth.hashers import make_password
from django.db import connections
from django.utils import timezone
from hypothesis import HealthCheck, settings
from playwright.sync_api import Browser, sync_playwright
from rest_framework.test import APIClient

from household.accounts.models import Household, Member, Role, User
from tests import services

# How long an example takes says how busy the machine is, not whether it is right.
settings.register_profile("patient", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("patient")

# Playwright's synchronous interface runs an event loop, in which Django refuses database work.
os.environ.setdefault("DJANGO_ALLOW_ASYNC_UNSAFE", "1")

# Keeps Chromium off networks it has no business with, and lets it run as root.
CHROMIUM_FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
PASSWORD = "a-kennel-of-words"  # Of people who do not exist.


@dataclass(frozen=True)
class Cast:
    """Larch Row and the people around it; `ines`, … are memberships."""

    household: Household
    ines: Member
    callum: Member
    bettrys: Member
    wilfred: Member
    odile: Member  # Her membership of another household.


@pytest.fixture(scope="session")
def django_db_modify_db_settings(
    django_db_modify_db_settings_parallel_suffix: None, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """Puts the SQLite test database in a file of its own.

    In memory, threads of a live server share one cache and meet "table is locked"; in the data
    folder, two test runs at once would delete each other's database.
    """
    connection = connections["default"]
    if connection.vendor == "sqlite":
        folder: Path = tmp_path_factory.mktemp("database")
        connection.settings_dict["TEST"]["NAME"] = str(folder / "test.sqlite3")


@pytest.fixture(autouse=True)
def empty_cache(settings: Any, request: pytest.FixtureRequest) -> None:
    """Gives every test a cache of its own, so that no throttle remembers another test."""
    # The process id keeps parallel workers apart where they share a Redis server.
    unique = hashlib.sha256(f"{os.getpid()} {request.node.nodeid}".encode()).hexdigest()
    if settings.REDIS_URL:
        settings.CACHES = {"default": {**settings.CACHES["default"], "KEY_PREFIX": unique}}
        return
    settings.CACHES = {
        "default": {
            "BACKEND": "django.core.cache.backends.locmem.LocMemCache",
            "LOCATION": unique,
        }
    }


def program(name: str) -> str:
    """The path of a program that a test needs. In CI (CI=true) a missing one is a failure."""
    return _needed(name, shutil.which(name))


def initdb() -> str:
    """The path of the program that makes a PostgreSQL database; see program()."""
    return _needed("postgresql", services.find_initdb())


def _needed(name: str, found: str | None) -> str:
    if found is not None:
        return found
    words = f"{name} is not installed, so this was not tested"
    if os.environ.get("CI") == "true":
        pytest.fail(words)
    pytest.skip(words)


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """Chromium, once a session: a second start in one process finds the loop of the first."""
    executable = program("chromium")
    with sync_playwright() as playwright:
        launched = playwright.chromium.launch(executable_path=executable, args=CHROMIUM_FLAGS)
        yield launched
        launched.close()


@functools.cache
def hashed_password() -> str:
    """The cast's password, hashed once: Argon2 is slow on purpose."""
    return make_password(PASSWORD)


def make_user(name: str) -> User:
    email = f"{name.lower()}@larch-row.example"
    return User.objects.create(email=email, name=name, password=hashed_password())


@pytest.fixture
def cast(db: None) -> Cast:
    household = Household.objects.create(name="Larch Row", time_zone="Europe/London")
    elsewhere = Household.objects.create(name="Quarry Cottage", time_zone="Europe/Paris")

    def member(name: str, role: Role, home: Household = household, **more: Any) -> Member:
        return Member.objects.create(household=home, user=make_user(name), role=role, **more)

    return Cast(
        household=household,
        ines=member("Ines", Role.OWNER),
        callum=member("Callum", Role.PARTNER),
        bettrys=member("Bettrys", Role.SITTER),
        wilfred=member("Wilfred", Role.PARTNER, removed_at=timezone.now()),
        odile=member("Odile", Role.OWNER, elsewhere),
    )


@pytest.fixture
def client_of(db: None) -> Callable[[Member | None], APIClient]:
    """An API client signed in as a member's person, or as nobody."""

    def sign_in(member: Member | None) -> APIClient:
        client = APIClient()
        if member is not None:
            client.force_login(member.user)
        return client

    return sign_in
