"""The page about trust and the strict policy, in a real browser against a real server."""

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page

from household.config.addresses import lan_addresses
from tests.household.config.serving import Served, eventually, get, served


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    with served(tmp_path_factory.mktemp("data")) as server:
        yield server


def phone_address() -> str:
    """This machine as a phone sees it; without any network, only this machine sees itself."""
    addresses = [address for address in lan_addresses() if ":" not in address]
    return addresses[0] if addresses else "127.0.0.1"


def complaints(page: Page) -> list[str]:
    """What the page is refused, as it happens."""
    found: list[str] = []
    page.on("console", lambda line: found.append(line.text) if line.type == "error" else None)
    page.on("pageerror", lambda error: found.append(str(error)))
    return found


def test_a_phone_that_does_not_trust_yet_stays_and_learns_how(
    server: Served, browser: Browser
) -> None:
    page = browser.new_page()
    page.goto(f"http://{phone_address()}:{server.port}/trust#/join/abc")
    link = page.get_by_role("link", name="Open Trencher")
    assert link.get_attribute("href") == (f"https://{phone_address()}:{server.https_port}/join/abc")
    page.wait_for_timeout(500)
    assert page.url.endswith("/trust#/join/abc")
    assert page.get_by_role("status").inner_text() == ""
    page.context.close()


def test_a_phone_that_trusts_goes_straight_on(server: Served, browser: Browser) -> None:
    # Stands for a phone with the certificate installed; OpenSSL verifies it in another test.
    context = browser.new_context(ignore_https_errors=True)
    page = context.new_page()
    page.goto(f"http://{phone_address()}:{server.port}/trust#/join/abc")
    page.wait_for_url(f"https://{phone_address()}:{server.https_port}/join/abc")
    context.close()


def test_what_stands_after_the_hash_cannot_lead_elsewhere(server: Served, browser: Browser) -> None:
    page = browser.new_page()
    for trick in ("//elsewhere.example", "@elsewhere.example", "javascript:alert(1)"):
        page.goto(f"http://{phone_address()}:{server.port}/trust#{trick}")
        page.reload()
        href = page.get_by_role("link", name="Open Trencher").get_attribute("href")
        assert href == f"https://{phone_address()}:{server.https_port}/"
    page.context.close()


@pytest.mark.parametrize("path", ["/trust", "/"])
def test_the_policy_refuses_nothing_that_the_pages_need(
    server: Served, browser: Browser, path: str
) -> None:
    assert eventually(lambda: get(f"http://localhost:{server.port}/")[0] == 200)
    context = browser.new_context(ignore_https_errors=True)
    page = context.new_page()
    refused = complaints(page)
    page.goto(f"http://localhost:{server.port}{path}")
    page.wait_for_timeout(1000)
    assert [line for line in refused if "Content Security Policy" in line] == []
    assert page.locator("body").inner_text().strip()
    context.close()
