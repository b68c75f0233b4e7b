"""Duties of two people, in turns and in a calendar; and the days on which they travel."""

import contextlib
import re
import urllib.error
import urllib.request
from datetime import date, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from playwright.sync_api import Error as PlaywrightError
from playwright.sync_api import expect

from tests.browser.api import ZONE, Api
from tests.browser.conftest import Hold, Server


def today() -> date:
    return datetime.now(ZoneInfo(ZONE)).date()


def weigh_in_turns(ines: Api, callum: Api) -> str:
    """All dogs are weighed every week, from today on, by Ines first."""
    return ines.make(
        "rota",
        what="weigh",
        starts_on=str(today()),
        time="23:45",
        repeats={"every_days": 7},
        turns=[ines.member, callum.member],
    )


def test_a_duty_that_comes_again_is_written_down_and_changes_hands(
    ines: Api, callum: Api, hold: Hold
) -> None:
    """He takes her turn over while she does it, both without the network: it is one duty."""
    hers, his = hold(ines, "/duties"), hold(callum, "/duties")
    hers.tap("Add a duty")
    hers.labelled("What").select_option(label="Grind")
    hers.choose("How often", "Every few days")
    hers.fill("Time", "23:45")
    hers.choose("Who does it, in turns", "You")
    hers.choose("Who does it, in turns", "Callum")
    hers.tap("Add: Grind")
    hers.sheet_closes()
    hers.sees("Every week. You and Callum in turns")
    hers.sees_mark("Everything synced")
    his.meet_server()
    his.open("/duties")
    his.sees("Every week. Ines and you in turns")
    for phone in (hers, his):
        phone.cut_network()
        phone.tap(re.compile("today.*Grind"))
    his.tap("Take it over")
    hers.tap("Done by me")
    for phone in (his, hers):
        phone.sheet_closes()
        phone.waits_with(1)
    for phone in (his, hers):
        phone.restore_network()
        phone.sees_mark("Everything synced")
    (duty,) = ines.rows("duty")
    assert duty["values"]["assignee"] == callum.member
    assert duty["values"]["done"]["by"] == ines.member
    for phone, words in ((hers, "Done by you"), (his, "Done by Ines")):
        phone.meet_server()
        phone.open("/duties")
        phone.sees(re.compile(words))


def fetched(url: str) -> str:
    """What a calendar program gets, without any cookie."""
    with urllib.request.urlopen(url, timeout=30) as reply:
        text: str = reply.read().decode()
    return text


def test_a_calendar_reads_ones_duties_until_its_address_is_ended(
    server: Server, ines: Api, callum: Api, hold: Hold
) -> None:
    weigh_in_turns(ines, callum)
    phone = hold(ines, "/household")
    phone.tap("Your duties in a calendar")
    # The tests' server is asked as localhost: on her own phone that would be the phone.
    phone.sees("A phone cannot use an address made here")
    phone.sees(f"On any other device, {server.url} means that device itself.")
    phone.tap("Make the address")
    shown = phone.labelled("The address, shown this once")
    url = shown.input_value()
    assert url.startswith(f"{server.url}/calendar/")
    calendar = fetched(url)
    assert "SUMMARY:Weigh" in calendar
    assert calendar.count("BEGIN:VEVENT") == 5  # Every second week of sixty days, from today on.
    # The worker keeps the app; it never answers for the calendar, which the browser hands on.
    bare = phone.bare_page()
    with bare.expect_download() as download, contextlib.suppress(PlaywrightError):
        bare.goto(url)
    assert Path(download.value.path()).read_bytes().decode() == calendar
    phone.tap("Close")
    phone.sheet_closes()
    phone.tap("Your duties in a calendar")
    phone.sees(re.compile("There is an address, made today"))
    expect(shown).to_have_count(0)
    phone.tap("End the address")
    expect(phone.button("Make the address")).to_be_visible()
    with pytest.raises(urllib.error.HTTPError, match="404"):
        fetched(url)


def test_without_the_network_the_calendar_says_what_it_needs(ines: Api, hold: Hold) -> None:
    phone = hold(ines, "/household")
    phone.cut_network()
    phone.tap("Your duties in a calendar")
    phone.sees("No connection to the server")
    phone.sees("Making and ending the address needs a connection.")


def test_travelling_offers_dry_food_with_portions_on_both_phones(
    ines: Api, callum: Api, hold: Hold
) -> None:
    """A vet's 736 kcal a day in two meals of 3.68 kcal/g are 100 g each."""
    dog = ines.make("dog", name="Morag", energy_vet={"kcal_per_day": 736})
    ines.make("weighing", dog=dog, at=f"{today() - timedelta(days=1)}T08:00:00Z", mass_g=16_000)
    for name, time in (("Breakfast", "00:05"), ("Supper", "23:50")):
        ines.make("mealtime", name=name, time=time, dogs=[dog])
    label = {"protein_pct": 26, "fat_pct": 14, "fibre_pct": 3, "moisture_pct": 9, "ash_pct": 7}
    biscuit = {"name": "Biscuit for the train", "style": "dry", "label": label}
    ines.make("food", **biscuit, energy_kcal_per_100g=368)
    due_at = datetime.now(ZoneInfo("UTC")).strftime("%Y-%m-%dT%H:%M:%SZ")
    ines.make("duty", what="grind", due_at=due_at, assignee=callum.member)
    hers, his = hold(ines), hold(callum)
    hers.cut_network()
    hers.sees("Choose the food")
    hers.tap("Travelling")
    hers.tap("Dry food today to")
    hers.sheet_closes()
    hers.sees(re.compile("Travelling until .*: Biscuit for the train at every meal"))
    hers.sees("You travel then, on dry food")
    hers.restore_network()
    hers.sees_mark("Everything synced")
    his.meet_server()
    his.open("/today")
    expect(his.button(re.compile("100 g Morag"))).to_be_visible()
    his.tap("Morag fed as usual")
    his.sees(re.compile("^Fed .* Undo$"))
    his.sees_mark("Everything synced")
    (serving,) = ines.rows("serving")
    (food,) = ines.rows("food")
    assert serving["values"]["what"]["food"] == food["rid"]
    assert serving["values"]["offered_g"] == 100
    hers.tap("Travelling")
    hers.tap(re.compile("Until .* Biscuit"))
    hers.tap("Not travelling after all")
    hers.sheet_closes()
    hers.misses(re.compile("Travelling until"))
    hers.sees("Not travelling today to")
    hers.tap("Undo")
    hers.sees(re.compile("Travelling until .*: Biscuit for the train at every meal"))
    hers.sees_mark("Everything synced")
    assert len(ines.rows("travel")) == 1


def test_a_calendar_that_nobody_could_look_for_does_not_end_without_a_word(
    ines: Api, hold: Hold
) -> None:
    ines.ask("POST", f"{ines.at_home}/calendar")
    phone = hold(ines, "/household")
    phone.cut_network()
    phone.tap("Your duties in a calendar")
    phone.sees("No connection to the server")
    phone.restore_network()
    phone.tap("Make the address")
    phone.sees(re.compile("There is an address, made today"))
    expect(phone.button("Make a new one")).to_be_visible()
