"""The app itself without a network: what the worker keeps, what it never keeps, and updates."""

import json
import re
import struct
import time
import urllib.request
from typing import Any

from playwright.sync_api import expect

from tests.browser.api import Api
from tests.browser.conftest import Hold, Server
from tests.browser.fault_proxy import FaultProxy
from tests.browser.handset import SOON_MS, Handset, ask
from tests.browser.kitchen import weigh_here
from tests.browser.server_log import weighed
from tests.patience import PATIENCE_S

# Every cached address, in the order of the caches.
CACHED = """async () => {
  const found = [];
  for (const name of await caches.keys()) {
    for (const request of await (await caches.open(name)).keys()) {
      const url = new URL(request.url);
      found.push(url.pathname);
    }
  }
  return found;
}"""
HOW_OPENED = "performance.getEntriesByType('navigation')[0].type"
ANSWERS = "(path) => fetch(path).then(() => true, () => false)"
PLACES = ("today", "counter", "plan", "stores", "review")


def built_files(server: Server) -> set[str]:
    """The scripts and styles that the page of this build can ask for."""
    with urllib.request.urlopen(f"{server.url}/serviceworker.js", timeout=10) as reply:
        worker = reply.read().decode()
    return set(re.findall(r"/static/app/assets/[\w.-]+", worker))


def test_the_worker_keeps_all_of_the_app_and_nothing_of_the_api(
    ines: Api, morag: str, hold: Hold, server: Server
) -> None:
    handset = hold(ines, f"/dogs/{morag}")
    for place in PLACES:
        handset.open(f"/{place}")
        handset.sees_mark("Everything synced")
    cached = ask(handset.page, CACHED)
    assert "/" in cached
    wanted = built_files(server)
    assert len(wanted) > 20
    assert wanted <= set(cached)
    assert [path for path in cached if path.startswith("/api")] == []

    handset.cut_network()
    for path in ("/api/session", "/api/nutrition/tables", f"{ines.at_home}/dogs"):
        assert ask(handset.page, ANSWERS, path) is False


def test_every_address_opens_offline_with_its_records(ines: Api, morag: str, hold: Hold) -> None:
    batch = ines.make("batch", method="ground", number=7, stage="planned", plan=[])
    lot = ines.make("lot", food="usda-05027", pack_mass_g=500)
    titles = {
        "/dogs": "Dogs",
        f"/dogs/{morag}": "Morag",
        f"/dogs/{morag}/balance": "Morag",
        "/counter": "Counter",
        "/plan": "Plan",
        "/plan/new": "Batch 8, planned",
        f"/plan/{batch}": "Batch 7",
        "/stores": "Stores",
        f"/stores/{lot}": "Chicken liver",
        "/stores/foods": "Your own foods",
        "/household": "Larch Row",
        "/waiting": "What is waiting",
        "/first-run": "Trencher",
    }
    handset = hold(ines)
    handset.cut_network()
    for path, title in titles.items():
        handset.reopen(path)
        handset.sees_title(title)
    for path in ("/", "/today", "/review", f"/counter/{batch}"):
        handset.reopen(path)
        handset.sees_mark("Saved on this phone")
    assert [words for words in handset.complaints if "ERR_INTERNET" not in words] == []


def test_the_first_load_is_enough_to_go_on_offline(ines: Api, morag: str, hold: Hold) -> None:
    handset = hold(ines)
    # It was opened once, and has not been reloaded since.
    assert handset.page.evaluate(HOW_OPENED) == "navigate"
    handset.cut_network()
    # Screens that were never opened, in the page that installed the worker.
    tabs = handset.page.get_by_role("navigation", name="Places")
    for place in reversed(PLACES):
        tabs.get_by_role("link", name=place.title()).tap()
        expect(handset.page).to_have_url(f"{ines.url}/{place}")
        # The address changes before the screen does.
        title = "Week" if place == "review" else place.title()
        expect(handset.page).to_have_title(re.compile(f"^{title} .*Trencher"))
        handset.sees_mark("Saved on this phone")
    handset.tap(re.compile("Morag"))
    handset.tap("Weigh")
    handset.fill("Weight", "7.4")
    handset.tap("Save 7.4 kg")
    handset.waits_with(1)
    handset.restore_network()
    handset.sees_mark("Everything synced")


def get(server: Server, path: str) -> tuple[bytes, str]:
    with urllib.request.urlopen(server.url + path, timeout=10) as reply:
        return reply.read(), reply.headers["Content-Type"]


