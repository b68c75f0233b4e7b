"""What has no peer to stand beside: one tap, a hundred entries made offline, a long history."""

from collections.abc import Sequence
from pathlib import Path
from statistics import median

from playwright.sync_api import Playwright

from tests.benchmarks.sync.pages import bench
from tests.benchmarks.sync.races import weighings
from tests.benchmarks.sync.servers import Contender
from tests.benchmarks.sync.tables import table

SLOWER = 4
TAPS = 300
PENDING = 100
STEP = 1000


def taps(playwright: Playwright, built: Path, contender: Contender) -> str:
    """From the tap until the entry is on the disk, on a processor slowed down four times."""
    place = contender.empty_place()
    with bench(playwright, built, place) as page:
        page.call("pull")
        page.slow_down(SLOWER)
        spent = sorted(page.call("taps", weighings(TAPS, place.dogs)))
    most = spent[int(TAPS * 0.95)]
    figures = [f"{median(spent):.1f}", f"{most:.1f}", f"{spent[-1]:.1f}"]
    return table(
        ["one entry, strict, 4 x slower", "median ms", "95 % ms (goal ≤ 50)", "most ms"],
        [[contender.name, *figures]],
    )


def reconnect(playwright: Playwright, built: Path, contender: Contender, repeats: int) -> str:
    """A hundred entries made offline, one by one: from the network on until all is through."""
    pushed, whole = [], []
    for _ in range(repeats):
        place = contender.empty_place()
        with bench(playwright, built, place) as page:
            page.call("pull")
            page.page.context.set_offline(True)
            page.call("taps", weighings(PENDING, place.dogs))
            page.page.context.set_offline(False)
            push_ms, said = page.timed("push")
            pushed.append(push_ms)
            whole.append(push_ms + said["echo_ms"])
    return table(
        [f"{PENDING} pending entries", "sent ms", "sent and pulled ms (goal ≤ 2,000)"],
        [[contender.name, f"{median(pushed):,.0f}", f"{median(whole):,.0f}"]],
    )


def growth(playwright: Playwright, built: Path, contender: Contender, sizes: Sequence[int]) -> str:
    """Cost of a record as its household grows: of a thousand more, and of pulling all of them."""
    place = contender.empty_place()
    rows: list[list[float]] = []
    held = 0
    with bench(playwright, built, place) as page:
        page.call("pull")
        for size in sizes:
            while held < size - STEP:
                some = min(10_000, size - STEP - held)
                page.call("write", weighings(some, place.dogs))
                page.call("push")
                held += some
            write_ms, _ = page.timed("write", weighings(STEP, place.dogs))
            push_ms, _ = page.timed("push")
            held += STEP
            with bench(playwright, built, place) as fresh:
                pull_ms, _ = fresh.timed("pull")
            rows.append([write_ms / STEP, push_ms / STEP, pull_ms / size])
    first = rows[0]
    return table(
        ["µs a record (× the first)", "write", "push", "fresh pull"],
        [
            [
                f"{size:,}",
                *(f"{x * 1000:,.0f} (×{x / y:.2f})" for x, y in zip(row, first, strict=True)),
            ]
            for size, row in zip(sizes, rows, strict=True)
        ],
    )
