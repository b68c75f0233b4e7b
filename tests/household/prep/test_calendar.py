"""A member's private calendar, read back by another library than the one that writes it."""

import re
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from types import SimpleNamespace
from typing import Any

import pytest
import vobject  # type: ignore[import-untyped]  # It carries no types.
from django.utils import timezone
from rest_framework.test import APIClient

from household.accounts import actions as accounts
from household.accounts.models import Member
from household.prep.models import CalendarAddress
from household.sync.envelope import slot_id
from tests.conftest import Cast
from tests.household.conftest import LOT, Phone, dog_values

pytestmark = pytest.mark.django_db
NOW = datetime(2026, 11, 25, 12, tzinfo=UTC)  # A Wednesday, as the phones have it.
SignedIn = Callable[[Member | None], APIClient]


@pytest.fixture(autouse=True)
def _today(monkeypatch: pytest.MonkeyPatch) -> None:
    set_clock(monkeypatch, NOW)


def set_clock(monkeypatch: pytest.MonkeyPatch, now: datetime) -> None:
    clock = SimpleNamespace(now=lambda: now)
    monkeypatch.setattr("household.prep.calendar_api.timezone", clock)


def address(phone: Phone) -> str:
    """Makes the address of a member's calendar; the path of it."""
    answer = phone.client.post(at(phone.member))
    assert answer.status_code == 201, answer.content
    url: str = answer.json()["url"]
    assert url.startswith("http://testserver/calendar/")
    return url.removeprefix("http://testserver")


def at(member: Member) -> str:
    return f"/api/households/{member.household_id}/calendar"


def fetch(path: str) -> bytes:
    """What a calendar program gets, which has no session."""
    answer = APIClient().get(path)
    assert answer.status_code == 200, answer.content
    assert answer["Content-Type"] == "text/calendar; charset=utf-8"
    assert not answer.cookies
    return bytes(answer.content)


def events(path: str) -> dict[str, Any]:
    """The events by UID."""
    (calendar,) = vobject.readComponents(fetch(path).decode())
    return {event.uid.value: event for event in calendar.components()}


def times(path: str) -> list[tuple[str, str]]:
    found = events(path).values()
    return [(f"{each.dtstart.value:%m-%d %H:%M}", each.summary.value) for each in found]


def rota(ines: Phone, callum: Phone, **more: Any) -> dict[str, Any]:
    values = {
        "what": "weigh",
        "starts_on": "2026-11-24",
        "time": "18:00",
        "repeats": {"every_days": 7},
        "turns": [str(ines.member.pk), str(callum.member.pk)],
    }
    return ines.make("rota", {**values, **more})


def test_it_holds_the_members_own_duties_of_sixty_days(ines: Phone, callum: Phone) -> None:
    dog = ines.make("dog", dog_values())
    own = {"what": "ring_vet", "dog": dog["rid"], "assignee": str(ines.member.pk)}
    once = ines.make("duty", {**own, "due_at": "2026-12-03T09:00:00Z", "note": "Ask for drops."})
    ines.make("duty", {**own, "due_at": "2026-11-24T09:00:00Z"})  # Yesterday.
    ines.make("duty", {**own, "due_at": "2027-01-24T09:00:00Z"})  # After sixty days.
    ines.make("duty", {"what": "shop", "due_at": "2026-12-03T10:00:00Z"})  # Anyone's.
    made = rota(ines, callum)
    path = address(ines)
    assert times(path) == [
        ("12-03 09:00", "Ring the vet: Tansy"),
        ("12-08 18:00", "Weigh"),
        ("12-22 18:00", "Weigh"),
        ("01-05 18:00", "Weigh"),
        ("01-19 18:00", "Weigh"),
    ]
    found = events(path)
    assert found[f"{once['rid']}@trencher"].description.value == "Ask for drops."
    assert f"{slot_id('duty', made['rid'], '2026-12-08')}@trencher" in found
    assert [each for each, _ in times(address(callum))] == [
        f"{day} 18:00" for day in ("12-01", "12-15", "12-29", "01-12")
    ]


def test_each_event_reminds_a_quarter_of_an_hour_before(ines: Phone, callum: Phone) -> None:
    rota(ines, callum)
    for event in events(address(ines)).values():
        assert event.valarm.action.value == "DISPLAY"
        assert event.valarm.trigger.value == timedelta(minutes=-15)
        assert event.valarm.description.value == "Weigh"


def test_what_was_done_swapped_or_struck_off_is_not_in_it(ines: Phone, callum: Phone) -> None:
    made = rota(ines, callum)
    me, other = str(ines.member.pk), str(callum.member.pk)

    def day(date: str, **values: Any) -> dict[str, Any]:
        due = {"what": "weigh", "due_at": f"{date}T18:00:00Z", **values}
        return ines.make("duty", due, rid=str(slot_id("duty", made["rid"], date)), new=True)

    day("2026-12-08", done={"at": "2026-12-08T18:00:00Z", "by": me})
    day("2026-12-22", assignee=other)
    day("2026-12-29", assignee=me)
    struck = day("2027-01-05")
    day("2027-01-19")  # Done, then not done after all: whose turn it is, as before.
    seen = {name: [struck["op_id"]] for name in struck["set"]}
    ines.push(ines.op("duty", {"deleted": True}, rid=struck["rid"], new=False, seen=seen))
    assert [when for when, _ in times(address(ines))] == ["12-29 18:00", "01-19 18:00"]


