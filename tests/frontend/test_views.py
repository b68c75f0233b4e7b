"""What a browser needs to get before it can run the phone app offline."""

from pathlib import Path

import pytest
from django.test import Client

PLACES = [
    "/",
    "/today",
    "/counter",
    "/counter/018f0000-0000-7000-8000-000000000001",
    "/plan",
    "/plan/018f0000-0000-7000-8000-000000000001",
    "/stores",
    "/review",
    "/dogs",
    "/dogs/018f0000-0000-7000-8000-000000000001",
    "/dogs/018f0000-0000-7000-8000-000000000001/balance",
    "/waiting",
    "/household",
    "/sign-in",
    "/sign-up",
    "/join/some-token",
    "/history/018f0000-0000-7000-8000-000000000001",
    "/first-run",
]


def read(client: Client, address: str) -> bytes:
    content: bytes = client.get(address).getvalue()
    return content


@pytest.mark.parametrize("address", PLACES)
def test_every_place_answers_with_the_same_page(client: Client, built: Path, address: str) -> None:
    response = client.get(address)
    assert response.status_code == 200
    assert response["Content-Type"] == "text/html; charset=utf-8"
    assert read(client, address) == (built / "index.html").read_bytes()


@pytest.mark.parametrize("address", ["/", "/serviceworker.js", "/manifest.json"])
def test_nothing_old_is_kept_and_the_way_back_stays_open(
    client: Client, built: Path, address: str
) -> None:
    header = client.get(address)["Cache-Control"]
    assert "no-cache" in header
    assert "no-store" not in header


def test_the_page_holds_no_token_and_no_inline_script(client: Client, built: Path) -> None:
    page = read(client, "/").decode()
    assert "csrf" not in page.lower()
    assert "<script>" not in page
    assert "sessionid" not in client.get("/").cookies


def test_the_worker_is_script_at_the_root(client: Client, built: Path) -> None:
    response = client.get("/serviceworker.js")
    assert response.status_code == 200
    assert response["Content-Type"].startswith("application/javascript")


def test_unknown_addresses_are_not_the_app(client: Client) -> None:
    assert client.get("/nothing-of-ours").status_code == 404
    assert client.get("/todayish").status_code == 404


def test_the_page_only_reads(client: Client, built: Path) -> None:
    assert client.post("/today").status_code in (403, 405)


def test_an_app_that_is_not_built_says_what_to_do(
    client: Client, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr("frontend.views.APP", tmp_path)
    response = client.get("/")
    assert response.status_code == 503
    assert b"npm run build" in response.content
