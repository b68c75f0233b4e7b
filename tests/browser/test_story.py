"""A household's first days on two phones, one of them offline when it matters."""

import re
import time
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from playwright.sync_api import Locator, expect

from tests.browser import kitchen
from tests.browser.api import ZONE
from tests.browser.conftest import Phone, Server
from tests.browser.handset import Handset
from tests.browser.kitchen import NewDog
from tests.patience import PATIENCE_S

TODAY = datetime.now(ZoneInfo(ZONE)).date()
DOGS = (
    NewDog("Morag", str(TODAY - timedelta(days=12 * 365)), "7.4"),
    NewDog("Pascoe", str(TODAY - timedelta(days=5 * 365)), "18.2"),
    NewDog("Tansy", str(TODAY - timedelta(days=240)), "9.6", grown_kg="12.5"),
)
FOODS = {
    "Chicken, minced": 1600,
    "Chicken back, with bone": 300,
    "Chicken liver": 100,
    "Carrot": 200,
}


def begin_household(ines: Handset) -> None:
    kitchen.sign_up(ines, "Ines", "Larch Row")
    for dog in DOGS:
        ines.tap("1 Name your dogs")
        kitchen.name_dog(ines, dog)
    ines.tap("Say when they eat")
    kitchen.set_mealtime(ines, "Breakfast", "06:30")
    ines.tap("Add a mealtime")
    kitchen.set_mealtime(ines, "Supper", "17:30")
    ines.tap("Close")
    ines.sees_mark("Everything synced")


def bring_in(ines: Handset, callum: Handset) -> None:
    ines.open("/household")
    ines.tap("Invite")
    link = kitchen.invitation(ines)
    ines.sees("Another phone cannot open this link")  # It begins with http://localhost.
    kitchen.join(callum, link, "Callum")
    callum.sees("Morag")
    for other in (callum, ines):
        other.open(link)
        other.sees(re.compile("used"))


def make_batch(callum: Handset) -> None:
    kitchen.plan_batch(callum, FOODS)
    kitchen.weigh_in(callum, FOODS)
    for dog in DOGS:
        callum.sees(dog.name)
    kitchen.put_by(callum, bag_g=500, fridge=2, freezer=2)
    callum.sees_title("Counter")


def feed_all(callum: Handset) -> None:
    callum.open("/today")
    kitchen.serve_from(callum, "Batch 1, ground")
    callum.tap("All three fed as usual")
    callum.sees(re.compile(r"^Fed \d\d:\d\d\. Undo$"))


def note_appetite(handset: Handset, dog: str, *, left_g: int, word: str) -> None:
    """Writes down how a dog ate of the meal in front; 0 left is all of it."""
    kitchen.open_dish(handset, dog)
    eaten = handset.labelled(f"Eaten by {dog}")
    eaten.fill(str(int(eaten.input_value()) - left_g))
    handset.choose("Appetite", word)
    handset.tap("Save ")
    handset.sheet_closes()


def note_stool(handset: Handset, dog: str) -> None:
    handset.open("/dogs")
    handset.tap(re.compile(dog))
    handset.tap("Write down")
    handset.tap("Soft, shaped")
    handset.choose("And with it", "Slime")
    handset.tap("Write it down")
    handset.sheet_closes()


def sees_everything(handset: Handset, *, author: str) -> None:
    """The batch, its bags, the meal, the stool and the appetite, each with who wrote it."""
    handset.open("/plan")
    handset.tap(re.compile("Batch 1"))
    handset.sees("2.2 kg")
    for name, mass_g in FOODS.items():
        expect(row(handset, name)).to_contain_text(f"{mass_g} g")
        expect(row(handset, name)).to_contain_text(author)
    handset.open("/stores")
    handset.sees(re.compile("Batch 1"))
    handset.open("/today")
    handset.sees(re.compile(r"^Fed \d\d:\d\d\. Undo$"))
    expect(handset.button(re.compile("Morag.*Left 30 g.*slow"))).to_be_visible()
    handset.open("/dogs")
    handset.tap(re.compile("Morag"))
    stool = row(handset, "Stool: soft, shaped")
    expect(stool).to_contain_text("Slime")
    expect(stool).to_contain_text(author)


def wednesday_of_a_finished_week() -> date:
    """A day of the newest week that can be summed up: from Monday at 04:00 that is the last."""
    settled = (datetime.now(ZoneInfo(ZONE)) - timedelta(hours=4)).date()
    return settled - timedelta(days=settled.weekday() + 7 - 2)


