"""What push and pull cost the server, on SQLite and PostgreSQL, beside a floor. Prints Markdown.

The floor reads the same JSON and keeps each body in one table, without checks or merging; both take
turns, so that whatever else the machine does hits them alike. Then the cost in a household of ever
more records, each in a database of its own, in turns too; and ten devices at once. SQLite is a file
with the settings of `serve`; PostgreSQL runs with fsync off (tests/services.py).

Run: python -m tests.benchmarks.sync_server [--ops 10000] [--repeats 5] [--records 1000 100000]
"""

import json
import os
import subprocess
import sys
import tempfile
from argparse import ArgumentParser
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from math import ceil
from statistics import median
from typing import Any

from tests.services import find_initdb, postgresql

COMMON = {**os.environ, "TRENCHER_NO_SETUP": "1", "TRENCHER_NO_FRONTEND": "1"}


@contextmanager
def sqlite() -> Iterator[dict[str, str]]:
    """The environment of an empty SQLite database that is thrown away."""
    with tempfile.TemporaryDirectory(prefix="sync-server-") as folder:
        own = {name: value for name, value in COMMON.items() if name != "DATABASE_URL"}
        yield {**own, "TRENCHER_DATA": folder}


@contextmanager
def postgres() -> Iterator[dict[str, str]]:
    """The same of a PostgreSQL server."""
    initdb = find_initdb()
    if initdb is None:
        sys.exit("Install postgresql first.")
    with sqlite() as environment, postgresql(initdb) as address:
        yield {**environment, "DATABASE_URL": address}


DATABASES = {"SQLite": sqlite, "PostgreSQL": postgres}


def answer(environment: dict[str, str], module: str, *arguments: object) -> Any:
    """What a module of server_side prints when run in that environment."""
    command = [sys.executable, "-m", f"tests.benchmarks.server_side.{module}"]
    run = subprocess.run(
        [*command, *map(str, arguments)], env=environment, check=True, stdout=subprocess.PIPE
    )
    return json.loads(run.stdout)


def side_by_side(name: str, times: dict[str, list[tuple[float, float]]], ops: int) -> None:
    print(f"\n{name}, {ops} entries in batches of 500, pages of 1000:\n")
    print("| | ours [s] | floor [s] | ratio |\n| --- | --- | --- | --- |")
    for what, pairs in times.items():
        ours, floor = [ours for ours, _ in pairs], [floor for _, floor in pairs]
        ratios = [ours / floor for ours, floor in pairs]
        print(f"| {what} | {_spread(ours)} | {_spread(floor)} | {_spread(ratios)} |")
    pushed, again = times["push new records"], times["push the same again"]
    shares = [second[0] / first[0] for first, second in zip(pushed, again, strict=True)]
    print(f"\nPushing the same again takes {_spread(shares)} of the first push.")


def _spread(values: list[float]) -> str:
    return f"{median(values):.2f} ({min(values):.2f} to {max(values):.2f})"


class Grown:
    """A process with a household of so many records; it measures when told to."""

    def __init__(self, records: int, environment: dict[str, str]) -> None:
        module = "tests.benchmarks.server_side.growth"
        self.records = records
        self.process = subprocess.Popen(
            [sys.executable, "-m", module, str(records)],
            env=environment,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )

    def answer(self) -> Any:
        assert self.process.stdout is not None
        return json.loads(self.process.stdout.readline())

    def once(self) -> dict[str, float]:
        assert self.process.stdin is not None
        print("go", file=self.process.stdin, flush=True)
        spent: dict[str, float] = self.answer()
        return spent

    def end(self) -> None:
        self.process.communicate()


def growth(name: str, sizes: list[int], repeats: int) -> None:
    """Print what the same batch costs in households of those sizes, against the smallest."""
    with ExitStack() as stack:
        grown = []
        for size in sizes:
            each = Grown(size, stack.enter_context(DATABASES[name]()))
            stack.callback(each.end)
            grown.append(each)
        memory = [each.answer()["memory"] for each in grown]
        rounds = [[each.once() for each in grown] for _ in range(repeats)]
    print(f"\n{name}, a batch of 500 and a page of 1000 by the records in the household, ratios:\n")
    print("| |" + "".join(f" {size} |" for size in sizes) + "\n| --- |" + " --- |" * len(sizes))
    for what in rounds[0][0]:
        ratios = [
            [times[index][what] / times[0][what] for times in rounds] for index in range(len(sizes))
        ]
        print(f"| {what} |" + "".join(f" {_spread(each)} |" for each in ratios))
    print("| memory of a page |" + "".join(f" {each / 2**20:.1f} MiB |" for each in memory))


def crowd(name: str) -> None:
    with DATABASES[name]() as environment:
        found = answer(environment, "crowd")
    alone, together = found["alone"], found["together"]
    print(f"\n{name}, pushes of 20 entries by ten devices at once: {found['errors']} errors in ")
    print(f"{len(together)}; half take at most {median(together) * 1e3:.0f} ms, 95 % at most ")
    print(f"{_late(together) * 1e3:.0f} ms; one device alone {median(alone) * 1e3:.0f} ms and ")
    print(f"{_late(alone) * 1e3:.0f} ms.")


def _late(values: list[float]) -> float:
    return sorted(values)[max(0, ceil(0.95 * len(values)) - 1)]


def main() -> int:
    parser = ArgumentParser(description=(__doc__ or "").partition("\n")[0])
    parser.add_argument("--ops", type=int, default=10_000)
    parser.add_argument("--repeats", type=int, default=5)
    parser.add_argument("--records", type=int, nargs="*", default=[1_000, 10_000, 100_000])
    options = parser.parse_args()
    for name, database in DATABASES.items():
        with database() as environment:
            times = answer(environment, "scenarios", options.ops, options.repeats)
        side_by_side(name, times, options.ops)
        if options.records:
            growth(name, options.records, 3 * options.repeats)
        crowd(name)
    return 0


if __name__ == "__main__":
    sys.exit(main())
