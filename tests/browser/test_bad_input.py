"""What cannot be right, typed on a phone: the app says so and what may be, and keeps the words."""

import re
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from playwright.sync_api import expect

from tests.browser import kitchen
from tests.browser.api import ZONE, Api, Refused, email_of
from tests.browser.conftest import Hold, Phone, Server
from tests.browser.handset import Handset

NOTE = "Itches. " * 250_000  # 2 MB


@pytest.fixture
def morag(ines: Api) -> str:
    return ines.make("dog", name="Morag")


def complains(handset: Handset, *parts: str) -> None:
    """The open sheet says each of these, and is still open."""
    for part in parts:
        expect(handset.sheet.get_by_text(re.compile(re.escape(part))).first).to_be_visible()


def test_a_dog_of_300_kg_is_not_weighed(ines: Api, morag: str, hold: Hold) -> None:
    handset = hold(ines, f"/dogs/{morag}")
    handset.tap("Weigh")
    handset.fill("Weight", "300")
    complains(handset, "“300” is no weight of a dog. Give 0.1 to 150 kg.")
    expect(handset.button("Check the weight")).to_have_attribute("aria-disabled", "true")
    assert handset.labelled("Weight").input_value() == "300"
    handset.fill("Weight", "-7")
    complains(handset, "“-7” is no weight of a dog. Give 0.1 to 150 kg.")
    handset.fill("Weight", "7,4")
    handset.tap("Save 7.4 kg")
    handset.sheet_closes()
    handset.sees("Weight: 7.4 kg")


def test_a_new_dog_from_the_future_or_of_300_kg_keeps_its_form(
    ines: Api, morag: str, hold: Hold
) -> None:
    handset = hold(ines, "/dogs")
    later = str((datetime.now(ZoneInfo(ZONE)) + timedelta(days=2)).date())
    handset.tap(re.compile("dog", re.IGNORECASE))
    handset.fill("Name", "Tansy")
    handset.fill("Day of birth", later)
    handset.fill("Weight today", "300")
    handset.tap("Save Tansy")
    complains(handset, f"{later} lies in the future. Give a day up to today.")
    complains(handset, "“300” is no weight of a dog. Give 0.1 to 150 kg.")
    assert handset.labelled("Name").input_value() == "Tansy"
    assert handset.labelled("Day of birth").input_value() == later
    assert [row["values"]["name"] for row in ines.rows("dog")] == ["Morag"]
    handset.fill("Day of birth", "2025-03-01")
    handset.fill("Weight today", "9.6")
    handset.tap("Save Tansy")
    handset.sheet_closes()
    handset.meet_server()
    assert sorted(row["values"]["name"] for row in ines.rows("dog")) == ["Morag", "Tansy"]
    assert ines.masses() == [9600]


def test_grams_below_nothing_are_refused_in_words(ines: Api, morag: str, hold: Hold) -> None:
    handset = hold(ines, "/plan/new")
    handset.tap("Add a food")
    handset.fill("Find", "Chicken liver")
    handset.tap("Chicken liver")
    grams = handset.labelled("Grams of Chicken liver")
    grams.fill("100")
    expect(handset.button("Plan 100 g")).to_be_visible()
    for wrong in ("-5", "a few", "900000"):
        grams.fill(wrong)
        complains(handset, f"“{wrong}”")
        complains(handset, "Give 0 to 100000 grams")
        assert grams.input_value() == wrong
    grams.fill("80")
    handset.tap("Plan 80 g")
    handset.sheet_closes()


def test_a_note_of_2_mb_says_that_it_is_too_long_and_stays(
    ines: Api, morag: str, hold: Hold
) -> None:
    handset = hold(ines, f"/dogs/{morag}")
    handset.tap("Write down")
    handset.choose("What about", "Note")
    note = handset.labelled("Note")
    note.focus()
    handset.page.keyboard.insert_text(NOTE)  # As pasting does.
    handset.tap("Write it down")
    complains(handset, "4000")
    assert note.input_value() == NOTE
    note.fill("Itches.")
    handset.tap("Write it down")
    handset.sheet_closes()
    handset.meet_server()
    assert [row["values"]["note"] for row in ines.rows("observation")] == ["Itches."]


