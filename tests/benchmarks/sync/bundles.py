"""The scripts that run in the pages, and the peers they are compared with.

The peers are no dependency of the app: they are installed from the lock file here into a cache.
"""

import shutil
import subprocess
from pathlib import Path

from household.config.bootstrap import FRONTEND, node_and_npm

HERE = Path(__file__).parent
PEERS = HERE / "peers"
CACHE = FRONTEND / "node_modules" / ".cache" / "benchmark-peers"


def node() -> str:
    return node_and_npm()[0]


def build() -> Path:
    """The folder of the built scripts, one for each contender, all made afresh."""
    _install()
    for source in [*PEERS.glob("*.js"), *PEERS.glob("*.mjs")]:
        shutil.copy(source, CACHE)
    built = CACHE / "built"
    shutil.rmtree(built, ignore_errors=True)
    subprocess.run([node(), str(HERE / "build.mjs"), str(FRONTEND), str(CACHE)], check=True)
    return built


def _install() -> None:
    """Installs what the lock file says, unless that is what is there."""
    lock, stamp = (PEERS / "package-lock.json").read_bytes(), CACHE / "installed.json"
    if stamp.exists() and stamp.read_bytes() == lock:
        return
    CACHE.mkdir(parents=True, exist_ok=True)
    for name in ("package.json", "package-lock.json", ".npmrc"):
        shutil.copy(PEERS / name, CACHE)
    npm = node_and_npm()[1]
    # No package's own script: what is native in them is not used.
    subprocess.run([*npm, "ci", "--ignore-scripts"], cwd=CACHE, check=True)
    stamp.write_bytes(lock)
