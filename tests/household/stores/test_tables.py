"""The published tables as the phone fetches them."""

from typing import Any

import pytest
from django.test import Client

from nutrition.tables import as_json
from tests.household.conftest import Phone

pytestmark = pytest.mark.django_db
ADDRESS = "/api/nutrition/tables"


def test_the_tables_come_whole_and_then_only_when_changed(ines: Phone) -> None:
    first = ines.client.get(ADDRESS)
    assert first.status_code == 200
    assert first.json() == as_json()
    etag = first.headers["ETag"]
    assert etag.strip('W/"') == as_json()["version"]
    again = ines.client.get(ADDRESS, headers={"If-None-Match": etag})
    assert (again.status_code, again.content) == (304, b"")
    assert again.headers["ETag"] == etag
    other = ines.client.get(ADDRESS, headers={"If-None-Match": '"another"'})
    assert other.status_code == 200


def test_the_tables_are_compressed_and_stay_conditional(ines: Phone) -> None:
    zipped = ines.client.get(ADDRESS, headers={"Accept-Encoding": "gzip"})
    assert zipped.headers["Content-Encoding"] == "gzip"
    again = ines.client.get(ADDRESS, headers={"If-None-Match": zipped.headers["ETag"]})
    assert again.status_code == 304


def test_nobody_gets_them_without_signing_in(client_of: Any) -> None:
    response = client_of(None).get(ADDRESS)
    assert (response.status_code, response.json()["code"]) == (403, "not_authenticated")


def test_foods_are_found_by_what_people_call_them(ines: Phone) -> None:
    found = ines.client.get("/api/nutrition/foods", {"q": "ox heart"}).json()
    assert (found[0]["name"], found[0]["how"]) == ("Beef heart", "synonym")
    assert ines.client.get("/api/nutrition/foods", {"q": "xyzzy"}).json() == []
    assert len(ines.client.get("/api/nutrition/foods").json()) == 50


def test_the_search_is_for_those_who_are_signed_in(client: Client) -> None:
    assert client.get("/api/nutrition/foods", {"q": "liver"}).status_code == 403
