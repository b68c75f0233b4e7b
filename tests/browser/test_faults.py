"""What goes wrong between a phone and its server, one fault at a time, by number.

Each fault ends the same way: every entry that the phone called saved is at the server once, or
stands on the phone with the reason why not.
"""

import re
from typing import Any

import pytest
from playwright.sync_api import expect

from tests.browser.api import Api, heads
from tests.browser.conftest import Hold, Server
from tests.browser.fault_proxy import Answer, Exchange, FaultProxy, Forward
from tests.browser.handset import Handset
from tests.browser.kitchen import sees_weight, take_in, weigh, write_notes
from tests.browser.server_log import entries, weighed
from tests.patience import PATIENCE_S

PUSH = "/sync/push"
AT = "2026-01-05T08:00:00Z"


def test_fault_01_a_reply_lost_after_the_commit_has_one_effect(
    ines: Api, morag: str, hold: Hold, proxy: FaultProxy, server: Server
) -> None:
    handset = hold(ines, url=proxy.url)
    lost = proxy.lose_reply(PUSH)
    weigh(handset, morag, "7.4")
    assert lost.met.wait(PATIENCE_S)
    assert weighed(server, ines) == [7400]
    committed = ines.rows("weighing")
    handset.sees_mark("Everything synced")
    first, *others = [each.op_ids for each in proxy.pushes()]
    assert first in others, "it was sent again"
    assert weighed(server, ines) == [7400]
    assert ines.rows("weighing") == committed


def test_fault_03_a_page_killed_after_saved_has_lost_nothing(
    ines: Api, morag: str, hold: Hold, server: Server
) -> None:
    handset = hold(ines)
    handset.cut_network()
    weigh(handset, morag, "7.4")
    handset.crash()
    handset.reopen(f"/dogs/{morag}")
    sees_weight(handset, "7.4")
    handset.waits_with(1)
    assert weighed(server, ines) == []
    handset.restore_network()
    handset.sees_mark("Everything synced")
    assert weighed(server, ines) == ines.masses() == [7400]


@pytest.mark.parametrize("has_arrived", [True, False], ids=["after", "before"])
def test_fault_04_a_page_killed_in_the_middle_of_a_push_sends_again(
    ines: Api, morag: str, hold: Hold, proxy: FaultProxy, server: Server, has_arrived: bool
) -> None:
    handset = hold(ines, url=proxy.url)
    held = proxy.hold_reply(PUSH) if has_arrived else proxy.hold_request(PUSH)
    weigh(handset, morag, "7.4")
    assert held.arrived.wait(PATIENCE_S)
    assert weighed(server, ines) == ([7400] if has_arrived else [])
    handset.crash()
    handset.reopen(f"/dogs/{morag}")
    sees_weight(handset, "7.4")
    handset.sees_mark("Everything synced")
    held.go_on.set()
    assert weighed(server, ines) == ines.masses() == [7400]


def a_weighing(api: Api, dog: str, mass_g: int) -> dict[str, Any]:
    return api.op("weighing", {"dog": dog, "at": AT, "mass_g": mass_g})


def test_fault_09_one_invalid_entry_stops_no_other_and_can_be_mended(
    ines: Api, morag: str, hold: Hold, server: Server
) -> None:
    handset = hold(ines)
    handset.cut_network()
    # An older build took what the server refuses.
    take_in(handset, [a_weighing(ines, morag, mass_g) for mass_g in (7400, 750_000, 7600)])
    handset.waits_with(3)

    handset.restore_network()
    handset.sees_mark("Needs you")
    assert ines.masses() == [7400, 7600]

    handset.open("/waiting")
    handset.sees("Not taken by the server")
    handset.sees(re.compile("750,?000.*150,?000|150,?000.*750,?000"))
    handset.tap("Fix and send again")
    handset.sheet.get_by_label(re.compile("mass|weight", re.IGNORECASE)).fill("7500")
    handset.tap("Send again")
    handset.sees_mark("Everything synced")
    handset.misses("Not taken by the server")
    assert ines.masses() == [7400, 7500, 7600]
    log = [entry for entry in entries(server, ines) if entry.entity == "weighing"]
    assert [(entry.set["mass_g"], entry.code) for entry in log] == [
        (7400, ""), (750_000, "invalid"), (7600, ""), (7500, "")
    ]  # fmt: skip
    assert log[1].rid == log[3].rid, "it is still the same weighing"


