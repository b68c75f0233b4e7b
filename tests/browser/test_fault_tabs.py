"""What goes wrong on the phone itself: several tabs, builds and versions, a store that is gone."""

import json

from tests.browser import kitchen
from tests.browser.api import Api
from tests.browser.conftest import Hold, Server
from tests.browser.fault_proxy import FaultProxy
from tests.browser.handset import (
    HOLD_STORE_OPEN,
    NEXT_VERSION,
    RAISE_STORE,
    STORE_CONTENTS,
    Handset,
    ask,
    close,
    store_of,
)
from tests.browser.kitchen import sees_weight, weigh, weigh_here
from tests.browser.server_log import entries, weighed
from tests.patience import PATIENCE_S

PUSH = "/sync/push"
NO_LOCKS = "Object.defineProperty(Navigator.prototype, 'locks', {get: () => undefined})"
# Takes the lock and never gives it back, as a tab does that the system has frozen.
FREEZE_WITH_LOCK = """(name) => new Promise((held) => {
  navigator.locks.request(name, () => { held(); return new Promise(() => {}); });
})"""
# A clock that can be put forward while everything that is under way goes on as it was.
WINDABLE_CLOCK = """(() => {
  const now = Date.now.bind(Date);
  let ahead_ms = 0;
  Date.now = () => now() + ahead_ms;
  window.windOn = (ms) => { ahead_ms += ms; };
})()"""
HELD_LOCKS = "() => navigator.locks.query().then(({held}) => held.map((lock) => lock.name))"


def test_fault_06_two_tabs_without_the_lock_send_the_same_and_it_counts_once(
    ines: Api, morag: str, hold: Hold, proxy: FaultProxy, server: Server
) -> None:
    first = hold(ines, url=proxy.url, script=NO_LOCKS)
    second = first.beside("/today")
    second.sees_mark("Everything synced")
    assert second.page.evaluate("navigator.locks") is None
    first.cut_network()
    weigh(first, morag, "7.4")
    weigh(second, morag, "7.5")
    held = proxy.hold_reply(PUSH, times=2)
    first.restore_network()
    assert held.arrived.wait(PATIENCE_S), "both tabs push"
    one, other = (each.op_ids for each in proxy.pushes()[-2:])
    assert sorted(one) == sorted(other)
    assert len(one) == 2
    held.go_on.set()
    for tab in (first, second):
        tab.sees_mark("Everything synced")
        sees_weight(tab.open(f"/dogs/{morag}"), "7.5")
    assert sorted(weighed(server, ines)) == ines.masses() == [7400, 7500]
    numbers = [entry.n for entry in entries(server, ines) if entry.device != ines.device]
    assert sorted(numbers) == [1, 2], "dense, and no number twice"


def test_fault_27_an_upgrade_that_another_tab_blocks_says_so_and_goes_on_once_it_is_closed(
    ines: Api, morag: str, hold: Hold, proxy: FaultProxy, server: Server
) -> None:
    handset = hold(ines, url=proxy.url)
    proxy.answer(PUSH, status=503, body="", headers={})
    weigh(handset, morag, "7.4")
    handset.waits_with(1)
    stubborn = handset.bare_page()
    known = ask(stubborn, HOLD_STORE_OPEN, store_of(ines.household))

    handset.script = NEXT_VERSION
    handset.reopen(f"/dogs/{morag}")
    handset.sees("An update waits for another tab of this app. Close that tab.")
    assert stubborn.evaluate("window.held.version") == known
    close(stubborn)
    handset.misses("An update waits for another tab of this app. Close that tab.")
    sees_weight(handset, "7.4")
    handset.waits_with(1)
    version = json.loads(ask(handset.bare_page(), STORE_CONTENTS, store_of(ines.household)))
    assert version["version"] == known + 1

    proxy.heal()
    handset.meet_server()
    handset.sees_mark("Everything synced")
    assert weighed(server, ines) == ines.masses() == [7400]


def test_fault_27_a_tab_that_an_upgrade_closes_keeps_its_form_and_says_why(
    ines: Api, morag: str, hold: Hold, server: Server
) -> None:
    typing = hold(ines, f"/dogs/{morag}")
    typing.tap("Weigh")
    typing.fill("Weight", "7.4")
    other = typing.bare_page()
    ask(other, RAISE_STORE, {"name": store_of(ines.household), "by": 10})
    typing.says("The app was updated in another tab. Reload to go on here.")
    typing.tap("Save 7.4 kg")
    typing.sees("Not saved: a newer version of the app was here.")
    assert typing.labelled("Weight").input_value() == "7.4"
    assert weighed(server, ines) == []


