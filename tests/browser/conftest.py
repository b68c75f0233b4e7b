"""A real server, as `manage.py serve` starts it, and phone-sized pages in a real Chromium."""

import contextlib
import os
import shutil
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from datetime import time as time_of_day
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect

from tests.browser.api import ZONE, Api
from tests.browser.fault_proxy import FaultProxy
from tests.browser.handset import SOON_MS, UNTIL_CONTROLLED, Handset, ask
from tests.household.config.serving import descendants
from tests.patience import PATIENCE_S

ROOT = Path(__file__).resolve().parents[2]
LONGEST_TEST = timedelta(minutes=4)
# Playwright's own five seconds are short for a machine that runs other tests beside.
expect.set_options(timeout=SOON_MS)


@pytest.fixture(autouse=True)
def one_day() -> None:
    """Waits for the new day, where a test might begin on one day and end on the next.

    Phones, server and test each look at the clock: what was written "today" would be read as
    of yesterday.
    """
    for zone in (ZONE, "UTC"):
        now = datetime.now(ZoneInfo(zone))
        ends_on = (now + LONGEST_TEST).date()
        if ends_on != now.date():
            midnight = datetime.combine(ends_on, time_of_day.min, now.tzinfo)
            time.sleep((midnight - now).total_seconds() + 1)


@dataclass
class Server:
    """The whole of Trencher in a folder of its own: web, worker and beat."""

    port: int
    data: Path
    process: subprocess.Popen[bytes] | None = field(default=None, repr=False)

    @property
    def url(self) -> str:
        return f"http://localhost:{self.port}"

    @property
    def database(self) -> Path:
        return self.data / "trencher.sqlite3"

    @property
    def environment(self) -> dict[str, str]:
        return {
            **os.environ,
            "TRENCHER_DATA": str(self.data),
            "TRENCHER_HEARTBEAT_SECONDS": "1",
        }

    def start(self) -> None:
        log = (self.data / "serve.log").open("ab")
        serve = ["serve", "--host", "127.0.0.1", "--port", str(self.port), "--no-https"]
        self.process = subprocess.Popen(
            [sys.executable, "manage.py", *serve],
            cwd=ROOT,
            env=self.environment,
            stdout=log,
            stderr=log,
        )
        deadline = time.monotonic() + PATIENCE_S
        while time.monotonic() < deadline:
            try:
                with urllib.request.urlopen(f"{self.url}/api/session", timeout=5):
                    return
            except OSError:
                time.sleep(0.2)
        raise TimeoutError(f"No answer from {self.url}:\n{self.log()}")

    def stop(self) -> None:
        if self.process is not None:
            self.process.send_signal(signal.SIGTERM)
            self.process.wait(PATIENCE_S)
            self.process = None

    def kill(self) -> None:
        """Ends all its processes at once and without a word, as a power cut does."""
        assert self.process is not None
        # The parent first: it would start or stop others.
        for pid in [self.process.pid, *descendants(self.process.pid)]:
            with contextlib.suppress(ProcessLookupError):
                os.kill(pid, signal.SIGKILL)
        self.process.wait(PATIENCE_S)
        self.process = None

    def manage(self, *arguments: str) -> str:
        """What a management command prints, run beside the server on the same data."""
        done = subprocess.run(
            [sys.executable, "manage.py", *arguments],
            cwd=ROOT,
            env=self.environment,
            capture_output=True,
            text=True,
            timeout=120,
            check=False,
        )
        assert done.returncode == 0, done.stdout + done.stderr
        return done.stdout

    def log(self) -> str:
        return (self.data / "serve.log").read_text("utf-8", errors="replace")[-8000:]

    def forget_attempts(self) -> None:
        """As if an hour had passed: sign-ups from one address are counted, and here all are."""
        shutil.rmtree(self.data / "cache", ignore_errors=True)


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
        return port


@pytest.fixture(scope="session")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    running = Server(port=free_port(), data=tmp_path_factory.mktemp("served"))
    running.start()
    yield running
    running.stop()


@pytest.fixture
def proxy(server: Server) -> Iterator[FaultProxy]:
    with FaultProxy(server.port) as standing:
        yield standing


Phone = Callable[..., BrowserContext]


@pytest.fixture
def phone(browser: Browser, server: Server) -> Iterator[Phone]:
    """Makes a phone: a browser profile of its own, 390 by 844 unless told otherwise."""
    made: list[BrowserContext] = []

    def make(
        *,
        width: int = 390,
        height: int = 844,
        dark: bool = False,
        zone: str = "Europe/London",
        url: str | None = None,
    ) -> BrowserContext:
        context = browser.new_context(
            base_url=url or server.url,
            viewport={"width": width, "height": height},
            device_scale_factor=2,
            is_mobile=True,
            has_touch=True,
            service_workers="allow",
            locale="en-GB",
            timezone_id=zone,
            color_scheme="dark" if dark else "light",
        )
        context.set_default_timeout(SOON_MS)
        made.append(context)
        return context

    yield make
    for context in made:
        context.close()


@pytest.fixture
def ines(server: Server) -> Api:
    """The owner of a new household, at a script."""
    server.forget_attempts()
    return Api(server.url).sign_up("Ines", household_name="Larch Row")


@pytest.fixture
def callum(ines: Api) -> Api:
    """Her partner, at a script."""
    made = ines.ask("POST", f"{ines.at_home}/invitations", {"role": "partner"})
    return Api(ines.url).sign_up("Callum", invitation=made["url"].rsplit("/", 1)[1])


@pytest.fixture
def morag(ines: Api) -> str:
    """A dog to write things down about."""
    return ines.make("dog", name="Morag", born={"date": "2014-03-02", "estimated": False})


Hold = Callable[..., Handset]


@pytest.fixture
def hold(phone: Phone) -> Hold:
    """Hands a phone to somebody who is signed in on it, opened at a page and ready for offline."""

    def give(
        who: Api,
        path: str = "/today",
        *,
        url: str | None = None,
        dark: bool = False,
        script: str | None = None,
        ready: bool = True,
    ) -> Handset:
        context = phone(url=url, dark=dark)
        context.add_cookies(
            [{"name": name, "value": value, "url": who.url} for name, value in who.cookies]
        )
        handset = Handset(context, script).open(path)
        return handset.ready() if ready else handset

    return give


def wait_for_worker(page: Page) -> None:
    """Until the service worker controls the page: only then does it open offline."""
    ask(page, UNTIL_CONTROLLED)


@pytest.fixture(scope="session")
def pictures(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Where screenshots go: a folder of the reader's choice, else one that is thrown away."""
    given = os.environ.get("TRENCHER_SCREENSHOTS")
    folder = Path(given) if given else tmp_path_factory.mktemp("screens")
    folder.mkdir(parents=True, exist_ok=True)
    return folder
