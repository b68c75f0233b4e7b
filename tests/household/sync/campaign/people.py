"""The three people of the campaign, signed in, and the worlds they live in."""

from collections.abc import Callable

from rest_framework.test import APIClient

from tests.conftest import make_user
from tests.household.sync.campaign.phone import Phone
from tests.household.sync.campaign.plants import Plant
from tests.household.sync.campaign.server import Actions, Person, Transport
from tests.household.sync.campaign.walker import MakeWorld
from tests.household.sync.campaign.world import World

NAMES = ("Ines", "Callum", "Bettrys")
Worlds = Callable[[Plant | None], MakeWorld]


def make_people() -> list[Person]:
    people = []
    for name in NAMES:
        client = APIClient()
        user = make_user(name)
        client.force_login(user)
        people.append(Person(user, client))
    return people


def worlds_of(people: list[Person], transport: Transport | None = None) -> Worlds:
    def worlds(plant: Plant | None = None) -> MakeWorld:
        phone_class = plant.phone if plant else Phone
        planted = plant.server if plant else ()
        return lambda: World(people, transport or Actions(), phone_class, planted)

    return worlds
