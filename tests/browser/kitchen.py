"""What a household does, as taps: journeys that several tests go through."""

import json
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from playwright.sync_api import expect

from tests.browser.api import PASSWORD, email_of
from tests.browser.handset import Handset


@dataclass(frozen=True)
class NewDog:
    """What the form of a dog is given."""

    name: str
    born: str
    weight_kg: str
    grown_kg: str = ""


def sign_up(handset: Handset, name: str, household: str) -> str:
    """Makes a household at the door; returns the e-mail address used."""
    email = email_of(name)
    handset.open("/")
    handset.tap("New here")
    handset.fill("Name of the household", household)
    _say_who(handset, name, email)
    handset.tap("Make the household")
    handset.sees("Nothing here yet")
    return email


def join(handset: Handset, link: str, name: str) -> str:
    """Comes in by an invitation; returns the e-mail address used."""
    email = email_of(name)
    handset.open(link)
    _say_who(handset, name, email)
    handset.tap("Join ")
    handset.sees_mark("Everything synced")
    return email


def _say_who(handset: Handset, name: str, email: str) -> None:
    handset.fill("Your name", name)
    handset.fill("E-mail", email)
    handset.fill("Password", PASSWORD)


def sign_in(handset: Handset, email: str, password: str = PASSWORD) -> None:
    handset.fill("E-mail", email)
    handset.fill("Password", password)
    # Above the form a notice may offer the way here.
    handset.page.get_by_role("main").get_by_role("button", name="Sign in").tap()


def name_dog(handset: Handset, dog: NewDog) -> None:
    """Fills in the form of a new dog, which is open."""
    handset.fill("Name", dog.name)
    handset.fill("Day of birth", dog.born)
    handset.fill("Weight today", dog.weight_kg)
    handset.choose("Activity", "1 to 3 h")
    if dog.grown_kg:
        handset.fill("Weight when grown", dog.grown_kg)
    handset.tap(f"Save {dog.name}")
    handset.sheet_closes()


def set_mealtime(handset: Handset, name: str, time: str) -> None:
    """Fills in a mealtime in the sheet that is open."""
    handset.fill("Name", name)
    handset.fill("Time", time)
    handset.tap(f"Save {name}")


def invitation(handset: Handset) -> str:
    """The link that the open invitation sheet makes."""
    handset.tap("Make the link")
    return handset.labelled("Or hand on the link").input_value()


def plan_batch(handset: Handset, foods: dict[str, int]) -> None:
    """Plans a batch of foods, grams by name, and accepts the plan."""
    handset.open("/plan")
    handset.tap("Plan a batch")
    for name, mass_g in foods.items():
        handset.tap("Add a food")
        handset.fill("Find", name)
        handset.tap(name)
        handset.fill(f"Grams of {name}", str(mass_g))
        handset.tap(f"Plan {mass_g} g")
        handset.sheet_closes()
    handset.tap("Accept plan")
    handset.sees_title("Plan")


def weigh_in(handset: Handset, foods: dict[str, int]) -> None:
    """Takes the planned batch through the counter: ticks, scale, grinder, look at the mix."""
    handset.tap(re.compile("Batch 1"))
    handset.tap("Take it to the counter")
    handset.tick_all()
    handset.tap("Start weighing")
    for mass_g in foods.values():
        handset.tap("All good")
        press_keys(handset, mass_g)
        handset.tap(f"Put in {mass_g} g")
        expect(handset.button(f"Undo {mass_g} g")).to_be_visible()
    total_g = sum(foods.values())
    handset.tap(f"Finish with {total_g} g")
    handset.tick_all()
    handset.tap(f"Grind {total_g} g")
    check_mix(handset)


def check_mix(handset: Handset) -> None:
    """Looks at the mix, feels it where bone went in, and finds it good."""
    handset.choose("All through it looks", "Even")
    fingers = handset.front.get_by_role("group", name="Between the fingers")
    if fingers.count() > 0:
        handset.choose("Between the fingers", "No hard bit")
    handset.tap("The mix is good")


def press_keys(handset: Handset, mass: int | str, *, unit: str = "Grams") -> None:
    """Types a mass on the counter's own keys."""
    keys = handset.page.get_by_role("group", name=f"{unit} on the scale")
    for digit in str(mass):
        name = "Decimal point" if digit == "." else digit
        keys.get_by_role("button", name=name, exact=True).tap()


def put_by(handset: Handset, *, bag_g: int, fridge: int, freezer: int) -> None:
    """Shares the batch out into bags, and leaves the counter clean."""
    handset.page.get_by_label("One bag holds").fill(str(bag_g))
    handset.page.get_by_label(re.compile("^In the fridge")).fill(str(fridge))
    handset.page.get_by_label(re.compile("^In the freezer")).fill(str(freezer))
    handset.tap(f"Put by {fridge + freezer} bags of {bag_g} g")
    handset.tick_all()
    handset.tap("All clean")


def serve_from(handset: Handset, dish: str | re.Pattern[str]) -> None:
    """Chooses what the meal in front is fed from."""
    # The main button says so too while it is not ready; this one is always a button.
    handset.button("Choose the food").last.tap()
    handset.tap(dish)
    handset.sheet_closes()


def open_dish(handset: Handset, dog: str) -> None:
    """Opens one dog's part of the meal in front."""
    handset.tap(re.compile(rf"{dog}\b.*Change$"))


def weigh(handset: Handset, dog: str, kg: str) -> None:
    """Weighs a dog. When this returns, the phone has said that it is saved."""
    handset.open(f"/dogs/{dog}")
    weigh_here(handset, kg)


def weigh_here(handset: Handset, kg: str) -> None:
    """The same on the dog's page, which is open."""
    handset.tap("Weigh")
    handset.fill("Weight", kg)
    handset.tap(f"Save {kg} kg")
    handset.sheet_closes()
    sees_weight(handset, kg)


def sees_weight(handset: Handset, kg: str) -> None:
    handset.sees(f"Weight: {kg} kg")


def write_notes(handset: Handset, dog: str, notes: str) -> None:
    """Writes notes for the vet over those of a dog called Morag."""
    handset.open(f"/dogs/{dog}")
    handset.tap("Change what is known")
    handset.fill("Notes for the vet", notes)
    handset.tap("Save Morag")
    handset.sheet_closes()


def sign_out(handset: Handset, *, warning: str) -> None:
    handset.open("/household")
    handset.tap("Sign out on this phone")
    expect(handset.sheet).to_contain_text(warning)
    handset.tap("Sign out")
    handset.sees_title("Trencher")


def take_in(handset: Handset, ops: Sequence[Mapping[str, Any]]) -> None:
    """Takes in a file of entries, as saved on another phone or by an older build."""
    handset.open("/waiting")
    lines = "".join(f"{json.dumps(op)}\n" for op in ops)
    handset.page.get_by_label("File to take in").set_input_files(
        {"name": "copy.jsonl", "mimeType": "application/x-ndjson", "buffer": lines.encode()}
    )
    handset.tap("Take it in")
    handset.sheet_closes()
    handset.sees(re.compile("taken in"))


def save_copy(handset: Handset) -> list[dict[str, Any]]:
    """Saves a copy of all entries as a file; returns what stands in it."""
    with handset.page.expect_download() as download:
        handset.tap("Save a copy")
    lines = Path(download.value.path()).read_text("utf-8").splitlines()
    return [json.loads(line) for line in lines]
