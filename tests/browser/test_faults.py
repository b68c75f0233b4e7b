"""What goes wrong between a phone and its server, one fault at a time, by number.

Each fault ends the same way: every entry that the phone called saved is at the server once, or
stands on the phone with the reason why not.
"""

import re
from typing import Any

import pytest
from playwright.sync_api import expect

from tests.browser import kitchen
from tests.browser.api import Api
from tests.browser.conftest import Hold, Server
from tests.browser.fault_proxy import FaultProxy
from tests.browser.handset import Handset

PUSH = "/sync/push"
WITHIN_S = 20.0
HTML = {"Content-Type": "text/html; charset=utf-8"}
JSON = {"Content-Type": "application/json"}
LOGIN_PAGE = "<!doctype html><title>Sign in to the network</title><form><input name=user></form>"


@pytest.fixture
def morag(ines: Api) -> str:
    """A dog to write things down about."""
    return ines.make("dog", name="Morag", born={"date": "2014-03-02", "estimated": False})


def weigh(handset: Handset, dog: str, kg: str) -> None:
    """Weighs a dog. When this returns, the phone has said that it is saved."""
    handset.open(f"/dogs/{dog}")
    handset.tap("Weigh")
    handset.fill("Weight", kg)
    handset.tap(f"Save {kg} kg")
    handset.sheet_closes()
    sees_weight(handset, kg)


def sees_weight(handset: Handset, kg: str) -> None:
    handset.sees(f"Weight: {kg} kg")


def masses(api: Api) -> list[int]:
    return sorted(row["values"]["mass_g"] for row in api.rows("weighing"))


def the_weighing(api: Api) -> dict[str, Any]:
    rows = api.rows("weighing")
    assert len(rows) == 1, rows
    return rows[0]


def test_fault_1_a_reply_lost_after_the_commit_has_one_effect(
    ines: Api, morag: str, hold: Hold, proxy: FaultProxy
) -> None:
    handset = hold(ines, url=proxy.url)
    lost = proxy.lose_reply(PUSH)
    weigh(handset, morag, "7.4")
    assert lost.met.wait(WITHIN_S)
    committed = the_weighing(ines)
    handset.sees_mark("Everything synced")
    assert the_weighing(ines) == committed
    assert proxy.count(PUSH) > 1


def test_fault_3_a_page_killed_after_saved_has_lost_nothing(
    ines: Api, morag: str, hold: Hold
) -> None:
    handset = hold(ines)
    handset.cut_network()
    weigh(handset, morag, "7.4")
    handset.crash()
    handset.reopen(f"/dogs/{morag}")
    sees_weight(handset, "7.4")
    handset.waits_with(1)
    assert masses(ines) == []
    handset.restore_network()
    handset.sees_mark("Everything synced")
    assert masses(ines) == [7400]


@pytest.mark.parametrize("has_arrived", [True, False], ids=["after", "before"])
def test_fault_4_a_page_killed_in_the_middle_of_a_push_sends_again(
    ines: Api, morag: str, hold: Hold, proxy: FaultProxy, has_arrived: bool
) -> None:
    handset = hold(ines, url=proxy.url)
    held = proxy.hold_reply(PUSH) if has_arrived else proxy.hold_request(PUSH)
    weigh(handset, morag, "7.4")
    assert held.arrived.wait(WITHIN_S)
    assert masses(ines) == ([7400] if has_arrived else [])
    handset.crash()
    handset.reopen(f"/dogs/{morag}")
    sees_weight(handset, "7.4")
    handset.sees_mark("Everything synced")
    held.go_on.set()
    assert masses(ines) == [7400]


# An older build of the app took what the server refuses: changes an entry that still waits.
SPOIL = """async ({database, from, to}) => {
  const request = indexedDB.open(database);
  const db = await new Promise((done, fail) => {
    request.onsuccess = () => done(request.result);
    request.onerror = () => fail(request.error);
  });
  const ops = db.transaction('ops', 'readwrite').objectStore('ops');
  const all = await new Promise((done) => {
    const asked = ops.getAll();
    asked.onsuccess = () => done(asked.result);
  });
  const spoilt = all.filter((op) => op.body.set.mass_g === from);
  for (const op of spoilt) {
    op.body.set.mass_g = to;
    ops.put(op);
  }
  await new Promise((done) => (ops.transaction.oncomplete = done));
  db.close();
  return spoilt.length;
}"""


