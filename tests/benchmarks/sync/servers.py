"""The servers of the contenders, as they would be run: ours as `manage.py serve` starts its web."""

import contextlib
import os
import shutil
import subprocess
import sys
import tempfile
import time
import urllib.request
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from tests.benchmarks.sync import bundles
from tests.browser.api import Api, uuid7
from tests.services import find_initdb, free_port, postgresql

ROOT = Path(__file__).resolve().parents[3]
READY_WITHIN_S = 60.0
DOGS = 4
PEER_SETTINGS = {"DJANGO_SETTINGS_MODULE": "tests.benchmarks.sync.peer_server.settings"}


@dataclass
class Place:
    """Where one run of a contender goes: an empty household, or what the peer calls one."""

    url: str
    script: str
    options: dict[str, str] = field(default_factory=dict)
    cookies: Sequence[tuple[str, str]] = ()
    dogs: Sequence[str] = ()
    api: Api | None = None
    """A member at a script, where the household is one of ours."""


@dataclass
class Contender:
    name: str
    script: str
    url: str
    blank: str
    """The address of something harmless to be at."""
    data: Path | None = None

    @property
    def is_ours(self) -> bool:
        return self.script == "ours"

    def empty_place(self) -> Place:
        if not self.is_ours:
            dogs = [uuid7() for _ in range(DOGS)]
            name = f"run-{uuid7()}"
            return Place(self.url + self.blank, self.script, {"name": name}, dogs=dogs)
        if self.data is not None:
            # As if an hour had passed: sign-ups from one address are counted.
            shutil.rmtree(self.data / "cache", ignore_errors=True)
        api = Api(self.url).sign_up("Ines", household_name="Larch Row")
        dogs = [api.make("dog", name=f"Dog {number}") for number in range(1, DOGS + 1)]
        return Place(self.url + self.blank, self.script, {}, api.cookies, dogs, api)


@contextlib.contextmanager
def ours(name: str, environment: Mapping[str, str]) -> Iterator[Contender]:
    with _django(environment, "household.config.wsgi") as (url, data):
        yield Contender(name, "ours", url, "/api/session", data)


@contextlib.contextmanager
def ours_on_sqlite() -> Iterator[Contender]:
    with ours("Trencher, SQLite", {}) as contender:
        yield contender


@contextlib.contextmanager
def ours_on_postgresql() -> Iterator[Contender]:
    initdb = find_initdb()
    if initdb is None:
        sys.exit("Install postgresql first, or measure on SQLite alone (--database sqlite).")
    with (
        postgresql(initdb) as address,
        ours("Trencher, PostgreSQL", {"DATABASE_URL": address}) as c,
    ):
        yield c


@contextlib.contextmanager
def rxdb() -> Iterator[Contender]:
    with _django(PEER_SETTINGS, "household.config.wsgi") as (url, _):
        yield Contender("RxDB, Django on SQLite", "rxdb", url, "/blank")


@contextlib.contextmanager
def pouchdb() -> Iterator[Contender]:
    port = free_port()
    command = [bundles.node(), str(bundles.CACHE / "server.mjs"), str(port)]
    url = f"http://localhost:{port}"
    with _running(command, {}, bundles.CACHE, f"{url}/"):
        yield Contender("PouchDB, express-pouchdb in memory", "pouchdb", url, "/")


@contextlib.contextmanager
def _django(environment: Mapping[str, str], wsgi: str) -> Iterator[tuple[str, Path]]:
    with tempfile.TemporaryDirectory(prefix="benchmark-") as folder:
        port = free_port()
        url = f"http://localhost:{port}"
        own = {**environment, "TRENCHER_DATA": folder, "TRENCHER_NO_SETUP": "1"}
        subprocess.run(
            [sys.executable, "-m", "django", "migrate", "--run-syncdb", "--verbosity", "0"],
            cwd=ROOT,
            env={**_environment(own), "DJANGO_SETTINGS_MODULE": _settings(own)},
            check=True,
        )
        command = [
            *(sys.executable, "-m", "gunicorn", wsgi, "--bind", f"127.0.0.1:{port}"),
            *("--worker-class", "gthread", "--workers", "1", "--threads", "8"),
            *("--log-level", "warning", "--no-control-socket"),
        ]
        probe = f"{url}/blank" if environment is PEER_SETTINGS else f"{url}/api/session"
        with _running(command, own, ROOT, probe):
            yield url, Path(folder)


def _settings(environment: Mapping[str, str]) -> str:
    return environment.get("DJANGO_SETTINGS_MODULE", "household.config.settings")


def _environment(own: Mapping[str, str]) -> dict[str, str]:
    return {**os.environ, **own, "PYTHONPATH": str(ROOT), "PYTHONDONTWRITEBYTECODE": "1"}


@contextlib.contextmanager
def _running(
    command: Sequence[str], environment: Mapping[str, str], folder: Path, probe: str
) -> Iterator[None]:
    log = tempfile.TemporaryFile()  # noqa: SIM115  # Closed with the process that writes it.
    process = subprocess.Popen(
        command, cwd=folder, env=_environment(environment), stdout=log, stderr=log
    )
    try:
        deadline = time.monotonic() + READY_WITHIN_S
        while not _answers(probe):
            if process.poll() is not None or time.monotonic() > deadline:
                log.seek(0)
                raise RuntimeError(f"{command[0]} did not start:\n{log.read().decode()[-4000:]}")
            time.sleep(0.1)
        yield
    finally:
        process.terminate()
        process.wait(30)
        log.close()


def _answers(address: str) -> bool:
    try:
        with urllib.request.urlopen(address, timeout=5):
            return True
    except OSError:
        return False
