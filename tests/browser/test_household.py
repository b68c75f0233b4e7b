"""Who belongs to a household, and what is left when nobody or no dog does."""

import re
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from playwright.sync_api import expect

from tests.browser.api import PASSWORD, ZONE, Api
from tests.browser.conftest import Hold


def test_a_household_whose_dogs_are_gone_still_has_its_pages(
    ines: Api, morag: str, hold: Hold
) -> None:
    ines.make("mealtime", name="Supper", time="18:00")
    ines.edit(morag, archived=True)
    phone = hold(ines)
    phone.sees("No dog at home")
    phone.tap("Duties")
    phone.sees_title("Duties")
    phone.open("/today")
    phone.tap("Household")
    phone.sees("Sign out on this phone")
    phone.open("/today")
    phone.tap("To the dogs")
    phone.sees("No dog at home")
    phone.tap("No longer here")
    phone.tap("Bring Morag back")
    phone.tap(re.compile("Morag"))
    phone.sees_title("Morag")


def test_a_dog_that_is_gone_keeps_its_name_where_it_ate(ines: Api, morag: str, hold: Hold) -> None:
    ines.make("dog", name="Tansy")
    day = str((datetime.now(ZoneInfo(ZONE)) - timedelta(days=20)).date())
    snack = ines.make("meal", name="Treat", day=day, at=f"{day}T09:00:00Z")
    what = {"food": "usda-05027"}
    ines.make("serving", meal=snack, dog=morag, what=what, offered_g=20)
    ines.edit(morag, archived=True)
    phone = hold(ines, f"/today?day={day}")
    phone.sees("Treat, Morag")


def test_a_sitter_is_not_asked_to_name_dogs_or_mealtimes(ines: Api, hold: Hold) -> None:
    made = ines.ask("POST", f"{ines.at_home}/invitations", {"role": "sitter"})
    bettrys = Api(ines.url).sign_up("Bettrys", invitation=made["url"].rsplit("/", 1)[1])
    phone = hold(bettrys)
    phone.sees("An owner or a partner names them")
    expect(phone.button("Begin")).to_have_count(0)
    ines.make("dog", name="Morag")
    phone.meet_server()
    phone.open("/today")
    phone.sees("An owner or a partner says when they eat")
    phone.tap("Household")
    phone.sees("Sign out on this phone")


def test_who_belongs_to_no_household_begins_one_or_signs_out(
    ines: Api, callum: Api, hold: Hold
) -> None:
    ines.ask("DELETE", f"{ines.at_home}/members/{callum.member}")
    phone = hold(callum, ready=False)
    phone.sees("You belong to no household now")
    phone.tap("Sign out on this phone")
    phone.sees_title("Trencher")
    phone.fill("E-mail", callum.email)
    phone.fill("Password", PASSWORD)
    phone.tap("Sign in")
    phone.sees("You belong to no household now")
    phone.fill("Or begin one of your own", "Quarry Cottage")
    phone.tap("Make Quarry Cottage")
    phone.sees("Name your dogs")
    phone.open("/household")
    phone.sees_title("Quarry Cottage")