def size_of_png(image: bytes) -> str:
    assert image.startswith(b"\x89PNG")
    width, height = struct.unpack(">II", image[16:24])
    return f"{width}x{height}"


def test_the_app_can_be_put_on_the_home_screen(ines: Api, hold: Hold, server: Server) -> None:
    text, kind = get(server, "/manifest.json")
    manifest: dict[str, Any] = json.loads(text)
    assert kind == "application/manifest+json"
    assert (manifest["id"], manifest["start_url"], manifest["scope"]) == ("/", "/", "/")
    assert manifest["display"] == "standalone"
    sizes: dict[str, set[str]] = {"any": set(), "maskable": set()}
    for icon in manifest["icons"]:
        image, kind = get(server, icon["src"])
        assert kind == icon["type"]
        sizes[icon["purpose"]].add(icon["sizes"])
        if icon["type"] == "image/png":
            assert size_of_png(image) == icon["sizes"]
    assert sizes["any"] >= {"192x192", "512x512"}
    assert sizes["maskable"] >= {"192x192", "512x512"}

    handset = hold(ines)
    for shortcut in manifest["shortcuts"]:
        handset.open(shortcut["url"])
        handset.sees_mark("Everything synced")
    # The browser's own opinion; a profile made for a test counts as private browsing.
    chrome = handset.context.new_cdp_session(handset.page)
    assert chrome.send("Page.getAppManifest")["errors"] == []
    errors = chrome.send("Page.getInstallabilityErrors")["installabilityErrors"]
    assert [error for error in errors if error["errorId"] != "in-incognito"] == []


IS_WAITING = "async () => (await navigator.serviceWorker.getRegistration()).waiting !== null"


def look_for_update(handset: Handset) -> None:
    """As when somebody comes back to the app: it asks whether there is a new build.

    Again, until it does: a page that was opened just now may not listen yet.
    """
    ready = handset.page.get_by_text("A new version is ready. Entries are kept.")
    deadline = time.monotonic() + SOON_MS / 1000
    while ready.count() == 0 and time.monotonic() < deadline:
        handset.page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
        handset.page.wait_for_timeout(500)
    expect(ready).to_be_visible()


def test_fault_24_a_new_build_waits_for_a_tap_and_keeps_what_waits(
    ines: Api, morag: str, hold: Hold, proxy: FaultProxy, server: Server
) -> None:
    handset = hold(ines, f"/dogs/{morag}", url=proxy.url)
    proxy.change("/serviceworker.js", lambda worker: worker + b"\n// Another build.\n")
    unsent = proxy.answer("/sync/push", status=503, body="", headers={})
    weigh_here(handset, "7.3")
    handset.waits_with(1)
    handset.tap("Weigh")
    handset.fill("Weight", "7.4")
    handset.page.evaluate("window.isOldPage = true")
    handset.page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
    expect(handset.page.get_by_text("A new version is ready.")).to_be_attached()
    # Nothing happens to what is being typed.
    assert handset.labelled("Weight").input_value() == "7.4"
    handset.tap("Save 7.4 kg")
    handset.sheet_closes()
    handset.waits_with(2)
    assert unsent.met.wait(PATIENCE_S)
    assert handset.page.evaluate("window.isOldPage") is True
    assert ask(handset.page, IS_WAITING) is True

    with handset.page.expect_navigation():
        handset.tap("Update")
    assert handset.page.evaluate("window.isOldPage") is None
    handset.sees("Weight: 7.4 kg")
    handset.misses("A new version is ready.")
    assert ask(handset.page, IS_WAITING) is False
    proxy.heal()
    handset.open("/waiting")
    handset.tap("Try now")
    handset.sees_mark("Everything synced")
    assert sorted(weighed(server, ines)) == ines.masses() == [7300, 7400]


def test_fault_24_a_second_page_does_not_lose_its_form_when_the_first_updates(
    ines: Api, morag: str, hold: Hold, proxy: FaultProxy
) -> None:
    typing = hold(ines, f"/dogs/{morag}", url=proxy.url)
    typing.tap("Weigh")
    typing.fill("Weight", "7.4")
    other = Handset(typing.context).open("/today")
    proxy.change("/serviceworker.js", lambda worker: worker + b"\n// Another build.\n")
    look_for_update(other)
    with other.page.expect_navigation():
        other.tap("Update")
    other.sees_mark("Everything synced")
    assert typing.labelled("Weight").input_value() == "7.4"
    typing.tap("Save 7.4 kg")
    typing.sheet_closes()
    typing.sees("Weight: 7.4 kg")
    typing.sees("A new version is ready.")
