"""The weighted random walker, and replaying and printing what it walked."""

import random
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from tests.household.sync.campaign.invariants import check_screens
from tests.household.sync.campaign.proposals import Proposer
from tests.household.sync.campaign.rules import Step, play
from tests.household.sync.campaign.settling import settle
from tests.household.sync.campaign.world import World

MakeWorld = Callable[[], World]
STEPS = 60

ENTRIES = {
    "create": 8,
    "edit": 8,
    "open": 3,
    "save": 4,
    "remove": 1,
    "delete": 3,
    "undelete": 2,
    "resolve": 3,
    "move": 3,
    "count": 2,
    "discard": 2,
    "resend": 3,
    "put_back": 1,
    "dismiss": 1,
}
NETWORK = {"push": 14, "pull": 12, "sync": 8, "arrive": 3, "reply": 4, "crash": 1}
PROFILES: dict[str, dict[str, int]] = {
    "all": {
        **ENTRIES,
        **NETWORK,
        "clock": 1,
        "wipe": 1,
        "reuse": 1,
        "backup": 2,
        "restore": 2,
        "server_write": 3,
        "server_delete": 1,
        "role": 1,
        "remove_member": 1,
        "invite": 2,
        "deploy": 1,
        "update_app": 1,
    },
    # Restores combined with changes of role, and an older backup before a newer one.
    "restore+roles": {
        **ENTRIES,
        **NETWORK,
        "wipe": 1,
        "backup": 5,
        "restore": 7,
        "server_write": 2,
        "role": 6,
        "remove_member": 1,
        "invite": 2,
    },
    # No restore and no role: people who write the same things at the same time.
    "merge": {
        **ENTRIES,
        **NETWORK,
        "clock": 2,
        "edit": 14,
        "delete": 5,
        "resolve": 5,
        "move": 6,
        "count": 5,
        "server_write": 2,
        "reuse": 1,
        "deploy": 1,
        "update_app": 1,
    },
}


@dataclass
class Failure:
    """A trace that breaks an invariant."""

    steps: list[Step]
    error: Exception
    walk: int = 0


def walk(make_world: MakeWorld, seed: str, profile: str, steps: int = STEPS) -> Failure | None:
    """One walk; the same for the same seed."""
    generator = random.Random(seed)
    weights = PROFILES[profile]
    trace: list[Step] = []
    with make_world() as world:
        proposer = Proposer(world, generator.choice)
        try:
            while len(trace) < steps:
                rule = generator.choices(list(weights), list(weights.values()))[0]
                step = proposer.step(rule)
                if step is not None:
                    trace.append(step)
                    play(world, step)
                    check_screens(world)
            settle(world)
        except Exception as error:
            return Failure(trace, error)
    return None


def search(
    make_world: MakeWorld, *, walks: int, seed: int, profiles: Sequence[str], first: int = 1
) -> Failure | None:
    """Walks until one fails; ``walk`` of the failure counts from 1."""
    for number in range(first, walks + 1):
        profile = profiles[number % len(profiles)]
        failure = walk(make_world, f"{seed} {number}", profile)
        if failure is not None:
            failure.walk = number
            return failure
    return None


def replay(make_world: MakeWorld, steps: Iterable[Step]) -> Exception | None:
    """What a trace ends in: None if everything holds."""
    with make_world() as world:
        try:
            for step in steps:
                play(world, step)
                check_screens(world)
            settle(world)
        except Exception as error:
            return error
    return None


def as_python(steps: Iterable[Step]) -> str:
    """A trace to paste into a directed test."""
    lines = [f"    ({name!r}, {_arguments(arguments)})," for name, arguments in steps]
    return "\n".join(["TRACE: list[Step] = [", *lines, "]"]).replace("'", '"')


def _arguments(arguments: dict[str, Any]) -> str:
    return "{" + ", ".join(f"{name!r}: {value!r}" for name, value in arguments.items()) + "}"
