"""The people of the campaign, for its tests."""

import pytest

from tests.household.sync.campaign.people import Worlds, make_people, worlds_of
from tests.household.sync.campaign.server import Endpoints


@pytest.fixture
def worlds(db: None) -> Worlds:
    """Worlds whose phones call the functions behind the addresses."""
    return worlds_of(make_people())


@pytest.fixture
def endpoint_worlds(db: None) -> Worlds:
    """Worlds whose phones talk to the addresses themselves."""
    return worlds_of(make_people(), Endpoints())