def feed_on_an_earlier_day(handset: Handset, day: date) -> None:
    """Writes down a meal of the week before, from the bag that was frozen."""
    handset.open(f"/today?day={day}")
    kitchen.serve_from(handset, re.compile(r"^\s*Batch 1, ground.*still frozen"))
    handset.tap("All three fed as usual")
    handset.sees(re.compile(r"^Fed 06:30\. Undo$"))
    handset.sees_mark("Everything synced")


def sum_up(server: Server) -> None:
    """Has the worker sum weeks up now: the task goes through the broker, as the clock sends it."""
    server.manage(
        "shell",
        "--no-imports",
        "--command",
        "from household.review.tasks import write_weekly_summaries as task; task.delay()",
    )


def sees_summary(handset: Handset, week: str) -> None:
    """Review of a week that the server has summed up, with who did what."""
    deadline = time.monotonic() + PATIENCE_S
    to_decide = handset.page.get_by_text("To decide").first
    while True:
        handset.meet_server()
        handset.open(f"/review?week={week}")
        # One or the other: neither stands there before the page has read the week.
        missing = handset.page.get_by_text("The summary of this week is not here yet")
        expect(to_decide.or_(missing).first).to_be_visible()
        if to_decide.is_visible():
            break
        assert time.monotonic() < deadline, "The summary did not come."
    handset.sees("Who did what")
    for dog in DOGS:
        handset.sees(dog.name)
    work = handset.page.get_by_role("table")
    expect(work.get_by_role("columnheader")).to_have_text(["Duty", "Ines", "Callum"])
    served = work.get_by_role("row", name=re.compile("Meals served"))
    expect(served.get_by_role("cell")).to_have_text(["0", "1"])


def row(handset: Handset, words: str) -> Locator:
    return handset.page.get_by_role("listitem").filter(has_text=words).first


def test_two_phones_share_a_household_through_a_cut_network(phone: Phone, server: Server) -> None:
    server.forget_attempts()
    ines, callum = Handset(phone()), Handset(phone())
    begin_household(ines)
    bring_in(ines, callum)

    # Callum's phone loses the network, and the kitchen goes on.
    callum.open("/today").ready()
    callum.cut_network()
    make_batch(callum)
    feed_all(callum)
    note_appetite(callum, "Morag", left_g=30, word="Slow")
    note_stool(callum, "Morag")
    written = callum.open("/today").count_waiting()

    # The phone drops the page; all of it is still there.
    callum.crash()
    callum.reopen("/today")
    callum.waits_with(written)
    sees_everything(callum, author="You")
    ines.open("/plan")
    ines.sees("No batch is planned")

    callum.restore_network()
    callum.sees_mark("Everything synced")
    ines.meet_server()
    sees_everything(ines, author="Callum")

    # Each says something else of Pascoe's bowl while offline from the other.
    for handset in (ines, callum):
        handset.open("/today")
        handset.cut_network()
    note_appetite(ines, "Pascoe", left_g=20, word="Picked")
    note_appetite(callum, "Pascoe", left_g=50, word="Picked")
    for handset in (callum, ines):
        handset.restore_network()
        handset.meet_server()
    callum.meet_server()
    for handset, accounts in (
        (ines, ("Left 20 g .*You", "Left 50 g .*Callum")),
        (callum, ("Left 20 g .*Ines", "Left 50 g .*You")),
    ):
        handset.sees_mark("Needs you")
        handset.sees("Two accounts of one meal")
        for account in accounts:
            expect(handset.button(re.compile(account))).to_be_visible()
    ines.tap(re.compile("Left 50 g .*Callum"))
    ines.sees(re.compile("^Kept: Left 50 g"))
    ines.sees_mark("Everything synced")
    callum.meet_server()
    callum.sees_mark("Everything synced")
    for handset in (ines, callum):
        handset.misses("Two accounts of one meal")
        handset.open("/today")
        expect(handset.button(re.compile("Pascoe.*Left 50 g"))).to_be_visible()

    # The worker sums up the week before, for both.
    day = wednesday_of_a_finished_week()
    feed_on_an_earlier_day(callum, day)
    sum_up(server)
    week = "{}-W{:02d}".format(*day.isocalendar())
    for handset in (ines, callum):
        sees_summary(handset, week)
