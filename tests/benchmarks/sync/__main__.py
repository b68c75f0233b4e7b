"""Runs the benchmarks of sync and prints them as Markdown; ratios matter, times do not.

python -m tests.benchmarks.sync [--repeats 5] [--records 10000] [--database sqlite] [--only race]

The parts: race (beside the peers), taps, reconnect, growth and, on the built app, starts.
"""

import argparse
import contextlib
import sys
from collections.abc import Sequence

from playwright.sync_api import sync_playwright

from household.config import bootstrap
from tests.benchmarks.sync import alone, bundles, races, servers, starts, tables

DATABASES = {"sqlite": servers.ours_on_sqlite, "postgresql": servers.ours_on_postgresql}
PARTS = ("race", "taps", "reconnect", "growth", "starts")


def main() -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks.sync")
    parser.add_argument("--repeats", type=int, default=5)
    parser.add_argument("--records", type=int, default=10_000)
    parser.add_argument("--database", choices=[*DATABASES, "both"], default="both")
    parser.add_argument("--only", choices=PARTS, action="append", help="may be given several times")
    parser.add_argument("--top", type=int, default=100_000, help="records at the end of growth")
    parser.add_argument("--no-peers", action="store_true", help="ours alone, while working on it")
    asked = parser.parse_args()
    parts = asked.only or PARTS
    if "race" in parts:
        race(asked)
    if any(part != "race" for part in parts):
        by_itself(asked, parts)
    return 0


def by_itself(asked: argparse.Namespace, parts: Sequence[str]) -> None:
    """What is measured of ours alone."""
    built = bundles.build()
    chosen = "sqlite" if asked.database == "both" else asked.database
    sizes = [size for size in (1_000, 10_000, 30_000, 100_000) if size <= asked.top]
    with DATABASES[chosen]() as contender, sync_playwright() as playwright:
        if "taps" in parts:
            print(f"\n{alone.taps(playwright, built, contender)}", flush=True)
        if "reconnect" in parts:
            print(f"\n{alone.reconnect(playwright, built, contender, asked.repeats)}", flush=True)
        if "growth" in parts:
            print(f"\n{alone.growth(playwright, built, contender, sizes)}", flush=True)
        if "starts" in parts:
            bootstrap.build_app()
            days = {"eight months": 240, "five years": 5 * 365}
            said = starts.starts(playwright, contender, days=days, repeats=asked.repeats)
            print(f"\n{said}", flush=True)


def race(asked: argparse.Namespace) -> None:
    built = bundles.build()
    with contextlib.ExitStack() as stack:
        chosen = DATABASES if asked.database == "both" else [asked.database]
        own = [stack.enter_context(DATABASES[name]()) for name in chosen]
        makers = [] if asked.no_peers else [servers.pouchdb, servers.rxdb]
        peers = [stack.enter_context(make()) for make in makers]
        playwright = stack.enter_context(sync_playwright())
        times = races.race(
            playwright, built, [*own, *peers], count=asked.records, repeats=asked.repeats
        )
    print(f"\n{tables.race_table(times, asked.records)}\n\n{tables.floor_table(times)}")
    for contender in own:
        print(f"\n{contender.name}\n\n{tables.goal_table(tables.goals(times, contender.name))}")


if __name__ == "__main__":
    sys.exit(main())
