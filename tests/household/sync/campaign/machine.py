"""The same rules driven by Hypothesis: a state machine that shrinks what it finds by itself."""

import os
from collections.abc import Callable, Sequence
from typing import Any

from hypothesis import HealthCheck, Phase, Verbosity, settings
from hypothesis import seed as seeded
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    rule,
    run_state_machine_as_test,
)

from tests.household.sync.campaign.invariants import check_screens
from tests.household.sync.campaign.proposals import Proposer
from tests.household.sync.campaign.rules import RULES, Step, play
from tests.household.sync.campaign.settling import settle
from tests.household.sync.campaign.traces_by_hand import A_DOG, A_LOT, move, sync
from tests.household.sync.campaign.walker import PROFILES, MakeWorld, as_python
from tests.household.sync.campaign.world import PHONES

EXAMPLES = int(os.environ.get("TRENCHER_SYNC_EXAMPLES", "100"))
"""2000 is a night's work."""
STEPS = 40
SHARE = 3
"""A rule has one name for so much of its weight in a walk: what is likely is drawn often."""


PRELUDE: list[Step] = [
    A_DOG,
    A_LOT,
    move("stored", "stored", 1000),
    *(sync(phone) for phone in range(PHONES)),
]


class Machine(RuleBasedStateMachine):
    """One rule for each of the campaign's; ``make_world`` is set by machine_for."""

    make_world: MakeWorld
    began: Callable[[], None]

    def __init__(self) -> None:
        super().__init__()
        type(self).began()
        self.world = type(self).make_world().__enter__()
        self.trace: list[Step] = []
        self.data: Any = None
        self.proposer = Proposer(self.world, self._pick)
        self.failed = False

    @initialize()
    def begin(self) -> None:
        """Everybody has a dog and a lot with something in it on the screen."""
        for step in PRELUDE:
            self.trace.append(step)
            play(self.world, step)
        self.proposer.names.update({"dog": "dog", "lot": "lot", "stored": "movement"})

    def _pick(self, choices: Sequence[Any]) -> Any:
        return choices[self.data.draw(st.integers(0, len(choices) - 1))]

    def perform(self, name: str, data: Any) -> None:
        self.data = data
        step = self.proposer.step(name)
        if step is not None:
            self.trace.append(step)
            self._noting(lambda: play(self.world, step))
            self._noting(lambda: check_screens(self.world))

    def _noting(self, work: Callable[[], None]) -> None:
        try:
            work()
        except Exception as error:
            self.failed = True
            error.add_note(as_python(self.trace))
            raise

    def teardown(self) -> None:
        try:
            if not self.failed:
                self._noting(lambda: settle(self.world))
        finally:
            self.world.__exit__(None, None, None)


def machine_for(
    make_world: MakeWorld, began: Callable[[], None] = lambda: None
) -> type[RuleBasedStateMachine]:
    weights = {**dict.fromkeys(RULES, 1), **PROFILES["all"]}
    rules = {
        f"{name}_{number}": _as_rule(name)
        for name, weight in weights.items()
        for number in range(1, -(-weight // SHARE) + 1)
    }
    own = {"make_world": staticmethod(make_world), "began": staticmethod(began)}
    return type("Campaign", (Machine,), {**rules, **own})


def _as_rule(name: str) -> Callable[..., None]:
    def perform(self: Machine, data: Any) -> None:
        self.perform(name, data)

    perform.__name__ = name
    return rule(data=st.data())(perform)


def settings_of(examples: int, *, is_shrinking: bool = True) -> settings:
    phases = [Phase.explicit, Phase.reuse, Phase.generate, Phase.target]
    return settings(
        max_examples=examples,
        stateful_step_count=STEPS,
        deadline=None,
        print_blob=True,
        database=None,
        suppress_health_check=list(HealthCheck),
        phases=[*phases, Phase.shrink] if is_shrinking else phases,
        verbosity=Verbosity.normal if is_shrinking else Verbosity.quiet,
    )


def examples_until_failure(make_world: MakeWorld, *, examples: int, seed: int) -> int | None:
    """How many examples it takes until one fails; None if none does."""
    count = 0

    def began() -> None:
        nonlocal count
        count += 1

    machine = machine_for(make_world, began)
    try:
        run_state_machine_as_test(
            seeded(seed)(machine), settings=settings_of(examples, is_shrinking=False)
        )
    except Exception:
        return count
    return None
