"""Pages of a fresh profile in headless Chromium, on the disk as a phone's would be."""

import contextlib
import shutil
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from playwright.sync_api import BrowserContext, Page, Playwright

from tests.benchmarks.sync.servers import Place

PATIENCE_MS = 600_000
# Keeps Chromium off networks it has no business with, and lets it run as root.
FLAGS = (
    "--no-sandbox",
    "--disable-gpu",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)


@contextlib.contextmanager
def profile(playwright: Playwright, **options: Any) -> Iterator[BrowserContext]:
    """A browser with a profile of its own: private windows would keep their stores in memory."""
    chromium = shutil.which("chromium")
    if chromium is None:
        sys.exit("Install chromium first.")
    with tempfile.TemporaryDirectory(prefix="profile-", ignore_cleanup_errors=True) as folder:
        context = playwright.chromium.launch_persistent_context(
            folder, executable_path=chromium, args=FLAGS, locale="en-GB", **options
        )
        context.set_default_timeout(PATIENCE_MS)
        try:
            yield context
        finally:
            context.close()


def sign_in(context: BrowserContext, place: Place) -> None:
    context.add_cookies(
        [{"name": name, "value": value, "url": place.url} for name, value in place.cookies]
    )


@contextlib.contextmanager
def bench(playwright: Playwright, built: Path, place: Place) -> Iterator["Bench"]:
    """A contender's script, ready in a page of its server."""
    # The app's own policy lets no script in from outside.
    with profile(playwright, bypass_csp=True) as context:
        sign_in(context, place)
        page = context.pages[0]
        page.goto(place.url)
        page.add_script_tag(path=str(built / f"{place.script}.js"))
        opened = Bench(page)
        opened.call("open", place.options)
        yield opened


class Bench:
    """`window.bench` of a page. Every call is awaited; its time is measured in the page."""

    def __init__(self, page: Page) -> None:
        self.page = page

    def call(self, name: str, argument: Any = None) -> Any:
        return self.page.evaluate("([name, argument]) => bench[name](argument)", [name, argument])

    def timed(self, name: str, argument: Any = None) -> tuple[float, dict[str, float]]:
        """Milliseconds, and what else the call says. A call may name its own part of the time."""
        spent, said = self.page.evaluate(
            """async ([name, argument]) => {
              const begun = performance.now();
              const said = await bench[name](argument);
              return [performance.now() - begun, said ?? {}];
            }""",
            [name, argument],
        )
        return said.get("phase_ms", spent), said

    def slow_down(self, rate: float) -> None:
        session = self.page.context.new_cdp_session(self.page)
        session.send("Emulation.setCPUThrottlingRate", {"rate": rate})
