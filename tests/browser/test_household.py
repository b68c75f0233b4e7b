"""Who belongs to a household, and what is left when nobody or no dog does."""

import re
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from playwright.sync_api import Route, expect

from tests.browser.api import PASSWORD, ZONE, Api
from tests.browser.conftest import Hold

NEW = "three bowls and a mat"


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


def test_a_zone_is_taken_as_it_was_typed_and_holds_without_the_network(
    ines: Api, hold: Hold
) -> None:
    phone = hold(ines, "/household")
    phone.tap("Time zone")
    phone.fill("Time zone", "america/new york ")
    phone.tap(re.compile("Save America.New_York"))
    phone.sheet_closes()
    phone.sees("Changed.")
    phone.sees("America/New_York")
    phone.cut_network()
    phone.reopen("/household")
    phone.sees("America/New_York")


def test_who_was_taken_out_meanwhile_is_said_to_be_and_gone_from_the_list(
    ines: Api, callum: Api, hold: Hold
) -> None:
    phone = hold(ines, "/household")
    phone.tap(re.compile("Callum"))
    ines.ask("DELETE", f"{ines.at_home}/members/{callum.member}")
    phone.tap("Take Callum out")
    phone.sees("This person no longer belongs to the household")
    phone.tap("Close")
    phone.sees("1 member, you are an owner")
    phone.misses("Callum")


def test_a_password_that_is_changed_is_said_to_be_though_the_link_goes_then(
    ines: Api, hold: Hold
) -> None:
    phone = hold(ines, "/household")

    def last_word(route: Route) -> None:
        reply = route.fetch()
        phone.cut_network()
        route.fulfill(response=reply)

    phone.context.route("**/api/password", last_word)
    phone.tap("Change the password")
    phone.fill("The password now", PASSWORD)
    phone.fill("The new one", NEW)
    phone.tap("Change the password")
    phone.sheet_closes()
    phone.sees("The password is changed")