def token_of(api: Api) -> tuple[str, str]:
    """A new invitation: its id, and the token of its link."""
    made = api.ask("POST", f"{api.at_home}/invitations", {"role": "partner"})
    return made["id"], made["url"].rsplit("/", 1)[1]


def expire(server: Server, invitation: str) -> None:
    """As if eight days had gone by since it was made."""
    server.manage(
        "shell",
        "--no-imports",
        "--command",
        "from datetime import timedelta; from django.db.models import F;"
        "from household.accounts.models import Invitation as I;"
        f"I.objects.filter(pk='{invitation}')"
        ".update(expires_at=F('expires_at') - timedelta(days=8))",
    )


def test_a_stale_invitation_says_why_and_what_now(ines: Api, phone: Phone, server: Server) -> None:
    handset = Handset(phone())
    expired, old_token = token_of(ines)
    expire(server, expired)
    withdrawn, taken_back = token_of(ines)
    ines.ask("DELETE", f"{ines.at_home}/invitations/{withdrawn}")
    for token, word in ((old_token, "run out"), (taken_back, "taken back|withdrawn")):
        handset.open(f"/join/{token}")
        handset.sees(re.compile(word))
        handset.sees("Nothing on this phone has changed.")
    handset.open("/join/no-such-token")
    handset.sees(re.compile("invitation", re.IGNORECASE))
    expect(handset.button("Sign in")).to_be_visible()


def test_an_invitation_taken_back_while_somebody_types_makes_no_account(
    ines: Api, phone: Phone
) -> None:
    made, token = token_of(ines)
    handset = Handset(phone()).open(f"/join/{token}")
    email = email_of("Callum")
    handset.fill("Your name", "Callum")
    handset.fill("E-mail", email)
    handset.fill("Password", "three odd words")
    ines.ask("DELETE", f"{ines.at_home}/invitations/{made}")
    handset.tap("Join Larch Row")
    handset.sees("Nothing on this phone has changed.")
    with pytest.raises(Refused):
        Api(ines.url).sign_in(email)


def test_a_form_at_the_door_keeps_what_was_typed_without_a_network(phone: Phone) -> None:
    handset = Handset(phone()).open("/sign-up")
    handset.fill("Name of the household", "Larch Row")
    handset.fill("Your name", "Ines")
    handset.fill("E-mail", "ines at home")
    handset.fill("Password", "short")
    handset.tap("Make the household")
    handset.sees("“ines at home” is no e-mail address.")
    handset.sees(re.compile("has 5 characters. Use ten or more"))
    email = email_of("Ines")
    handset.fill("E-mail", email)
    handset.fill("Password", "three odd words")
    handset.cut_network()
    handset.tap("Make the household")
    handset.sees("No connection to the server")
    assert handset.labelled("E-mail").input_value() == email
    handset.restore_network()
    handset.tap("Make the household")
    handset.sees("Nothing here yet")


def test_a_wrong_password_says_so_and_the_right_one_still_works(ines: Api, phone: Phone) -> None:
    handset = Handset(phone()).open("/sign-in")
    kitchen.sign_in(handset, ines.email, "three even words")
    expect(handset.page.get_by_role("alert")).to_be_visible()
    assert handset.labelled("E-mail").input_value() == ines.email
    kitchen.sign_in(handset, ines.email)
    handset.sees_mark("Everything synced")


def test_a_moment_cleared_or_of_a_year_half_typed_says_that_it_stays(
    ines: Api, morag: str, hold: Hold
) -> None:
    handset = hold(ines, f"/dogs/{morag}")
    handset.tap("Weigh")
    handset.tap("Another time")
    for typed in ("", "0026-11-01"):
        handset.fill("Day", typed)
        complains(handset, "That is no whole day and time. It stays at ")
    handset.fill("Day", str((datetime.now(ZoneInfo(ZONE)) - timedelta(days=9)).date()))
    handset.misses(re.compile("no whole day"))
    assert handset.complaints == []
