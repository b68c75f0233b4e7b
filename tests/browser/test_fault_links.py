"""What stands between a phone and its server: strangers that answer, and links that break."""

import re
import threading
import time
from dataclasses import replace
from urllib.parse import parse_qs, urlsplit

import pytest

from tests.browser import kitchen
from tests.browser.api import Api
from tests.browser.conftest import Hold, Server
from tests.browser.fault_proxy import Answer, Exchange, FaultProxy, Forward
from tests.browser.handset import Handset
from tests.browser.kitchen import sees_weight, weigh, weigh_here
from tests.browser.server_log import entries, weighed
from tests.patience import PATIENCE_S

PUSH, PULL = "/sync/push", "/sync/changes"
HTML = {"Content-Type": "text/html; charset=utf-8"}
JSON = {"Content-Type": "application/json"}
LOGIN_PAGE = "<!doctype html><title>Sign in to the network</title><form><input name=user></form>"


def test_fault_21_after_the_session_has_ended_the_queue_waits_for_signing_in(
    ines: Api, callum: Api, morag: str, hold: Hold, server: Server
) -> None:
    handset = hold(ines, f"/dogs/{morag}")
    ines.ask("POST", "/api/sign-out")  # The cookie is the phone's too.
    weigh(handset, morag, "7.4")
    handset.sees("You are signed out")
    handset.sees_mark("Needs you")
    weigh(handset, morag, "7.5")
    handset.open("/waiting")
    handset.sees("Two waiting, safe on this phone")
    assert weighed(server, ines) == []

    handset.tap("Sign in")
    handset.sees("2 waiting, safe on this phone.")
    kitchen.sign_in(handset, ines.email)
    handset.sees_mark("Everything synced")
    assert weighed(server, ines) == callum.masses() == [7400, 7500]
    assert {row["made_by"] for row in callum.rows("weighing")} == {ines.member}


# What a stranger in front of every address of the API says.
NO_ANSWERS = {
    "a redirect to a login page": (302, "", {"Location": "/portal"}),
    "a login page as 200": (200, LOGIN_PAGE, HTML),
    "a login page as 403": (403, LOGIN_PAGE, HTML),
    "JSON that names no request": (200, '{"results": []}', JSON),
    "an error page of a proxy": (502, "<h1>Bad gateway</h1>", HTML),
}


@pytest.mark.parametrize("kind", NO_ANSWERS)
def test_fault_21_and_fault_36_what_is_no_answer_of_ours_is_no_receipt(
    ines: Api, morag: str, hold: Hold, proxy: FaultProxy, server: Server, kind: str
) -> None:
    status, body, headers = NO_ANSWERS[kind]
    handset = hold(ines, f"/dogs/{morag}", url=proxy.url)
    portal = proxy.answer("/api/", status=status, body=body, headers=headers)
    weigh(handset, morag, "7.4")
    assert portal.met.wait(PATIENCE_S)
    handset.waits_with(1)
    handset.open("/waiting")
    handset.tap("Try now")
    handset.sees(re.compile("^Nobody answered"))
    handset.waits_with(1)
    assert weighed(server, ines) == []

    proxy.heal()
    handset.tap("Try now")
    handset.sees_mark("Everything synced")
    assert weighed(server, ines) == ines.masses() == [7400]


def test_fault_36_a_portal_in_front_of_everything_replaces_nothing_of_the_app(
    ines: Api, morag: str, hold: Hold, proxy: FaultProxy, server: Server
) -> None:
    handset = hold(ines, f"/dogs/{morag}", url=proxy.url)
    # The app's own page, its scripts and its worker as well.
    worker = proxy.answer("/serviceworker.js", status=200, body=LOGIN_PAGE, headers=HTML)
    proxy.answer("/", status=200, body=LOGIN_PAGE, headers=HTML)
    weigh(handset, morag, "7.4")
    # As when somebody comes back to the app: it looks for a new build, and finds the portal.
    handset.page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
    deadline = time.monotonic() + PATIENCE_S
    while not worker.met.wait(0.5):
        assert time.monotonic() < deadline, "It did not look."
        handset.page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
    handset.reopen(f"/dogs/{morag}")
    sees_weight(handset, "7.4")
    handset.waits_with(1)
    handset.misses("A new version is ready.")
    handset.open("/stores").sees_title("Stores")
    assert weighed(server, ines) == []

    proxy.heal()
    handset.meet_server()
    handset.sees_mark("Everything synced")
    assert weighed(server, ines) == ines.masses() == [7400]


