"""Sets a fresh machine up with nothing but the standard library.

`manage.py` calls prepare() before anything else. It makes .venv beside manage.py, installs the
pinned requirements, builds the phone app, and continues inside .venv. What has been done is
remembered by hashes of what it was made from, so a second start takes no time, and an update of
the sources is followed.

Somebody who has installed the project another way (a package, a container, an own environment) is
left alone: set-up happens only when Django is missing or the command runs in .venv.
"""

import hashlib
import importlib.util
import json
import os
import subprocess
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import NoReturn

ROOT = Path(__file__).resolve().parent.parent.parent
VENV = ROOT / ".venv"
STAMPS = VENV / "trencher-setup.json"
FRONTEND = ROOT / "frontend"
APP = FRONTEND / "static" / "app"
# What the phone app is built from; a change in any of it calls for a new build.
SOURCES = ("src", "build", "public", "index.html", "vite.config.ts", "svelte.config.js")
SOURCES_OF_PACKAGES = ("package.json", "package-lock.json", "build_hook.py")

# These commands are what people start; they bring everything up to date first.
COMPLETE = {"serve": ("run", True), "test": ("test", True)}


def prepare(arguments: Sequence[str]) -> None:
    """Returns when this process can run the command; may replace the process by one in .venv."""
    inside = Path(sys.prefix).resolve() == VENV.resolve()
    has_django = importlib.util.find_spec("django") is not None
    if os.environ.get("TRENCHER_NO_SETUP") == "1" or (has_django and not inside):
        return
    command = arguments[1] if len(arguments) > 1 else ""
    lock, needs_app = COMPLETE.get(command, ("run", False))
    if command in COMPLETE or not has_django:
        _make_venv()
        _install(lock)
    if needs_app:
        build_app()
    if command == "test":
        _install_app_tests()
    if not inside:
        _continue_in_venv(arguments)


def venv_python() -> Path:
    return VENV / ("Scripts/python.exe" if os.name == "nt" else "bin/python")


def _continue_in_venv(arguments: Sequence[str]) -> NoReturn:
    command = [str(venv_python()), *arguments]
    sys.stdout.flush()
    if os.name == "nt":  # There exec returns to the shell before the command has ended.
        sys.exit(subprocess.call(command))
    os.execv(command[0], command)


def _make_venv(*, anew: bool = False) -> None:
    if venv_python().exists() and not anew:
        return
    if importlib.util.find_spec("ensurepip") is None:
        _stop(
            "This Python cannot make a virtual environment: its ensurepip module is missing.\n"
            "On Debian and Ubuntu, install it and start again:\n"
            f"    sudo apt-get install python3.{sys.version_info[1]}-venv"
        )
    _say("Setting up (only the first time; a minute or two):")
    _say("  making .venv")
    # --clear: what a broken-off attempt left behind must not be built upon.
    _run([sys.executable, "-m", "venv", "--clear", str(VENV)], "Could not make .venv.")


def _install(name: str) -> None:
    lock = ROOT / ".lock" / f"{name}.txt"
    wanted = _hash([lock])
    if _stamp(f"packages-{name}") == wanted:
        return
    # One that was broken off has its Python before its pip, and one whose Python the system has
    # renewed looks for its packages in a folder that is not there.
    if not _has_pip():
        _make_venv(anew=True)
    _say(f"  installing the packages of .lock/{name}.txt")
    _run(
        [
            *(str(venv_python()), "-m", "pip", "install", "--disable-pip-version-check"),
            *("--quiet", "--no-input", "--require-hashes", "--requirement", str(lock)),
        ],
        "Could not install the packages.",
        hint=(
            "If the lines above speak of a connection or of no matching distribution: the first "
            "start needs the internet. Check the connection (behind a proxy, set HTTPS_PROXY), "
            "then start again; what is already there is kept."
        ),
    )
    _set_stamp(f"packages-{name}", wanted)
    if name == "test":  # It holds everything of the other.
        _set_stamp("packages-run", _hash([ROOT / ".lock" / "run.txt"]))


