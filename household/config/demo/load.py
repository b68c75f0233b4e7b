"""Puts the demo household into the database, through the same doors as people and their phones."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path
from typing import Any
from uuid import UUID, uuid4
from zoneinfo import ZoneInfo

from django.conf import settings
from django.db import transaction

from household.accounts.actions import invite, sign_up_by_invitation
from household.accounts.actions import sign_up_with_household as sign_up
from household.accounts.models import Household, Member, User
from household.config.demo.book import Book, Entry
from household.config.demo.meals import Requirement
from household.config.demo.story import Story, read_story
from household.config.demo.tell import tell
from household.dogs.models import Dog
from household.review.queries.needs import requirement_of
from household.sync import registry
from household.sync.actions import push
from household.sync.instants import to_millis
from nutrition.composition import Label, food_from_label
from nutrition.tables import load as load_tables

FOLDER = Path(settings.BASE) / "fixtures" / "demo"
OPS_A_PUSH = 500  # [-] The most one push of a phone may carry.


class DemoRefused(Exception):
    """The demo would mix with what is there; the message says what to do instead."""


@dataclass(frozen=True)
class Loaded:
    """The demo household; `entries` is 0 when it was there already."""

    household: Household
    emails: tuple[str, ...]
    entries: int


def existing(story: Story) -> Household | None:
    """The demo household, if this database has it already."""
    owner = story.facts["members"][0]["email"]
    return Household.objects.filter(
        name=story.facts["household"]["name"], members__user__email=owner
    ).first()


@transaction.atomic
def load_demo(*, password: str, alongside: bool, now: datetime, folder: Path = FOLDER) -> Loaded:
    """Make the household, its people and their ten weeks; all of it, or nothing.

    Raises
    ------
    DemoRefused
        When the database has another household and `alongside` is not set, or one of the demo's
        addresses belongs to an account outside the demo.
    """
    story = read_story(folder)
    emails = tuple(member["email"] for member in story.facts["members"])
    known = existing(story)
    if known is not None:
        return Loaded(known, emails, 0)
    _check_room(emails, alongside=alongside)
    household, members = _people(story, password=password, now=now)
    book = _book(household, members, now=now)
    tell(
        story,
        book,
        foods=load_tables().foods,
        requirement_kcal=_requirement(story, book),
        dry_kcal_per_g=_dry_kcal_per_g(story),
    )
    _push(household, members, book, now=now)
    return Loaded(household, emails, len(book.entries))


def _check_room(emails: tuple[str, ...], *, alongside: bool) -> None:
    taken = User.objects.filter(email__in=emails).values_list("email", flat=True)
    if taken:
        raise DemoRefused(
            f"There is already an account for {' and '.join(taken)}, but no demo household. "
            "Delete that account in the admin, or use an empty database (TRENCHER_DATA)."
        )
    count = Household.objects.count()
    if count and not alongside:
        raise DemoRefused(
            f"This database already holds {count} household{'s' * (count > 1)}; the demo was not "
            "loaded. Use an empty database (set TRENCHER_DATA to a new folder), or add --alongside "
            "to put the demo beside what is there: households never see one another."
        )


def _people(
    story: Story, *, password: str, now: datetime
) -> tuple[Household, Mapping[str, Member]]:
    """The owner signs up and makes the household; the others join by invitation."""
    first, *others = story.facts["members"]
    facts = story.facts["household"]
    owner = sign_up(
        name=first["name"],
        email=first["email"],
        password=password,
        household_name=facts["name"],
        time_zone=facts["time_zone"],
    )
    member = Member.objects.select_related("household").get(user=owner)
    members = {first["key"]: member}
    for other in others:
        invitation = invite(member, role=other["role"], now=now)
        user = sign_up_by_invitation(
            name=other["name"],
            email=other["email"],
            password=password,
            token=invitation.token,
            now=now,
        )
        members[other["key"]] = Member.objects.select_related("user").get(
            user=user, household=member.household
        )
    return member.household, members


def _book(household: Household, members: Mapping[str, Member], *, now: datetime) -> Book:
    zone = ZoneInfo(household.time_zone)
    return Book(
        household_id=household.pk,
        members={key: member.pk for key, member in members.items()},
        today=now.astimezone(zone).date(),
        zone=zone,
        now=now,
    )


def _requirement(story: Story, book: Book) -> Requirement:
    dogs = {
        dog["key"]: Dog(
            name=dog["name"],
            born_date=book.day(-dog["born_days_ago"]),
            neutered=dog["neutered"],
            adult_weight_g=dog["adult_weight_g"],
            activity=dog["activity"],
        )
        for dog in story.facts["dogs"]
    }

    def requirement_kcal(key: str, on: date, mass_g: float) -> float:
        need = requirement_of(dogs[key], mass_g, on)
        if need is None:
            raise ValueError(f"The story's {key} has no energy requirement at {mass_g} g on {on}.")
        return need.energy_kcal

    return requirement_kcal


def _dry_kcal_per_g(story: Story) -> float:
    facts = story.facts["foods"]["dry"]
    label = Label(**facts["label"], energy_kcal_per_100g=facts["energy_kcal_per_100g"])
    food = food_from_label(label, key="dry", name=facts["name"], style=facts["style"])
    return food.energy_kcal_per_100g / 100


def _push(
    household: Household, members: Mapping[str, Member], book: Book, *, now: datetime
) -> None:
    """Send the entries in the order of their time, as the owner's phone sends what both wrote."""
    devices = {key: str(uuid4()) for key in members}
    numbers = dict.fromkeys(members, 0)
    ops = []
    for entry in book.in_order():
        numbers[entry.by] += 1
        ops.append(_op(entry, household, devices[entry.by], numbers[entry.by], book.members))
    owner = next(iter(members.values()))
    for start in range(0, len(ops), OPS_A_PUSH):
        pushed = push(
            owner.user,
            household.pk,
            raw_ops=ops[start : start + OPS_A_PUSH],
            asked=[],
            mark=None,
            received_at=to_millis(now),
        )
        refused = [result for result in pushed.results if result["status"] != "applied"]
        if refused:
            raise ValueError(f"The story has an entry that sync refuses: {refused[0]}")


def _op(
    entry: Entry, household: Household, device: str, n: int, members: Mapping[str, UUID]
) -> dict[str, Any]:
    return {
        "op_id": str(entry.op_id),
        "household": str(household.pk),
        "device_id": device,
        "n": n,
        "author": str(members[entry.by]),
        "schema": registry.SCHEMA,
        "app": "demo",
        "entity": entry.entity,
        "rid": str(entry.rid),
        "new": entry.is_new,
        "set": dict(entry.values),
        "seen": dict(entry.seen),
        "occurred_at": to_millis(entry.at),
        "tz": household.time_zone,
        "offset_ms": 0,
    }
