"""Random walks through every fault: whatever happens, nothing is lost and all agree in the end."""

import pytest

from tests.household.sync.campaign.people import Worlds
from tests.household.sync.campaign.walker import PROFILES, MakeWorld, as_python, search

pytestmark = pytest.mark.django_db
WALKS = 8
"""Of each seed; ``python -m tests.household.sync.campaign`` walks further."""


def assert_all_holds(make_world: MakeWorld, *, walks: int, seed: int, profile: str) -> None:
    failure = search(make_world, walks=walks, seed=seed, profiles=[profile])
    if failure is not None:
        pytest.fail(
            f"Walk {failure.walk} of seed {seed}, profile {profile}: {failure.error!r}\n"
            f"{as_python(failure.steps)}"
        )


@pytest.mark.parametrize("seed", [1, 2])
@pytest.mark.parametrize("profile", PROFILES)
def test_faults_01_to_33_in_any_order_lose_nothing(worlds: Worlds, profile: str, seed: int) -> None:
    assert_all_holds(worlds(None), walks=WALKS, seed=seed, profile=profile)


@pytest.mark.parametrize("profile", PROFILES)
def test_faults_01_to_33_through_the_whole_stack(endpoint_worlds: Worlds, profile: str) -> None:
    assert_all_holds(endpoint_worlds(None), walks=2, seed=3, profile=profile)
