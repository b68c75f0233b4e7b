"""Run the campaign by hand: ``python -m tests.household.sync.campaign --walks 1000 --seed 1``.

``--measure`` plants every bug in turn and prints after how many walks or examples it is found.
"""

import argparse
import logging
import os
import time
import traceback
from collections.abc import Sequence

import django
from django.db import connection
from django.test.utils import setup_test_environment

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "household.config.settings")
django.setup()

from tests.household.sync.campaign.machine import examples_until_failure  # noqa: E402
from tests.household.sync.campaign.people import Worlds, make_people, worlds_of  # noqa: E402
from tests.household.sync.campaign.plants import PLANTS, Plant  # noqa: E402
from tests.household.sync.campaign.server import Actions, Endpoints  # noqa: E402
from tests.household.sync.campaign.shrinking import shrink  # noqa: E402
from tests.household.sync.campaign.walker import (  # noqa: E402
    PROFILES,
    as_python,
    replay,
    search,
)


def main() -> None:
    given = _arguments()
    setup_test_environment()
    logging.getLogger("django.request").setLevel(logging.ERROR)  # Refusals are the daily bread.
    if connection.vendor == "sqlite":
        connection.settings_dict["TEST"]["NAME"] = None  # In memory.
    connection.creation.create_test_db(verbosity=0)
    worlds = worlds_of(make_people(), Endpoints() if given.endpoints else Actions())
    if given.measure:
        _measure(worlds, given)
    else:
        _walk(worlds, given)


def _arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--walks", type=int, default=200)
    parser.add_argument("--examples", type=int, default=0, help="of Hypothesis, with --measure")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--seeds", type=int, default=1, help="how many seeds, with --measure")
    parser.add_argument("--profile", choices=list(PROFILES))
    parser.add_argument("--plant", choices=list(PLANTS), action="append")
    parser.add_argument("--endpoints", action="store_true", help="through Django's whole stack")
    parser.add_argument("--no-shrink", action="store_true")
    parser.add_argument("--measure", action="store_true")
    return parser.parse_args()


def _profiles(given: argparse.Namespace, plant: Plant | None) -> Sequence[str]:
    if given.profile:
        return [given.profile]
    return [plant.profile] if plant else list(PROFILES)


def _walk(worlds: Worlds, given: argparse.Namespace) -> None:
    plant = PLANTS[given.plant[0]] if given.plant else None
    make_world = worlds(plant)
    begun = time.monotonic()
    profiles = _profiles(given, plant)
    failure = search(make_world, walks=given.walks, seed=given.seed, profiles=profiles)
    took = f"{time.monotonic() - begun:.0f} s"
    if failure is None:
        print(f"{given.walks} walks of seed {given.seed}: no failure, {took}")
        return
    print(f"walk {failure.walk} of seed {given.seed} fails, {took}")
    traceback.print_exception(failure.error)
    steps = failure.steps if given.no_shrink else shrink(make_world, failure.steps, failure.error)
    print(as_python(steps))
    print(replay(make_world, steps))
    if plant:
        print("With the right rule:", replay(worlds(None), steps) or "everything holds.")


def _measure(worlds: Worlds, given: argparse.Namespace) -> None:
    print("| bug | walks | examples |")
    print("| --- | --- | --- |")
    for name in given.plant or PLANTS:
        plant = PLANTS[name]
        walks, examples = [], []
        for seed in range(given.seed, given.seed + given.seeds):
            profiles = _profiles(given, plant)
            failure = search(worlds(plant), walks=given.walks, seed=seed, profiles=profiles)
            walks.append(str(failure.walk) if failure else f"> {given.walks}")
            if given.examples:
                found = examples_until_failure(worlds(plant), examples=given.examples, seed=seed)
                examples.append(str(found) if found else f"> {given.examples}")
        found_after = f"{', '.join(walks)} | {', '.join(examples)}"
        print(f"| {name}: {plant.words} | {found_after} |", flush=True)


main()