def test_fault_9_one_invalid_entry_stops_no_other_and_can_be_mended(
    ines: Api, morag: str, hold: Hold
) -> None:
    handset = hold(ines)
    handset.cut_network()
    for kg in ("7.4", "7.5", "7.6"):
        weigh(handset, morag, kg)
    database = f"trencher-{ines.household}"
    spoilt = handset.page.evaluate(SPOIL, {"database": database, "from": 7500, "to": 750_000})
    assert spoilt == 1

    handset.restore_network()
    handset.sees_mark("Needs you")
    assert masses(ines) == [7400, 7600]

    handset.open("/waiting")
    handset.sees("Not taken by the server")
    handset.sees(re.compile("750,?000.*150,?000|150,?000.*750,?000"))
    handset.tap("Fix and send again")
    handset.sheet.get_by_label(re.compile("mass|weight", re.IGNORECASE)).fill("7500")
    handset.tap("Send again")
    handset.sees_mark("Everything synced")
    handset.misses("Not taken by the server")
    assert masses(ines) == [7400, 7500, 7600]


def write_notes(handset: Handset, dog: str, notes: str) -> None:
    handset.open(f"/dogs/{dog}")
    handset.tap("Change what is known")
    handset.fill("Notes for the vet", notes)
    handset.tap("Save Morag")
    handset.sheet_closes()


def test_fault_14_two_accounts_of_one_field_are_one_question_on_every_phone(
    ines: Api, callum: Api, morag: str, hold: Hold
) -> None:
    handset, other = hold(ines), hold(callum)
    handset.cut_network()
    write_notes(handset, morag, "Itches")
    write_notes(handset, morag, "Itches at night")
    callum.edit(morag, vet_notes="Cough since May")

    handset.restore_network()
    handset.sees_mark("Needs you")
    other.meet_server()
    accounts = {"Itches at night": ("You", "Ines"), "Cough since May": ("Callum", "You")}
    for each, index in ((handset, 0), (other, 1)):
        each.open("/waiting")
        each.sees("Two accounts of one dog")
        for notes, authors in accounts.items():
            expect(each.button(re.compile(f"{notes}.*{authors[index]}"))).to_be_visible()
        each.misses(re.compile("Itches$"))

    handset.tap(re.compile("Cough since May"))
    handset.sees_mark("Everything synced")
    row = ines.row(morag)
    assert (row["values"]["vet_notes"], row["also"]) == ("Cough since May", {})
    other.meet_server()
    other.misses("Two accounts of one dog")


@pytest.mark.parametrize("edited_here", [True, False], ids=["edit-here", "delete-here"])
def test_fault_16_an_edit_that_a_delete_had_not_seen_survives_it(
    ines: Api, callum: Api, morag: str, hold: Hold, edited_here: bool
) -> None:
    at = "2026-01-05T08:00:00Z"
    weighing = ines.make("weighing", dog=morag, at=at, mass_g=7400)
    handset = hold(ines, f"/dogs/{morag}")
    handset.cut_network()
    handset.tap(re.compile("Weight: 7.4 kg"))
    if edited_here:
        handset.fill("Weight", "7.1")
        handset.tap("Save 7.1 kg")
        callum.delete(weighing)
    else:
        handset.tap("Take this weighing away")
        callum.edit(weighing, mass_g=7100)
    handset.sheet_closes()

    handset.restore_network()
    handset.sees_mark("Needs you")
    sees_weight(handset, "7.1")
    row = callum.row(weighing)
    assert (row["values"]["mass_g"], row["gone"]) == (7100, False)
    assert row["flags"] == ["deleted_but_changed"]

    handset.open("/waiting")
    handset.sees("Weighing taken away, and still here")
    changed, taken_away = ("You", "Callum") if edited_here else ("Callum", "You")
    handset.sees(re.compile(rf"^{changed} changed it, today"))
    handset.sees(re.compile(rf"^{taken_away} took it away, today"))
    handset.tap(re.compile(r"Keep\s*$" if edited_here else r"Take away\s*$"))
    handset.sees_mark("Everything synced")
    flags = [row["flags"] for row in callum.rows("weighing")]
    assert flags == ([[]] if edited_here else [])


def take_out(handset: Handset, lot: str, mass_g: int) -> None:
    handset.open(f"/stores/{lot}")
    handset.tap("Take out")
    handset.labelled("Mass").fill(str(mass_g))
    handset.tap(f"Take out {mass_g} g")
    handset.sheet_closes()


def test_fault_17_what_two_phones_take_out_adds_up_even_when_sent_twice(
    ines: Api, callum: Api, hold: Hold, proxy: FaultProxy
) -> None:
    lot = ines.make("lot", food="usda-05332", pack_mass_g=500, place="freezer")
    ines.make("movement", of=lot, what="stored", mass_g=5000, at="2026-01-05T08:00:00Z")
    handset, other = hold(ines, url=proxy.url), hold(callum)
    for each in (handset, other):
        each.cut_network()
    for mass_g in (500, 500, 120):
        take_out(handset, lot, mass_g)
    take_out(other, lot, 700)

    lost = proxy.lose_reply(PUSH, times=2)
    handset.restore_network()
    assert lost.met.wait(WITHIN_S)
    other.restore_network()
    for each in (handset, other):
        each.sees_mark("Everything synced")
    handset.meet_server()
    left_g = 5000 - 500 - 500 - 120 - 700
    for each in (handset, other):
        each.open(f"/stores/{lot}")
        each.sees(f"{left_g / 1000:.1f} kg")
    lots = ines.ask("GET", f"{ines.at_home}/lots")
    assert left_g in _numbers(lots)