def cursor_of(exchange: Exchange) -> int:
    return int(parse_qs(urlsplit(exchange.path).query)["cursor"][0])


def test_fault_34_a_first_sync_cut_halfway_goes_on_where_it_stopped(
    ines: Api, morag: str, hold: Hold, proxy: FaultProxy
) -> None:
    many = []
    for k in range(150):
        at = f"2026-01-05T{6 + k // 60:02}:{k % 60:02}:00Z"
        many.append(ines.op("weighing", {"dog": morag, "at": at, "mass_g": 7000 + 10 * k}))
    ines.push(many)
    lot = ines.make("lot", food="usda-05027", pack_mass_g=500, place="freezer")
    asked: list[int] = []
    is_cut, cut = True, threading.Event()
    refused: list[float] = []

    def small_pages(exchange: Exchange, forward: Forward) -> Answer | None:
        """Forty rows a page; after two of them the link is gone."""
        if is_cut and len(asked) == 2:
            refused.append(time.monotonic())
            # While the third is asked for, the second is still being stored. The round after it,
            # a second or more later, begins only when that is done.
            if refused[-1] - refused[0] > 0.5:
                cut.set()
            return None
        asked.append(cursor_of(exchange))
        path = re.sub(r"limit=\d+", "limit=40", exchange.path)
        answer: Answer = forward(replace(exchange, path=path))
        return answer

    proxy.rule(PULL, small_pages)
    handset = hold(ines, url=proxy.url, ready=False)
    assert cut.wait(PATIENCE_S)
    handset.sees("Not all of this household’s records are here yet.")
    handset.mark_is_not("Everything synced")
    assert asked[0] == 0
    assert len(asked) == 2
    handset.crash()
    is_cut = False

    handset.reopen(f"/stores/{lot}")
    handset.sees_mark("Everything synced")
    handset.sees_title("Chicken liver")
    handset.misses("Not all of this household’s records are here yet.")
    assert asked == sorted(set(asked)), "no page twice, and never from the beginning again"
    assert len(asked) >= 4
    handset.open(f"/dogs/{morag}")
    sees_weight(handset, "8.5")


def flap(handset: Handset, *, times: int, pause_s: float) -> float:
    """Loses the network and finds it again; returns how long that took."""
    begun = time.monotonic()
    for _ in range(times):
        handset.cut_network()
        time.sleep(pause_s)
        handset.restore_network()
        time.sleep(pause_s)
    return time.monotonic() - begun


def test_fault_35_a_link_that_comes_and_goes_causes_no_storm_and_drains(
    ines: Api, morag: str, hold: Hold, proxy: FaultProxy, server: Server
) -> None:
    handset = hold(ines, url=proxy.url)
    handset.cut_network()
    for kg in ("7.4", "7.5", "7.6"):
        weigh(handset, morag, kg)
    proxy.slow("/sync/", delay_s=0.3)
    before = proxy.count("/sync/")
    lasted_s = flap(handset, times=30, pause_s=0.1)
    # However often the browser says "online": at most one try a second after a failure, and a
    # try is one push and the pulls after it.
    assert proxy.count("/sync/") - before <= 3 + 3 * lasted_s
    handset.sees_mark("Everything synced")
    assert sorted(weighed(server, ines)) == ines.masses() == [7400, 7500, 7600]


def test_fault_35_a_slow_link_is_not_asked_twice_at_once(
    ines: Api, morag: str, hold: Hold, proxy: FaultProxy, server: Server
) -> None:
    handset = hold(ines, url=proxy.url)
    under_way = 0
    most = 0

    def crawl(_: Exchange, forward: Forward) -> Answer:
        nonlocal under_way, most
        under_way += 1
        most = max(most, under_way)
        time.sleep(1.0)
        answer: Answer = forward()
        under_way -= 1
        return answer

    proxy.rule("/sync/", crawl)
    handset.open(f"/dogs/{morag}")
    masses = ["7.4", "7.5", "7.6", "7.7"]
    for kg in masses:
        weigh_here(handset, kg)
    handset.sees_mark("Everything synced")
    assert most == 1
    sent = [op_id for push in proxy.pushes() for op_id in push.op_ids]
    assert len(sent) == len(set(sent)) == len(masses), "each was sent once"
    assert weighed(server, ines) == [7400, 7500, 7600, 7700]
    devices = {entry.device for entry in entries(server, ines)} - {ines.device}
    assert len(devices) == 1
