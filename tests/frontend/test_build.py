"""The built files: what is stored on the phone, how heavy it is, what the lock file tells."""

import gzip
import json
import re
from pathlib import Path

import pytest

from tests.frontend.conftest import FRONTEND

SHELL_KB = 100
"""Page code that is loaded before the first screen [kB, gzip]; charts come later, by themselves."""

WORKER_KB = 8


def gzip_kb(path: Path) -> float:
    return len(gzip.compress(path.read_bytes(), 9)) / 1000


def shell_scripts(built: Path) -> list[Path]:
    """The scripts that index.html loads at once, with what they import before they run."""
    page = (built / "index.html").read_text("utf-8")
    names = re.findall(r'(?:src|href)="/static/app/(assets/[^"]+\.js)"', page)
    return [built / name for name in dict.fromkeys(names)]


def test_the_shell_is_light(built: Path) -> None:
    scripts = shell_scripts(built)
    assert scripts
    assert sum(map(gzip_kb, scripts)) <= SHELL_KB


def test_the_worker_is_light_and_ascii(built: Path) -> None:
    # django-pwa opens it with the encoding of the machine, so other bytes would break some servers.
    worker = built / "sw.js"
    assert worker.read_bytes().isascii()
    assert gzip_kb(worker) <= WORKER_KB


def test_the_worker_stores_the_page_and_every_hashed_file_of_this_build(built: Path) -> None:
    worker = (built / "sw.js").read_text("ascii")
    current, _previous = json.loads((built / "builds.json").read_text("utf-8"))
    assert re.search(r"url:[`'\"]/[`'\"]", worker.replace('"url"', "url"))
    for name in current:
        assert f"/static/app/{name}" in worker
        assert (built / name).exists()


def test_the_worker_never_answers_for_the_api_nor_takes_over_by_itself(built: Path) -> None:
    worker = (built / "sw.js").read_text("ascii")
    assert "(api|admin|static|trust)" in worker
    assert worker.count("skipWaiting") == 1
    assert "SKIP_WAITING" in worker
    assert "workbox-background-sync" not in worker


@pytest.mark.parametrize("name", ["package-lock.json"])
def test_the_lock_file_names_no_registry(name: str) -> None:
    text = (FRONTEND / name).read_text("utf-8")
    assert '"resolved"' not in text
    assert '"integrity"' in text
