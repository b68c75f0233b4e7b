"""A phone in somebody's hand: what a thumb does on it, and what its marks say."""

import contextlib
import re
from dataclasses import dataclass, field
from typing import Literal

from playwright.sync_api import BrowserContext, Locator, Page, expect
from playwright.sync_api import Error as PlaywrightError

Mark = Literal["Saved on this phone", "Everything synced", "Needs you"]
# A round of sync, a slow machine and a pause between two tries.
SOON_MS = 20_000
# A promise, because waiting for an expression would need a page that may evaluate text.
UNTIL_CONTROLLED = """() => new Promise((done) => {
  const workers = navigator.serviceWorker;
  if (workers.controller) done();
  else workers.addEventListener('controllerchange', () => done());
})"""


@dataclass
class Handset:
    """One browser profile with one page. The page may be killed; what it stored may not."""

    context: BrowserContext
    page: Page = field(init=False)
    complaints: list[str] = field(default_factory=list)
    """Errors that pages wrote to the console."""

    def __post_init__(self) -> None:
        self.page = self._new_page()

    def _new_page(self) -> Page:
        page = self.context.new_page()
        page.on("pageerror", lambda error: self.complaints.append(str(error)))
        page.on(
            "console",
            lambda message: (
                self.complaints.append(message.text) if message.type == "error" else None
            ),
        )
        return page

    # Where one is

    def open(self, path: str) -> "Handset":
        self.page.goto(path)
        return self

    def ready(self) -> "Handset":
        """Until the worker holds the app and a first fetch is complete: then it works offline."""
        self.page.evaluate(UNTIL_CONTROLLED)
        self.sees_mark("Everything synced")
        return self

    def cut_network(self) -> None:
        self.context.set_offline(True)

    def restore_network(self) -> None:
        self.context.set_offline(False)

    def crash(self) -> None:
        """Kills the page's process, as a phone short of memory does: the page is told nothing."""
        # The address ends the process before anything can answer.
        with self.page.expect_event("crash"), contextlib.suppress(PlaywrightError):
            self.page.goto("chrome://crash", wait_until="commit")
        self.page.close()

    def reopen(self, path: str) -> "Handset":
        """Opens the app again in a new page of the same profile."""
        if not self.page.is_closed():
            self.page.close()
        self.page = self._new_page()
        return self.open(path)

    # What stands there

    @property
    def sheet(self) -> Locator:
        return self.page.get_by_role("dialog").last

    @property
    def front(self) -> Locator:
        """What can be touched: the open sheet, else the page."""
        return (
            self.sheet if self.page.get_by_role("dialog").count() > 0 else self.page.locator("body")
        )

    def sees(self, words: str | re.Pattern[str], *, soon_ms: float = SOON_MS) -> None:
        expect(self.front.get_by_text(words).first).to_be_visible(timeout=soon_ms)

    def misses(self, words: str | re.Pattern[str]) -> None:
        expect(self.front.get_by_text(words)).to_have_count(0)

    def sees_title(self, words: str | re.Pattern[str]) -> None:
        expect(self.page.get_by_role("heading", level=1)).to_have_text(words)

    @property
    def mark(self) -> Locator:
        return self.page.locator("a[href='/waiting'] [role=status]")

    def sees_mark(self, words: Mark) -> None:
        self._mark_reads(words.replace(" ", r"\s+"))

    def waits_with(self, count: int) -> None:
        self._mark_reads(rf"{count}\s+waiting")

    def count_waiting(self) -> int:
        """How many entries the mark says wait; for when nothing is being sent."""
        self._mark_reads(r"[1-9]\d*\s+waiting")
        return int(self.mark.inner_text().split()[0])

    def _mark_reads(self, pattern: str) -> None:
        # As it is shown: its words stand in two lines.
        words = re.compile(rf"^\s*{pattern}\s*$")
        expect(self.mark).to_have_text(words, use_inner_text=True, timeout=SOON_MS)

    # What a thumb does

    def button(self, name: str | re.Pattern[str]) -> Locator:
        """A button, or a link that looks like one, by the start of its words."""
        words = re.compile(rf"^\s*{re.escape(name)}") if isinstance(name, str) else name
        scope = self.front
        return scope.get_by_role("button", name=words).or_(scope.get_by_role("link", name=words))

    def tap(self, name: str | re.Pattern[str]) -> None:
        self.button(name).first.tap()

    def fill(self, label: str, text: str) -> None:
        self.labelled(label).fill(text)

    def labelled(self, label: str) -> Locator:
        words = re.compile(rf"^\s*{re.escape(label)}(\s+may stay empty)?\s*$")
        return self.front.get_by_label(words)

    def choose(self, group: str, word: str) -> None:
        """A word of a row of words, such as "Slow" of "Appetite"."""
        row = self.front.get_by_role("group", name=re.compile(re.escape(group)))
        row.get_by_role("button", name=word, exact=True).tap()

    def tick_all(self) -> None:
        boxes = self.front.get_by_role("checkbox")
        expect(boxes.first).to_be_visible()
        for box in boxes.all():
            box.tap()

    def sheet_closes(self) -> None:
        expect(self.page.get_by_role("dialog")).to_have_count(0)

    def meet_server(self) -> None:
        """Asks for a round of sync and waits until it is over."""
        self.open("/waiting")
        self.tap("Try now")
        self.sees(re.compile(r"^Met the server at"))