def _numbers(value: Any) -> list[Any]:
    """All figures anywhere in an answer."""
    if isinstance(value, dict):
        return [found for inner in value.values() for found in _numbers(inner)]
    if isinstance(value, list):
        return [found for inner in value for found in _numbers(inner)]
    return [value]


def test_fault_21_after_the_session_has_ended_the_queue_waits_for_signing_in(
    ines: Api, callum: Api, morag: str, hold: Hold
) -> None:
    handset = hold(ines, f"/dogs/{morag}")
    ines.ask("POST", "/api/sign-out")  # The cookie is the phone's too.
    weigh(handset, morag, "7.4")
    handset.sees("You are signed out")
    handset.sees_mark("Needs you")
    weigh(handset, morag, "7.5")
    handset.open("/waiting")
    handset.sees("Two waiting, safe on this phone")
    assert masses(callum) == []

    handset.tap("Sign in")
    handset.sees("2 waiting, safe on this phone.")
    kitchen.sign_in(handset, ines.email)
    handset.sees_mark("Everything synced")
    assert masses(callum) == [7400, 7500]
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
def test_faults_21_and_36_what_is_no_answer_of_ours_is_no_receipt(
    ines: Api, morag: str, hold: Hold, proxy: FaultProxy, kind: str
) -> None:
    status, body, headers = NO_ANSWERS[kind]
    handset = hold(ines, f"/dogs/{morag}", url=proxy.url)
    portal = proxy.answer("/api/", status=status, body=body, headers=headers)
    weigh(handset, morag, "7.4")
    assert portal.met.wait(WITHIN_S)
    handset.waits_with(1)
    handset.open("/waiting")
    handset.tap("Try now")
    handset.sees(re.compile("^Nobody answered"))
    handset.waits_with(1)
    assert masses(ines) == []

    proxy.heal()
    handset.tap("Try now")
    handset.sees_mark("Everything synced")
    assert masses(ines) == [7400]


def sign_out(handset: Handset, *, warning: str) -> None:
    handset.open("/household")
    handset.tap("Sign out on this phone")
    expect(handset.sheet).to_contain_text(warning)
    handset.tap("Sign out")
    handset.sees_title("Trencher")


def test_faults_22_and_23_signing_out_keeps_what_waits_and_nobody_else_sends_it(
    ines: Api, callum: Api, morag: str, hold: Hold, proxy: FaultProxy
) -> None:
    handset = hold(ines, url=proxy.url)
    proxy.answer(PUSH, status=503, body="", headers={})
    weigh(handset, morag, "7.4")
    handset.waits_with(1)
    sign_out(handset, warning="1 waiting.")
    proxy.heal()

    kitchen.sign_in(handset, callum.email)
    handset.sees_mark("Needs you")
    handset.open("/waiting")
    handset.sees("Written by somebody else")
    handset.tap("Try now")
    handset.sees(re.compile("^Met the server at"))
    assert masses(callum) == []

    sign_out(handset, warning="1 waiting.")
    kitchen.sign_in(handset, ines.email)
    handset.sees_mark("Everything synced")
    weighing = the_weighing(callum)
    assert (weighing["values"]["mass_g"], weighing["made_by"]) == (7400, ines.member)


def test_fault_22_another_member_may_send_it_in_the_writers_name(
    ines: Api, callum: Api, morag: str, hold: Hold, proxy: FaultProxy
) -> None:
    handset = hold(ines, url=proxy.url)
    proxy.answer(PUSH, status=503, body="", headers={})
    weigh(handset, morag, "7.4")
    sign_out(handset, warning="1 waiting.")
    proxy.heal()

    kitchen.sign_in(handset, callum.email)
    handset.sees_mark("Needs you")
    handset.open("/waiting")
    handset.tap("Send it in their name")
    handset.sees_mark("Everything synced")
    assert the_weighing(callum)["made_by"] == ines.member


def test_a_stopped_server_is_no_reason_to_stop(
    ines: Api, morag: str, hold: Hold, server: Server
) -> None:
    handset = hold(ines, f"/dogs/{morag}")
    server.stop()
    try:
        handset.reopen(f"/dogs/{morag}")
        assert handset.page.evaluate("navigator.onLine")
        weigh(handset, morag, "7.4")
        handset.waits_with(1)
        handset.open("/waiting")
        handset.tap("Try now")
        handset.sees(re.compile("^Nobody answered"))
    finally:
        server.start()
    handset.tap("Try now")
    handset.sees_mark("Everything synced")
    assert masses(ines) == [7400]