def test_fault_10_one_entry_that_breaks_the_server_holds_up_no_other(
    ines: Api, morag: str, hold: Hold, proxy: FaultProxy, server: Server
) -> None:
    def break_on_one(exchange: Exchange, forward: Forward) -> Answer:
        if b'"mass_g":7300' in exchange.body:
            return exchange.fault_of_ours()
        answer: Answer = forward()
        return answer

    handset = hold(ines, url=proxy.url)
    handset.cut_network()
    masses = [7100, 7200, 7300, 7400, 7500]
    take_in(handset, [a_weighing(ines, morag, mass_g) for mass_g in masses])
    proxy.rule(PUSH, break_on_one)
    handset.restore_network()
    handset.waits_with(1)
    assert weighed(server, ines) == [7100, 7200, 7400, 7500]
    handset.open("/waiting")
    handset.sees("One waiting, safe on this phone")
    handset.sees(re.compile("Weighing.*Morag|Morag.*weigh", re.IGNORECASE))
    # What is written after it is not held up either.
    weigh(handset, morag, "7.6")
    handset.waits_with(1)
    assert weighed(server, ines) == [7100, 7200, 7400, 7500, 7600]

    proxy.heal()
    handset.open("/waiting")
    handset.tap("Try now")
    handset.sees_mark("Everything synced")
    assert sorted(weighed(server, ines)) == ines.masses() == [*masses, 7600]


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
    asks_once(handset, own="Itches at night", theirs="Cough since May", whose="Callum")
    asks_once(other, own="Cough since May", theirs="Itches at night", whose="Ines")

    handset.tap(re.compile("Cough since May"))
    handset.sees_mark("Everything synced")
    row = ines.row(morag)
    assert (row["values"]["vet_notes"], row["also"]) == ("Cough since May", {})
    other.meet_server()
    other.misses("Two accounts of one dog")


def asks_once(handset: Handset, *, own: str, theirs: str, whose: str) -> None:
    handset.open("/waiting")
    handset.sees("Two accounts of one dog")
    expect(handset.button(re.compile(f"{own}.*You"))).to_be_visible()
    expect(handset.button(re.compile(f"{theirs}.*{whose}"))).to_be_visible()
    # What its own author has replaced is no account.
    handset.misses(re.compile("Itches$|Quiet"))


def test_fault_14_the_first_of_several_edits_refused_leaves_the_others_what_they_had_seen(
    ines: Api, callum: Api, morag: str, hold: Hold, server: Server
) -> None:
    ines.edit(morag, vet_notes="Quiet")
    seen = {"vet_notes": heads(ines.row(morag), "vet_notes")}
    handset, other = hold(ines), hold(callum)
    handset.cut_network()
    too_long = ines.op("dog", {"vet_notes": "Itches " * 900}, rid=morag, seen=seen)
    # Written before all that this phone writes, and sent before it.
    take_in(handset, [{**too_long, "n": 1}])
    write_notes(handset, morag, "Itches at night")
    callum.edit(morag, vet_notes="Cough since May")

    handset.restore_network()
    handset.sees_mark("Needs you")
    # The refused one stands between "Quiet" and the last: that must not bring "Quiet" back.
    asks_once(handset, own="Itches at night", theirs="Cough since May", whose="Callum")
    handset.sees("Not taken by the server")
    handset.sees(re.compile("Vet notes has 6300 characters; at most 4000"))
    other.meet_server()
    asks_once(other, own="Cough since May", theirs="Itches at night", whose="Ines")

    handset.tap("Throw away")
    handset.tap("Throw away one entry")
    handset.sheet_closes()
    handset.misses("Not taken by the server")
    handset.tap(re.compile("Itches at night"))
    handset.sees_mark("Everything synced")
    row = ines.row(morag)
    assert (row["values"]["vet_notes"], row["also"]) == ("Itches at night", {})
    log = [entry for entry in entries(server, ines) if "vet_notes" in entry.set]
    assert [(entry.set["vet_notes"][:6], entry.code) for entry in log] == [
        ("Quiet", ""), ("Cough ", ""), ("Itches", "invalid"), ("Itches", ""), ("Itches", "")
    ]  # fmt: skip


@pytest.mark.parametrize("edited_here", [True, False], ids=["edit-here", "delete-here"])
def test_fault_16_an_edit_that_a_delete_had_not_seen_survives_it(
    ines: Api, callum: Api, morag: str, hold: Hold, edited_here: bool
) -> None:
    weighing = ines.make("weighing", dog=morag, at=AT, mass_g=7400)
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
    ines.make("movement", of=lot, what="stored", mass_g=5000, at=AT)
    handset, other = hold(ines, url=proxy.url), hold(callum)
    for each in (handset, other):
        each.cut_network()
    for mass_g in (500, 500, 120):
        take_out(handset, lot, mass_g)
    take_out(other, lot, 700)

    lost = proxy.lose_reply(PUSH, times=2)
    handset.restore_network()
    assert lost.met.wait(PATIENCE_S)
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
