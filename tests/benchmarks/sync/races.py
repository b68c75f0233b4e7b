"""The same small records in every contender: written, pushed, pulled afresh and pushed again."""

import random
from collections import defaultdict
from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from playwright.sync_api import Playwright

from tests.benchmarks.sync.pages import Bench, bench
from tests.benchmarks.sync.servers import Contender, Place
from tests.browser.api import uuid7

FIRST = datetime(2021, 11, 1, 6, tzinfo=UTC)
Times = dict[str, list[float]]
"""Phase → milliseconds, one per repeat."""


def weighings(count: int, dogs: Sequence[str], *, seed: int = 1) -> list[dict[str, Any]]:
    chance = random.Random(seed)
    return [
        {
            "id": uuid7(),
            "dog": dogs[number % len(dogs)],
            "at": (FIRST + timedelta(minutes=7 * number)).strftime("%Y-%m-%dT%H:%M:%SZ"),
            "mass_g": chance.randrange(7_000, 31_000),
        }
        for number in range(count)
    ]


def race(
    playwright: Playwright,
    built: Path,
    contenders: Sequence[Contender],
    *,
    count: int,
    repeats: int,
) -> dict[str, Times]:
    """Every contender's times. The order changes with each repeat, so that none is always last."""
    times: dict[str, Times] = defaultdict(lambda: defaultdict(list))
    for repeat in range(repeats):
        turn = repeat % len(contenders)
        for contender in [*contenders[turn:], *contenders[:turn]]:
            _run(playwright, built, contender, count, times[contender.name])
            print(f"  repeat {repeat + 1}: {contender.name}", flush=True)
    return times


def _run(
    playwright: Playwright, built: Path, contender: Contender, count: int, times: Times
) -> None:
    place = contender.empty_place()
    records = weighings(count, place.dogs)
    with bench(playwright, built, place) as page:
        if contender.is_ours:
            page.call("pull")
        times["write"].append(page.timed("write", records)[0])
        if contender.is_ours:
            said = page.call("floors", records)
            times["plain"].append(said["plain_ms"])
            times["bulk"].append(said["bulk_ms"])
        push_ms, said = page.timed("push")
        times["push"].append(push_ms)
        if "echo_ms" in said:
            times["echo"].append(said["echo_ms"])
        _verify(contender, place, page, count)
        times["resend"].append(page.timed("resend")[0])
        _verify(contender, place, page, count)
    with bench(playwright, built, place) as page:
        times["pull"].append(page.timed("pull")[0])
        _verify(contender, place, page, count)


def _verify(contender: Contender, place: Place, page: Bench, count: int) -> None:
    """Both ends hold every record, and hold it once."""
    here = page.call("count")
    there = len(place.api.rows("weighing")) if place.api else page.call("countAtServer")
    if (here, there) != (count, count):
        raise AssertionError(f"{contender.name}: {here} on the phone, {there} at the server.")
