"""The built files: what is stored on the phone, how heavy it is, what the lock file tells."""

import gzip
import json
import re
import subprocess
from pathlib import Path

import pytest

from household.config.bootstrap import node_and_npm
from tests.frontend.conftest import FRONTEND

SHELL_KB = 100
"""Page code that is loaded before the first screen [kB, gzip]; charts come later, by themselves."""

WORKER_KB = 8

CORE_KB = 12
"""The sync core, without libraries and declarations [kB, gzip]."""


def gzip_kb(path: Path) -> float:
    return len(gzip.compress(path.read_bytes(), 9)) / 1000


def shell_scripts(built: Path) -> list[Path]:
    """The scripts that index.html loads at once, with what they import before they run."""
    page = (built / "index.html").read_text("utf-8")
    names = re.findall(r'(?:src|href)="/static/app/(assets/[^"]+\.js)"', page)
    return [built / name for name in dict.fromkeys(names)]


def listed(sizes: dict[str, float], unit: str) -> str:
    heaviest = sorted(sizes.items(), key=lambda entry: -entry[1])
    return "\n".join(f"{size:10.1f} {unit}  {name}" for name, size in heaviest)


def test_the_shell_is_light(built: Path) -> None:
    sizes = {script.name: gzip_kb(script) for script in shell_scripts(built)}
    assert sizes
    total_kb = sum(sizes.values())
    assert total_kb <= SHELL_KB, (
        f"The shell weighs {total_kb:.1f} kB; allowed are {SHELL_KB}. Load what a first screen "
        f"does not need where it is used (import()). It is made of\n{listed(sizes, 'kB')}"
    )


def test_charts_are_loaded_where_they_are_shown(built: Path) -> None:
    """Names of the chart library's own style classes survive every minifier."""
    shell = shell_scripts(built)
    others = set((built / "assets").glob("*.js")) - set(shell)
    assert any("u-legend" in script.read_text("utf-8") for script in others)
    assert [script.name for script in shell if "u-legend" in script.read_text("utf-8")] == []


def test_the_solver_is_a_file_of_its_own_and_stored_on_the_phone(built: Path) -> None:
    current, _previous = json.loads((built / "builds.json").read_text("utf-8"))
    (solver,) = [name for name in current if name.startswith("assets/solver-worker-")]
    assert f"/static/app/{solver}" in (built / "sw.js").read_text("ascii")
    assert [
        script.name
        for script in shell_scripts(built)
        if "solver-worker" in script.read_text("utf-8")
    ] == []


def test_the_sync_core_is_light() -> None:
    node = node_and_npm()[0]
    script = Path(__file__).with_name("core.mjs")
    done = subprocess.run(
        [node, str(script), str(FRONTEND)], capture_output=True, text=True, timeout=120, check=False
    )
    assert done.returncode == 0, done.stderr
    said = json.loads(done.stdout)
    assert said["bytes"] <= CORE_KB * 1000, (
        f"The sync core weighs {said['bytes'] / 1000:.1f} kB; allowed are {CORE_KB}. "
        f"Before it is packed its modules have\n{listed(dict(said['modules']), 'B')}"
    )


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
    assert "(api|admin|calendar|static|trust)" in worker
    assert worker.count("skipWaiting") == 1
    assert "SKIP_WAITING" in worker
    assert "workbox-background-sync" not in worker


@pytest.mark.parametrize("name", ["package-lock.json"])
def test_the_lock_file_names_no_registry(name: str) -> None:
    text = (FRONTEND / name).read_text("utf-8")
    assert '"resolved"' not in text
    assert '"integrity"' in text
