"""The app itself: its first screen on a new phone; without the network a start, and a meal fed.

The page itself says when something was painted: whoever asks it from outside waits for an
answer as long as it has other things to do.
"""

from statistics import median
from time import monotonic

from playwright.sync_api import BrowserContext, Page, Playwright

from tests.benchmarks.sync.history import write_history
from tests.benchmarks.sync.pages import profile, sign_in
from tests.benchmarks.sync.servers import Contender, Place
from tests.benchmarks.sync.tables import table
from tests.browser.handset import UNTIL_CONTROLLED

SLOWER = 4
PHONE = {"viewport": {"width": 390, "height": 844}, "has_touch": True}
WATCH = """
  window.painted = {};
  const WORDS = {shown: 'Breakfast', fed: '. Undo'};
  new MutationObserver(() => {
    const text = document.querySelector('main')?.textContent ?? '';
    for (const [name, words] of Object.entries(WORDS)) {
      if (name in painted || !text.includes(words)) continue;
      painted[name] = null;
      requestAnimationFrame(() => setTimeout(() => (painted[name] = performance.now())));
    }
  }).observe(document, {subtree: true, childList: true, characterData: true});
  addEventListener('click', () => (painted.tapped ??= performance.now()), true);
"""
"""Milliseconds from the start of the navigation; with a mealtime on Today one can feed."""
UNTIL_PAINTED = """
  (name) => new Promise((done) => {
    const look = () => (window.painted?.[name] ? done(painted[name]) : setTimeout(look, 20));
    look();
  })
"""
SYNCED = "a[href='/waiting'] [role=status] >> text=synced"
FEED = "main >> role=button[name=/fed as usual/]"
SETTLED_MS = 15_000
"""A phone that has been used: what it does later, when nobody waits, is done."""


def starts(
    playwright: Playwright, contender: Contender, *, days: dict[str, int], repeats: int
) -> str:
    """Of each history: first screen of a new phone; then offline a cold start, and a meal."""
    rows = []
    for words, length in days.items():
        place = contender.empty_place()
        assert place.api is not None
        count = write_history(place.api, days=length)
        times = [_start(playwright, contender, place) for _ in range(repeats)]
        figures = [f"{median(each):,.0f}" for each in zip(*times, strict=True)]
        rows.append([f"{words}, {count:,} records", *figures])
    head = [
        "median ms",
        "first screen (goal ≤ 1,000)",
        "all of it",
        "offline, 4 x slower (≤ 1,500)",
        "a meal fed, 4 x slower",
    ]
    return table(head, rows)


def _start(
    playwright: Playwright, contender: Contender, place: Place
) -> tuple[float, float, float, float]:
    with profile(playwright, **PHONE) as context:
        context.add_init_script(WATCH)
        sign_in(context, place)
        page = context.pages[0]
        begun = monotonic()
        page.goto(f"{contender.url}/today", wait_until="commit")
        page.wait_for_selector(SYNCED)
        whole_ms = (monotonic() - begun) * 1000
        first_ms = _painted(page, "shown")
        page.evaluate(UNTIL_CONTROLLED)
        page.wait_for_timeout(SETTLED_MS)
        page.close()
        context.set_offline(True)
        return first_ms, whole_ms, *_cold(context, contender)


def _cold(context: BrowserContext, contender: Contender) -> tuple[float, float]:
    page: Page = context.new_page()
    session = context.new_cdp_session(page)
    session.send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
    page.goto(f"{contender.url}/today", wait_until="commit")
    shown_ms = _painted(page, "shown")
    page.locator(FEED).tap()
    return shown_ms, _painted(page, "fed") - _painted(page, "tapped")


def _painted(page: Page, name: str) -> float:
    return float(page.evaluate(UNTIL_PAINTED, name))
