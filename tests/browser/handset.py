"""A phone in somebody's hand: what a thumb does on it, and what its marks say."""

import contextlib
import re
from dataclasses import dataclass, field
from typing import Any, Literal

from playwright.sync_api import BrowserContext, Locator, Page, Route, expect
from playwright.sync_api import Error as PlaywrightError
from playwright.sync_api import TimeoutError as PlaywrightTimeout

from tests.patience import PATIENCE_S

Mark = Literal["Saved on this phone", "Everything synced", "Needs you"]
SOON_MS = PATIENCE_S * 1000
API = "**/api/**"
CLOSED_WITHIN_MS = 5_000
HEARD_WITHIN_MS = 15_000
TRIES = 6
ANSWERED_WITHIN_MS = SOON_MS
# Promises, because waiting for an expression would need a page that may evaluate text.
UNTIL_CONTROLLED = """() => new Promise((done) => {
  const workers = navigator.serviceWorker;
  if (workers.controller) done();
  else workers.addEventListener('controllerchange', () => done());
})"""
# A promise asked of a page is waited for without end, unless the page itself gives up.
IN_TIME = """(given) => Promise.race([
  (%s)(given),
  new Promise((_, fail) => setTimeout(() => fail(new Error('no answer in %d ms')), %d)),
])"""
# What a test does to the store behind the app's back; nothing here knows what is in it.
HOLD_STORE_OPEN = """(name) => new Promise((done, fail) => {
  const asked = indexedDB.open(name);
  // No listener for a change of version: so it stays open, and in the way.
  asked.onsuccess = () => { window.held = asked.result; done(asked.result.version); };
  asked.onerror = () => fail(asked.error);
})"""
RAISE_STORE = """({name, by}) => new Promise((done, fail) => {
  const known = indexedDB.open(name);
  known.onerror = () => fail(known.error);
  known.onsuccess = () => {
    const version = known.result.version + by;
    known.result.close();
    const raised = indexedDB.open(name, version);
    raised.onupgradeneeded = () => {
      raised.result.createObjectStore('later').add('kept', 'key');
    };
    raised.onerror = () => fail(raised.error);
    raised.onsuccess = () => { raised.result.close(); done(version); };
  };
})"""
# The version and all contents of a store, to compare.
STORE_CONTENTS = """(name) => new Promise((done, fail) => {
  const asked = indexedDB.open(name);
  asked.onerror = () => fail(asked.error);
  asked.onsuccess = () => {
    const db = asked.result;
    const names = [...db.objectStoreNames];
    const found = {version: db.version};
    const reading = db.transaction(names);
    for (const each of names) {
      const all = reading.objectStore(each).getAll();
      all.onsuccess = () => { found[each] = all.result; };
    }
    reading.oncomplete = () => { db.close(); done(JSON.stringify(found)); };
  };
})"""
# Runs before the app and makes it ask for the next version of its store, as a new build does.
NEXT_VERSION = """(() => {
  const open = IDBFactory.prototype.open;
  IDBFactory.prototype.open = function (name, version) {
    const isHousehold = name.startsWith('trencher-') && name !== 'trencher-device';
    return open.call(this, name, isHousehold && version ? version + 1 : version);
  };
})()"""


def _refuse(route: Route) -> None:
    route.abort("internetdisconnected")


def ask(page: Page, script: str, given: Any = None) -> Any:
    """What a function of the page comes to. Fails when its promise is not kept soon."""
    return page.evaluate(IN_TIME % (script, ANSWERED_WITHIN_MS, ANSWERED_WITHIN_MS), given)


def close(page: Page) -> None:
    """Closes a page, and asks again where that has no effect.

    Chromium may answer that it closes a page which is just changing to another document, and leave
    it open; `Page.close()` alone then waits without end.
    https://github.com/microsoft/playwright/issues/42366
    """
    for _ in range(3):
        with contextlib.suppress(PlaywrightTimeout):
            with page.expect_event("close", timeout=CLOSED_WITHIN_MS):
                # Asked so, it only asks: that it has closed is told by the event.
                page.close(run_before_unload=True)
            return
    raise TimeoutError(f"{page.url} does not close.")


def store_of(household: str) -> str:
    """The name of a household's store in the browser."""
    return f"trencher-{household}"


@dataclass
class Handset:
    """One browser profile with one page. The page may be killed; what it stored may not."""

    context: BrowserContext
    script: str | None = None
    """What runs in every page of this handset before anything else."""
    page: Page = field(init=False)
    complaints: list[str] = field(default_factory=list)
    """Errors that pages wrote to the console."""

    def __post_init__(self) -> None:
        self.page = self._new_page()

    def _new_page(self) -> Page:
        page = self.context.new_page()
        if self.script is not None:
            page.add_init_script(self.script)
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
        ask(self.page, UNTIL_CONTROLLED)
        self.sees_mark("Everything synced")
        return self

    def cut_network(self) -> None:
        self.context.set_offline(True)
        # A document that is only just being opened has been seen to reach the server all the same.
        self.context.route(API, _refuse)

    def restore_network(self) -> None:
        self.context.unroute(API, _refuse)
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
            close(self.page)
        self.page = self._new_page()
        return self.open(path)

    def beside(self, path: str = "/today") -> "Handset":
        """Another tab of the same browser."""
        return Handset(self.context, self.script).open(path)

    def bare_page(self) -> Page:
        """A page of the same origin without the app.

        A picture, because the worker answers every address outside `/static` and `/api` with the
        app: two of them would then be at work.
        """
        page = self.context.new_page()
        page.goto("/static/app/icon-192.png")
        assert page.evaluate("document.scripts.length") == 0
        return page

    # What stands there

    @property
    def sheet(self) -> Locator:
        return self.page.get_by_role("dialog").last

    @property
    def front(self) -> Locator:
        """What can be touched: the open sheet, else the page.

        Looked for anew at each try: a sheet may be just opening or closing.
        """
        return self.page.locator("body").or_(self.page.get_by_role("dialog")).last

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

    def mark_is_not(self, words: Mark) -> None:
        pattern = re.compile(words.replace(" ", r"\s+"))
        expect(self.mark).not_to_have_text(pattern, use_inner_text=True)

    def says(self, words: str) -> None:
        """A notice of the whole page, which stands behind an open sheet too."""
        expect(self.page.get_by_text(words)).to_be_attached(timeout=SOON_MS)

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
        said = self.page.get_by_text(re.compile(r"^(Met the server|Another tab of this app is) at"))
        # What arrives meanwhile moves the button away from under a thumb: then it is tapped again.
        # And the page that stood here before may be at it still, as another tab would be.
        for _ in range(TRIES):
            self.tap("Try now")
            with contextlib.suppress(AssertionError):
                expect(said).to_be_visible(timeout=HEARD_WITHIN_MS)
                if said.inner_text().startswith("Met"):
                    return
            self.page.wait_for_timeout(1_000)
        self.sees(re.compile("^Met the server at"))
