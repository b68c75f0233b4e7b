"""Who writes on a phone, and whether they still may: sign-outs, other members, roles."""

import re

from tests.browser import kitchen
from tests.browser.api import Api
from tests.browser.conftest import Hold, Server
from tests.browser.fault_proxy import FaultProxy
from tests.browser.kitchen import sees_weight, sign_out, weigh, weigh_here, write_notes
from tests.browser.server_log import entries, weighed

PUSH, PULL = "/sync/push", "/sync/changes"


def test_fault_22_and_fault_23_signing_out_keeps_what_waits_and_nobody_else_sends_it(
    ines: Api, callum: Api, morag: str, hold: Hold, proxy: FaultProxy, server: Server
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
    # What he writes himself goes at once, and takes nothing along.
    weigh(handset, morag, "7.9")
    handset.meet_server()
    handset.sees("Written by somebody else")
    assert weighed(server, ines) == [7900]

    sign_out(handset, warning="1 waiting.")
    kitchen.sign_in(handset, ines.email)
    handset.sees_mark("Everything synced")
    authors = [(entry.set["mass_g"], entry.author, entry.submitted_by)
               for entry in entries(server, ines) if entry.entity == "weighing"]  # fmt: skip
    assert authors == [
        (7900, callum.member, callum.member),
        (7400, ines.member, ines.member),
    ]


def test_fault_22_another_member_may_send_it_in_the_writers_name(
    ines: Api, callum: Api, morag: str, hold: Hold, proxy: FaultProxy, server: Server
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
    handset.tap("Send 1 entry")
    handset.sees_mark("Everything synced")
    entry = entries(server, ines)[-1]
    assert (entry.set["mass_g"], entry.author) == (7400, ines.member)
    assert entry.submitted_by == callum.member
    assert callum.rows("weighing")[0]["made_by"] == ines.member


def test_fault_33_with_a_new_role_everything_is_fetched_again_and_the_queue_is_kept(
    ines: Api, callum: Api, morag: str, hold: Hold, proxy: FaultProxy, server: Server
) -> None:
    lot = ines.make("lot", food="usda-05027", pack_mass_g=500, place="freezer")
    ines.make("movement", of=lot, what="stored", mass_g=1000, at="2026-01-05T08:00:00Z")
    handset = hold(callum, "/stores", url=proxy.url)
    handset.sees(re.compile("Chicken liver"))
    handset.cut_network()
    weigh(handset, morag, "7.4")  # A sitter may.
    write_notes(handset, morag, "Itches")  # A sitter may not.
    handset.waits_with(2)
    from_nothing = proxy.count("cursor=0")
    ines.ask("PATCH", f"{ines.at_home}/members/{callum.member}", {"role": "sitter"})

    handset.restore_network()
    handset.sees_mark("Needs you")
    # By the mark and not by a new page, which would begin the fetch again.
    handset.mark.tap()
    handset.sees("Not taken by the server")
    handset.sees("Nothing waiting")
    handset.tap("Try now")
    handset.sees(re.compile(r"^Met the server at"))
    assert proxy.count("cursor=0") == from_nothing + 1
    log = [entry for entry in entries(server, ines) if entry.author == callum.member]
    assert [(entry.entity, entry.code) for entry in log] == [("weighing", ""), ("dog", "forbidden")]
    # A sitter sees no lots: what the phone had of them is gone from it.
    handset.open("/stores")
    handset.sees("Nothing in store yet")
    handset.misses(re.compile("Chicken liver"))
    sees_weight(handset.open(f"/dogs/{morag}"), "7.4")

    ines.ask("PATCH", f"{ines.at_home}/members/{callum.member}", {"role": "partner"})
    handset.meet_server()
    handset.tap("Fix and send again")
    handset.tap("Send again")
    handset.sees_mark("Everything synced")
    assert ines.row(morag)["values"]["vet_notes"] == "Itches"
    handset.open("/stores").sees(re.compile("Chicken liver"))


def test_fault_33_who_is_removed_keeps_what_they_wrote_and_goes_on_when_invited_again(
    ines: Api, callum: Api, morag: str, hold: Hold, server: Server
) -> None:
    handset = hold(callum, f"/dogs/{morag}")
    ines.ask("DELETE", f"{ines.at_home}/members/{callum.member}")
    weigh_here(handset, "7.4")
    handset.sees("You do not belong to this household now.")
    handset.sees_mark("Needs you")
    weigh_here(handset, "7.5")
    assert weighed(server, ines) == []

    # After a reload there is no household to open; what was written can still be taken out.
    handset.reopen("/today")
    handset.sees("You belong to no household now.")
    copy = kitchen.save_copy(handset)
    assert [op["set"]["mass_g"] for op in copy] == [7400, 7500]

    made = ines.ask("POST", f"{ines.at_home}/invitations", {"role": "partner"})
    handset.open("/join/" + made["url"].rsplit("/", 1)[1])
    handset.tap("Join ")
    handset.sees_mark("Everything synced")
    sees_weight(handset.open(f"/dogs/{morag}"), "7.5")
    assert weighed(server, ines) == ines.masses() == [7400, 7500]
    log = [entry for entry in entries(server, ines) if entry.entity == "weighing"]
    assert [entry.op_id for entry in log] == [op["op_id"] for op in copy]
