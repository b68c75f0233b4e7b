"""A second tap before the first is through: what was meant once is written down once."""

import re

import pytest

from tests.browser.api import Api
from tests.browser.conftest import Hold
from tests.browser.handset import Handset


def tap_twice(handset: Handset, name: str) -> None:
    handset.button(name).first.dblclick()
    handset.sheet_closes()


def once(ines: Api, handset: Handset, entity: str) -> None:
    handset.sees_mark("Everything synced")
    assert len(ines.rows(entity)) == 1


def test_a_dog_and_what_is_noted_of_it(ines: Api, hold: Hold) -> None:
    handset = hold(ines, "/dogs")
    handset.tap("Add a dog")
    handset.fill("Name", "Morag")
    tap_twice(handset, "Save Morag")
    once(ines, handset, "dog")
    handset.tap("Weigh")
    handset.fill("Weight", "7.4")
    tap_twice(handset, "Save 7.4 kg")
    once(ines, handset, "weighing")
    handset.tap(re.compile("Condition"))
    handset.tap("5 of 9")
    tap_twice(handset, "Save 5 of 9")
    once(ines, handset, "condition")
    handset.tap("Write down")
    handset.tap("Firm")
    tap_twice(handset, "Write it down")
    once(ines, handset, "observation")


@pytest.mark.usefixtures("morag")
def test_a_mealtime_and_days_of_travelling(ines: Api, hold: Hold) -> None:
    ines.make("food", name="Biscuit", style="dry")
    handset = hold(ines)
    handset.tap("Set the first mealtime")
    handset.button("Save Breakfast").first.dblclick()
    handset.sees("The day’s food is split evenly")
    once(ines, handset, "mealtime")
    handset.tap("Close")
    handset.tap("Travelling")
    tap_twice(handset, "Dry food")
    once(ines, handset, "travel")