def _has_pip() -> bool:
    asked = [str(venv_python()), "-c", "import pip"]
    return subprocess.run(asked, capture_output=True, check=False).returncode == 0


def build_app() -> None:
    """Builds the phone app if what it is made from has changed since the last time.

    Raises SystemExit, with what the build said and what to do, where it fails.
    """
    if os.environ.get("TRENCHER_NO_FRONTEND") == "1":
        return
    if not (FRONTEND / "build_hook.py").exists():
        _stop("frontend/build_hook.py is missing; fetch the whole project again.")
    wanted = _hash(_app_sources())
    if _stamp("app") == wanted and (APP / "sw.js").exists():
        return
    _say("  building the phone app")
    _run(
        _in_build_hook("build_hook.build(Path(sys.argv[1]))"),
        "Could not build the phone app.",
        hint=(
            "Its packages come from the internet at the first build. Check the connection (behind "
            "a proxy, set HTTPS_PROXY), then start again."
        ),
    )
    _set_stamp("app", wanted)


def _install_app_tests() -> None:
    """Adds what the phone app's own tests need to what its build needs."""
    if (FRONTEND / "node_modules" / "vitest").exists():
        return
    _say("  installing the packages of the phone app's tests")
    arguments = ["ci", "--ignore-scripts", "--no-audit", "--no-fund"]
    _run(
        [*node_and_npm()[1], *arguments],
        "Could not install the packages of the phone app's tests.",
        hint="Check the connection (behind a proxy, set HTTPS_PROXY), then start again.",
        folder=FRONTEND,
    )


def node_and_npm() -> tuple[str, list[str]]:
    """The path of Node.js in .venv or on PATH, and the command that runs npm by it."""
    found = subprocess.run(
        _in_build_hook(
            "node, npm = build_hook.node_and_npm(); print(json.dumps([str(node), npm]))"
        ),
        stdout=subprocess.PIPE,
        text=True,
        check=True,
    )
    node, npm = json.loads(found.stdout)
    return node, npm


def _in_build_hook(statement: str) -> list[str]:
    """A command that runs a statement in .venv, with the build hook of the phone app imported."""
    program = (
        "import json, sys; from pathlib import Path; "
        f"sys.path.insert(0, {str(FRONTEND)!r}); import build_hook; {statement}"
    )
    return [str(venv_python()), "-c", program, str(ROOT)]


def _app_sources() -> Iterator[Path]:
    for name in (*SOURCES, *SOURCES_OF_PACKAGES):
        path = FRONTEND / name
        if path.is_dir():
            yield from sorted(file for file in path.rglob("*") if file.is_file())
        elif path.exists():
            yield path


def _hash(paths: "Iterator[Path] | Sequence[Path]") -> str:
    digest = hashlib.sha256(sys.version.encode())  # Another Python needs other packages.
    for path in paths:
        content = path.read_bytes()
        name = path.relative_to(ROOT).as_posix()
        digest.update(f"{name}\0{len(content)}\0".encode() + content)
    return digest.hexdigest()


def _stamp(name: str) -> str | None:
    return _stamps().get(name)


def _stamps() -> dict[str, str]:
    try:
        stamps: dict[str, str] = json.loads(STAMPS.read_text("utf-8"))
    except (FileNotFoundError, ValueError):
        return {}
    return stamps


def _set_stamp(name: str, value: str) -> None:
    aside = STAMPS.with_suffix(f".{os.getpid()}")
    aside.write_text(json.dumps({**_stamps(), name: value}, indent=1), "utf-8")
    aside.replace(STAMPS)


def _run(command: Sequence[str], failure: str, *, hint: str = "", folder: Path = ROOT) -> None:
    """Runs a step of the set-up; its output is shown only when it fails."""
    done = subprocess.run(
        command,
        cwd=folder,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        check=False,
    )
    if done.returncode:
        lines = "\n".join(done.stdout.strip().splitlines()[-25:])
        _stop("\n\n".join(filter(None, (lines, failure, hint))))


def _say(words: str) -> None:
    print(words, file=sys.stderr, flush=True)


def _stop(words: str) -> NoReturn:
    sys.exit(f"\n{words}")
