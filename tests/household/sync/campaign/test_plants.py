"""Every planted bug is caught: by its trace, and where walking meets it soon, by walking.

The same trace passes with the right rule, so it is the bug that is caught and nothing else.
"""

import pytest

from tests.household.sync.campaign.people import Worlds
from tests.household.sync.campaign.plants import PLANTS
from tests.household.sync.campaign.rules import Step
from tests.household.sync.campaign.shrinking import rule_of, shrink
from tests.household.sync.campaign.traces import TRACES
from tests.household.sync.campaign.traces_by_hand import BY_HAND
from tests.household.sync.campaign.walker import as_python, replay, search

pytestmark = pytest.mark.django_db
WALKS = 40
"""Of seed 1: the bugs named in SOON are found within so many."""

SOON = {"M1": 5, "M2": 4, "M5": 3, "M6": 2, "M7": 11, "M8": 2, "L3": 5, "R1": 7, "R4": 2, "R5": 4}
"""After how many walks of its profile each was found; there the test begins, to save time."""


def fault(name: str) -> str:
    return f"fault_{PLANTS[name].fault:02}_{name}"


@pytest.mark.parametrize("name", TRACES, ids=fault)
def test_a_planted_bug_breaks_the_trace_that_found_it(worlds: Worlds, name: str) -> None:
    assert rule_of(replay(worlds(PLANTS[name]), TRACES[name])) is not None
    assert replay(worlds(None), TRACES[name]) is None


@pytest.mark.parametrize("name", BY_HAND, ids=fault)
def test_a_planted_bug_breaks_the_trace_written_for_it(worlds: Worlds, name: str) -> None:
    assert rule_of(replay(worlds(PLANTS[name]), BY_HAND[name])) is not None
    assert replay(worlds(None), BY_HAND[name]) is None


def test_every_planted_bug_has_a_trace() -> None:
    assert TRACES.keys() | BY_HAND.keys() == PLANTS.keys()


@pytest.mark.parametrize("name", SOON, ids=fault)
def test_a_planted_bug_is_found_by_walking(worlds: Worlds, name: str) -> None:
    plant = PLANTS[name]
    failure = search(worlds(plant), walks=WALKS, seed=1, profiles=[plant.profile], first=SOON[name])
    assert failure is not None
    assert replay(worlds(None), failure.steps) is None


def test_shrinking_keeps_what_breaks_and_nothing_else(worlds: Worlds) -> None:
    plant = PLANTS["R9"]
    padded: list[Step] = [
        step
        for number, needed in enumerate(BY_HAND["R9"])
        for step in (("backup", {"tag": f"idle {number}"}), needed)
    ]
    error = replay(worlds(plant), padded)
    assert error is not None
    shrunk = shrink(worlds(plant), padded, error)
    assert set(map(repr, shrunk)) <= set(map(repr, BY_HAND["R9"]))
    assert rule_of(replay(worlds(plant), shrunk)) == rule_of(error)
    scope: dict[str, list[Step]] = {"Step": Step, "list": list}  # type: ignore[dict-item]
    exec(as_python(shrunk), scope)
    assert scope["TRACE"] == shrunk  # It can be pasted.