def test_fault_28_an_older_build_leaves_a_newer_store_alone_and_can_save_a_copy(
    ines: Api, morag: str, hold: Hold, proxy: FaultProxy, server: Server
) -> None:
    handset = hold(ines, url=proxy.url)
    proxy.answer(PUSH, status=503, body="", headers={})
    weigh(handset, morag, "7.4")
    handset.waits_with(1)
    store = store_of(ines.household)
    bare = handset.bare_page()
    close(handset.page)
    ask(bare, RAISE_STORE, {"name": store, "by": 10})
    before = ask(bare, STORE_CONTENTS, store)
    sent = proxy.count(PUSH)

    proxy.heal()
    handset.reopen(f"/dogs/{morag}")
    handset.sees("A newer version of the app has been used on this phone.")
    copy = kitchen.save_copy(handset)
    assert [op["set"]["mass_g"] for op in copy] == [7400]
    with handset.page.expect_navigation():
        handset.tap("Reload")
    handset.sees("A newer version of the app has been used on this phone.")
    assert ask(bare, STORE_CONTENTS, store) == before
    assert proxy.count(PUSH) == sent
    assert weighed(server, ines) == []

    # The copy is worth something: on another phone it becomes what it was.
    other = hold(ines)
    kitchen.take_in(other, copy)
    other.sees_mark("Everything synced")
    assert weighed(server, ines) == ines.masses() == [7400]


def test_fault_31_a_wiped_store_is_a_new_device_that_fetches_all_and_reuses_no_id(
    ines: Api, morag: str, hold: Hold, proxy: FaultProxy, server: Server
) -> None:
    handset = hold(ines, url=proxy.url)
    weigh(handset, morag, "7.4")
    handset.sees_mark("Everything synced")
    proxy.answer(PUSH, status=503, body="", headers={})
    weigh(handset, morag, "7.5")
    handset.waits_with(1)
    wipe(handset, proxy.url)
    proxy.heal()

    handset.reopen(f"/dogs/{morag}").ready()
    sees_weight(handset, "7.4")
    # What had not been sent was on this phone alone; nothing pretends to have it.
    handset.misses("Weight: 7.5 kg")
    weigh(handset, morag, "7.6")
    handset.sees_mark("Everything synced")
    assert ines.masses() == [7400, 7600]
    log = [entry for entry in entries(server, ines) if entry.entity == "weighing"]
    assert [entry.n for entry in log] == [1, 1]
    for ids in ({entry.device for entry in log}, {entry.rid for entry in log},
                {entry.op_id for entry in log}):  # fmt: skip
        assert len(ids) == 2


def wipe(handset: Handset, origin: str) -> None:
    """As a browser does that needs room: everything pages have stored; cookies stay."""
    bare = handset.bare_page()
    close(handset.page)
    chrome = handset.context.new_cdp_session(bare)
    kinds = "indexeddb,cache_storage,service_workers,local_storage"
    chrome.send("Storage.clearDataForOrigin", {"origin": origin, "storageTypes": kinds})
    close(bare)


def test_fault_37_a_frozen_tab_with_the_lock_stops_no_other_for_good(
    ines: Api, morag: str, hold: Hold, server: Server
) -> None:
    handset = hold(ines, f"/dogs/{morag}", script=WINDABLE_CLOCK)
    frozen = handset.bare_page()
    ask(frozen, FREEZE_WITH_LOCK, f"sync:{ines.household}")
    weigh_here(handset, "7.4")
    handset.waits_with(1)
    handset.page.evaluate("windOn(30_000)")
    # Longer than the pause between two tries: it has tried, and left the work to the other.
    handset.page.wait_for_timeout(4_000)
    handset.waits_with(1)
    assert weighed(server, ines) == []

    # A minute counts from its first try, which may have come after the clock was put forward.
    handset.page.evaluate("windOn(61_000)")
    handset.sees_mark("Everything synced")
    assert weighed(server, ines) == ines.masses() == [7400]
    assert ask(frozen, HELD_LOCKS) == [f"sync:{ines.household}"]
    # From now on the other is known to be frozen: the next entry does not wait for it.
    weigh_here(handset, "7.5")
    handset.sees_mark("Everything synced")
    assert weighed(server, ines) == [7400, 7500]
