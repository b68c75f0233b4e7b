"""Makes a failing trace short: delta debugging, then one step at a time."""

from collections.abc import Callable

from tests.household.sync.campaign.invariants import Broken
from tests.household.sync.campaign.rules import Step
from tests.household.sync.campaign.walker import MakeWorld, replay

Fails = Callable[[list[Step]], bool]


def shrink(make_world: MakeWorld, steps: list[Step], error: Exception) -> list[Step]:
    """The shortest trace found that breaks the same rule."""
    cause = rule_of(error)
    return minimised(list(steps), lambda part: rule_of(replay(make_world, part)) == cause)


def minimised(steps: list[Step], fails: Fails) -> list[Step]:
    """Zeller and Hildebrandt, "Simplifying and isolating failure-inducing input" (2002): leave out
    ever smaller pieces as long as what is left still fails."""
    size = max(1, len(steps) // 2)
    while True:
        steps, has_shrunk = _without_pieces(steps, size, fails)
        if size == 1 and not has_shrunk:
            return steps
        size = size if has_shrunk and size == 1 else max(1, size // 2)


def _without_pieces(steps: list[Step], size: int, fails: Fails) -> tuple[list[Step], bool]:
    has_shrunk = False
    start = 0
    while start < len(steps):
        shorter = steps[:start] + steps[start + size :]
        if fails(shorter):
            steps, has_shrunk = shorter, True
        else:
            start += size
    return steps, has_shrunk


def rule_of(error: Exception | None) -> str | None:
    """What a failure is a failure of: the rule that is broken, else the kind of error."""
    if isinstance(error, Broken):
        return error.rule
    return None if error is None else type(error).__name__
