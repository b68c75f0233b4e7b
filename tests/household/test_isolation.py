"""Nobody sees another household: asked of every address there is, so that none can be forgotten."""

import re
from collections.abc import Iterator
from typing import Any
from uuid import UUID

import pytest
from django.urls import URLPattern, URLResolver, get_resolver
from django.utils import timezone

from household.accounts.models import Member
from tests.household.conftest import LOT, Phone, dog_values, heads

pytestmark = pytest.mark.django_db
METHODS = ("get", "post", "put", "patch", "delete")
SOME_ID = "018f0000-0000-7000-8000-000000000001"


def addresses(patterns: Any, prefix: str = "") -> Iterator[tuple[str, URLPattern]]:
    for pattern in patterns:
        route = prefix + str(pattern.pattern)
        if isinstance(pattern, URLResolver):
            yield from addresses(pattern.url_patterns, route)
        elif isinstance(pattern, URLPattern):
            yield route, pattern


def of_households() -> list[tuple[str, str]]:
    """Every method of every address below a household."""
    found = []
    for route, pattern in addresses(get_resolver().url_patterns):
        if route.startswith("api/households/<"):
            view: Any = getattr(pattern.callback, "view_class", None) or pattern.callback.cls  # type: ignore[attr-defined]  # DRF sets one.
            found += [(route, method) for method in METHODS if hasattr(view, method)]
    return found


def filled(route: str, household_id: UUID) -> str:
    route = route.replace("<uuid:household_id>", str(household_id))
    return "/" + re.sub(r"<(\w+:)?\w+>", SOME_ID, route)


def test_the_list_of_addresses_is_not_empty() -> None:
    routes = {route for route, _ in of_households()}
    assert len(routes) >= 14
    for ending in ("sync/push", "sync/changes", "dogs", "batches", "meals", "lots"):
        assert f"api/households/<uuid:household_id>/{ending}" in routes


@pytest.mark.parametrize(("route", "method"), of_households())
def test_a_stranger_is_told_that_there_is_nothing(
    route: str, method: str, cast: Any, client_of: Any
) -> None:
    client = client_of(cast.odile)
    response = getattr(client, method)(
        filled(route, cast.household.pk), {}, format="json" if method != "get" else None,
        headers=heads({}),
    )  # fmt: skip
    assert response.status_code == 404, response.content
    assert response.json()["code"] == "not_found"
    assert cast.household.name not in response.content.decode()


@pytest.mark.parametrize(("route", "method"), of_households())
def test_nobody_gets_in_without_signing_in(
    route: str, method: str, cast: Any, client_of: Any
) -> None:
    response = getattr(client_of(None), method)(filled(route, cast.household.pk), headers=heads({}))
    assert (response.status_code, response.json()["code"]) == (403, "not_authenticated")


@pytest.mark.parametrize(("route", "method"), of_households())
def test_a_removed_member_is_told_so(route: str, method: str, cast: Any, client_of: Any) -> None:
    response = getattr(client_of(cast.wilfred), method)(
        filled(route, cast.household.pk), headers=heads({})
    )
    assert (response.status_code, response.json()["code"]) == (403, "not_member")


def test_ids_of_another_household_lead_nowhere(ines: Phone, cast: Any, phone_of: Any) -> None:
    """Odile asks her own household for records of Larch Row."""
    dog = ines.make("dog", dog_values())
    batch = ines.make("batch", {"method": "ground", "stage": "planned"})
    odile = phone_of(cast.odile)
    own = f"/api/households/{cast.odile.household_id}"
    for address in (
        f"{own}/dogs/{dog['rid']}",
        f"{own}/dogs/{dog['rid']}/requirement",
        f"{own}/dogs/{dog['rid']}/adequacy",
        f"{own}/batches/{batch['rid']}",
        f"{own}/batches/{batch['rid']}/adequacy",
    ):
        assert odile.client.get(address).status_code == 404
    for address in ("dogs", "batches", "meals", "lots"):
        assert odile.client.get(f"{own}/{address}").json() == []
    assert odile.pull() == {}
    waits = odile.results(
        odile.op("weighing", {"dog": dog["rid"], "at": "2026-11-25T08:00:00Z", "mass_g": 9000})
    )
    assert waits[0]["status"] == "wait"


def test_a_sitter_may_not_see_lots(ines: Phone, sitter: Phone) -> None:
    ines.make("lot", LOT)
    response = sitter.client.get(f"/api/households/{sitter.member.household_id}/lots")
    assert (response.status_code, response.json()["code"]) == (403, "forbidden")


def test_a_member_removed_between_two_calls_is_out(callum: Phone) -> None:
    Member.objects.filter(pk=callum.member.pk).update(removed_at=timezone.now())
    response = callum.client.get(f"/api/households/{callum.member.household_id}/dogs")
    assert response.status_code == 403