def test_a_time_is_that_of_the_household_when_its_clocks_change(
    ines: Phone, callum: Phone, monkeypatch: pytest.MonkeyPatch
) -> None:
    """British Summer Time began on 2026-03-29."""
    set_clock(monkeypatch, datetime(2026, 3, 20, 12, tzinfo=UTC))
    rota(ines, callum, starts_on="2026-03-22", turns=[str(ines.member.pk)])
    assert [when for when, _ in times(address(ines))][:3] == [
        "03-22 18:00",
        "03-29 17:00",
        "04-05 17:00",
    ]


def test_a_pull_is_in_it_by_the_latest_moment_until_its_packs_are_moved(ines: Phone) -> None:
    lot = ines.make("lot", {**LOT, "form": "flat_bag"})
    pull = {
        "of": lot["rid"],
        "pack_mass_g": 500,
        "packs": 2,
        "needed_at": "2026-12-05T16:00:00Z",
        "assignee": str(ines.member.pk),
    }
    rid = ines.make("pull", pull)["rid"]
    path = address(ines)
    (event,) = events(path).values()
    assert event.summary.value == "To the fridge: Chicken liver, 2 packs of 500 g"
    Member.objects.filter(pk=ines.member.pk).update(units="us")
    (event,) = events(path).values()
    assert event.summary.value == "To the fridge: Chicken liver, 2 packs of 17.6 oz"
    # The model's longest, 26.7 h in a fridge of 2 °C, to the quarter of an hour before.
    assert event.dtstart.value == datetime(2026, 12, 4, 13, 15, tzinfo=UTC)
    slot = str(slot_id("preference", ines.member.household_id))
    ines.make("preference", {"fridge_c": 6}, rid=slot, new=True)
    # Then the printed rule is longer: a full day for a pound (USDA FSIS, The Big Thaw).
    (event,) = events(path).values()
    assert event.dtstart.value == datetime(2026, 12, 4, 16, tzinfo=UTC)
    moved = {"of": lot["rid"], "what": "thawed", "mass_g": 500, "pull": rid, "way": "fridge"}
    for at_time in ("2026-11-25T11:00:00Z", "2026-11-25T11:01:00Z"):
        ines.make("movement", {**moved, "at": at_time})
    assert events(path) == {}


def test_a_pull_of_a_salt_with_figures_of_its_metal_only_is_in_it(ines: Phone) -> None:
    """Zinc gluconate has no water, fat or ash in its table: what it is made of is not known."""
    lot = ines.make("lot", {**LOT, "food": "salt-zinc-gluconate"})
    ines.make(
        "pull",
        {
            "of": lot["rid"],
            "pack_mass_g": 500,
            "packs": 1,
            "needed_at": "2026-12-05T16:00:00Z",
            "assignee": str(ines.member.pk),
        },
    )
    (event,) = events(address(ines)).values()
    assert event.summary.value.endswith(", 500 g")


def test_raw_duties_of_days_of_travelling_say_so_and_are_not_hidden(ines: Phone) -> None:
    me = str(ines.member.pk)
    dry = ines.make("food", {"name": "Biscuit", "style": "dry"})
    days = {"first": "2026-12-04", "last": "2026-12-05"}
    ines.make("travel", {"days": days, "food": dry["rid"]})
    for what, due_at in (
        ("grind", "2026-12-03T23:00:00Z"),
        ("grind", "2026-12-04T00:00:00Z"),
        ("shop", "2026-12-05T09:00:00Z"),
        ("pull", "2026-12-05T23:00:00Z"),
    ):
        ines.make("duty", {"what": what, "due_at": due_at, "assignee": me})
    assert [words for _, words in times(address(ines))] == [
        "Grind",
        "Grind (you travel then)",
        "Shop",
        "Pull from the freezer (you travel then)",
    ]


LONG = "Fetch tripe, necks and the bone-in backs from Señora Núñez’s stall; pay her; bring the tubs"


