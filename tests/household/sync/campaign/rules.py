"""All rules of the campaign, and playing a step.

Each rule is a function of the world and of plain arguments, and does nothing where it makes no
sense; so any part of a trace is a trace.
"""

from tests.household.sync.campaign import entering, faults
from tests.household.sync.campaign.steps import RULES, Step
from tests.household.sync.campaign.world import STEP_MS, World

__all__ = ["RULES", "Step", "entering", "faults", "play"]


def play(world: World, step: Step) -> None:
    """One step of a trace."""
    name, arguments = step
    world.now += STEP_MS
    RULES[name](world, **arguments)