def test_it_keeps_to_rfc_5545(ines: Phone) -> None:
    """Section 3.1: lines of at most 75 octets end in CR LF. Section 3.6.1: UID and DTSTAMP."""
    me = str(ines.member.pk)
    due = {"what": "shop", "title": LONG, "due_at": "2026-12-03T09:00:00Z", "assignee": me}
    ines.make("duty", {**due, "note": "One line;\nanother, with a comma \\ and a slash."})
    path = address(ines)
    text = fetch(path)
    lines = text.split(b"\r\n")
    assert lines[0] == b"BEGIN:VCALENDAR"
    assert lines[-2:] == [b"END:VCALENDAR", b""]
    assert max(map(len, lines)) <= 75
    assert not re.search(rb"(?<!\r)\n|\r(?!\n)", text)
    assert b"VERSION:2.0" in lines
    assert any(line.startswith(b"PRODID:") for line in lines)
    (uid,) = (line for line in lines if line.startswith(b"UID:"))
    # When the duty was last written, as the phones of these tests have it.
    assert b"DTSTAMP:20261125T120000Z" in lines
    assert b"DTSTART:20261203T090000Z" in lines
    (event,) = events(path).values()
    assert event.summary.value == LONG
    assert event.description.value == "One line;\nanother, with a comma \\ and a slash."
    assert uid in fetch(path).split(b"\r\n")
    assert fetch(path) == text


def test_nothing_else_of_the_household_is_in_it(ines: Phone, callum: Phone, cast: Cast) -> None:
    ines.make("dog", dog_values(vet_notes="A murmur."))
    ines.make("lot", LOT)
    rota(ines, callum)
    text = fetch(address(ines)).decode()
    for word in (cast.household.name, "Tansy", "murmur", "Callum", str(cast.household.pk)):
        assert word not in text


def test_the_token_is_not_kept_and_is_shown_once(ines: Phone) -> None:
    path = address(ines)
    token = path.removeprefix("/calendar/").removesuffix(".ics")
    assert token not in str(vars(CalendarAddress.objects.get()))
    assert len(token) >= 32
    answer = ines.client.get(at(ines.member))
    assert token not in answer.content.decode()
    assert datetime.fromisoformat(answer.json()["made_at"]) == NOW


def test_a_wrong_or_withdrawn_address_says_nothing(ines: Phone) -> None:
    first = address(ines)
    second = address(ines)
    ended = [first]
    assert ines.client.delete(at(ines.member)).status_code == 204
    assert ines.client.delete(at(ines.member)).status_code == 204
    assert ines.client.get(at(ines.member)).json()["made_at"] is None
    ended += [second, "/calendar/no-such-token.ics"]
    answers = [APIClient().get(path) for path in ended]
    assert {answer.status_code for answer in answers} == {404}
    assert {bytes(answer.content) for answer in answers} == {b"There is nothing at this address.\n"}


def test_who_left_or_may_no_longer_see_duties_has_none(callum: Phone) -> None:
    path = address(callum)
    member = Member.objects.filter(pk=callum.member.pk)
    member.update(role="sitter")
    assert APIClient().get(path).status_code == 404
    member.update(role="partner", removed_at=timezone.now())
    assert APIClient().get(path).status_code == 404


def test_who_left_and_was_invited_again_makes_a_new_one(
    ines: Phone, callum: Phone, monkeypatch: pytest.MonkeyPatch
) -> None:
    first = address(callum)
    later = NOW + timedelta(days=1)
    accounts.remove_member(ines.member, member_id=callum.member.pk, now=later)
    invited = accounts.invite(ines.member, role="partner", now=later)
    later += timedelta(minutes=1)
    accounts.accept_invitation(callum.member.user, token=invited.token, now=later)
    assert APIClient().get(first).status_code == 404
    assert callum.client.get(at(callum.member)).json()["made_at"] is None
    set_clock(monkeypatch, later + timedelta(minutes=1))
    second = address(callum)
    assert APIClient().get(second).status_code == 200
    assert APIClient().get(first).status_code == 404


def test_a_sitter_gets_none(sitter: Phone) -> None:
    for method in (sitter.client.get, sitter.client.post):
        answer = method(at(sitter.member))
        assert (answer.status_code, answer.json()["code"]) == (403, "forbidden")
    assert not CalendarAddress.objects.exists()


def test_the_address_is_read_only_and_that_of_the_public_name(ines: Phone, settings: Any) -> None:
    assert APIClient().post(address(ines)).status_code == 405
    settings.PUBLIC_URL = "https://dogs.example"
    url = ines.client.post(at(ines.member)).json()["url"]
    assert re.fullmatch(r"https://dogs\.example/calendar/[\w-]{32}\.ics", url)


def test_what_an_address_will_begin_with_is_known_before_it_is_made(
    ines: Phone, settings: Any
) -> None:
    """Made on the server's own machine, it may be of use to no phone, and ends the earlier one."""
    answer = ines.client.get(at(ines.member), headers={"host": "localhost:8000"}).json()
    assert answer == {"made_at": None, "begins_with": "http://localhost:8000"}
    made = ines.client.post(at(ines.member), headers={"host": "localhost:8000"}).json()
    assert made["url"].startswith(f"{made['begins_with']}/calendar/")
    assert made["begins_with"] == answer["begins_with"]
    settings.PUBLIC_URL = "https://dogs.example"
    answer = ines.client.get(at(ines.member), headers={"host": "localhost:8000"}).json()
    assert answer["begins_with"] == "https://dogs.example"
