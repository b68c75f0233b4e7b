"""Children are kept alive, and end together. The children here are small programs of the test."""

import os
import re
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from household.config.supervision import Child, GaveUp, Patience, Supervisor
from tests.household.config.serving import eventually
from tests.patience import PATIENCE_S

QUICK = Patience(first_pause_s=0.05, longest_pause_s=0.1, quick_death_s=0.05, stop_s=2.0)


def python(program: str) -> list[str]:
    return [sys.executable, "-u", "-c", program]


def alive(pid: int) -> bool:
    try:
        return Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0] != "Z"
    except (FileNotFoundError, ProcessLookupError):
        return False


def run_until(supervisor: Supervisor, is_over: Callable[[], bool]) -> None:
    """Runs it until something has come about, and ends it as a person does, by a signal."""
    deadline = time.monotonic() + PATIENCE_S

    def look() -> None:
        if is_over() or time.monotonic() > deadline:
            os.kill(os.getpid(), signal.SIGTERM)

    supervisor.run(every_s=0.05, routine=look)
    assert is_over(), f"not within {PATIENCE_S:.0f} s"


def test_a_child_that_dies_is_reported_and_started_again(tmp_path: Path) -> None:
    said: list[str] = []
    starts = tmp_path / "starts"
    program = f"open({str(starts)!r}, 'a').write('x'); import time; time.sleep(0.4); 1 / 0"
    supervisor = Supervisor([Child("cook", python(program))], say=said.append, patience=QUICK)
    run_until(supervisor, lambda: starts.exists() and starts.stat().st_size >= 2)
    assert any(re.match(r"cook ended by itself after \d+ s \(exit code 1\)", line) for line in said)
    assert any(line.startswith("cook  | ZeroDivisionError") for line in said)


def test_after_quick_deaths_in_a_row_it_gives_up_with_the_last_words() -> None:
    patient = Patience(first_pause_s=0.01, longest_pause_s=0.02, quick_deaths=3, stop_s=1.0)
    steady = Child("steady", python("import time; time.sleep(60)"))
    broken = Child("broken", python("raise SystemExit('the pot is cracked')"))
    supervisor = Supervisor([steady, broken], say=lambda line: None, patience=patient)
    with pytest.raises(GaveUp, match="broken ended 3 times in a row") as given_up:
        supervisor.run()
    assert "the pot is cracked" in str(given_up.value)
    assert steady.process is not None
    assert steady.process.poll() is not None


def test_what_does_not_listen_is_killed_with_all_it_started(tmp_path: Path) -> None:
    pids = tmp_path / "pids"
    program = (
        "import os, signal, subprocess, sys, time\n"
        "signal.signal(signal.SIGTERM, signal.SIG_IGN)\n"
        "child = subprocess.Popen([sys.executable, '-c', 'import time; time.sleep(60)'])\n"
        f"open({str(pids)!r} + '.new', 'w').write(f'{{os.getpid()}} {{child.pid}}')\n"
        f"os.rename({str(pids)!r} + '.new', {str(pids)!r})\n"
        "time.sleep(60)"
    )
    deaf = Patience(stop_s=0.3)
    supervisor = Supervisor([Child("deaf", python(program))], say=lambda line: None, patience=deaf)
    run_until(supervisor, pids.exists)
    killed = [int(pid) for pid in pids.read_text().split()]
    assert len(killed) == 2
    assert eventually(lambda: not any(alive(pid) for pid in killed))


def test_a_restart_on_purpose_is_no_death() -> None:
    said: list[str] = []
    child = Child("web", python("import os, time; print(os.environ['PLACE']); time.sleep(60)"))
    child.environment = {"PLACE": "old address"}
    supervisor = Supervisor([child], say=said.append, patience=QUICK)
    moved = threading.Event()

    def is_over() -> bool:
        if said and not moved.is_set():
            moved.set()
            supervisor.restart("web", environment={"PLACE": "new address"})
        return len(said) == 2

    run_until(supervisor, is_over)
    assert said == ["web   | old address", "web   | new address"]


def lonely(pid_file: Path) -> subprocess.Popen[bytes]:
    """A program that keeps one child, as where a child does not end with its parent by itself."""
    program = (
        "from household.config import supervision\n"
        "supervision._LIBC = None\n"
        f"kept = {python(f'import os, time; {write_pid(pid_file)}; time.sleep(60)')!r}\n"
        "child = supervision.Child('kept', kept)\n"
        "supervision.Supervisor([child], say=lambda line: None).run()\n"
    )
    return subprocess.Popen(python(program))


def write_pid(path: Path) -> str:
    aside = f"{path}.new"
    return f"open({aside!r}, 'w').write(str(os.getpid())); os.rename({aside!r}, {str(path)!r})"


def test_a_terminal_that_is_closed_ends_the_children_too(tmp_path: Path) -> None:
    program = lonely(tmp_path / "pid")
    assert eventually((tmp_path / "pid").exists)
    program.send_signal(signal.SIGHUP)
    assert program.wait(PATIENCE_S) == 0
    assert eventually(lambda: not alive(int((tmp_path / "pid").read_text())))


def test_who_asked_for_it_goes_on_when_the_terminal_is_closed() -> None:
    before = signal.signal(signal.SIGHUP, signal.SIG_IGN)  # As nohup does.
    seen: list[object] = []

    def is_over() -> bool:
        seen.append(signal.getsignal(signal.SIGHUP))
        return True

    try:
        run_until(Supervisor([Child("one", python("input()"))], say=lambda line: None), is_over)
    finally:
        signal.signal(signal.SIGHUP, before)
    assert set(seen) == {signal.SIG_IGN}


def test_signals_work_as_before_afterwards() -> None:
    before = signal.getsignal(signal.SIGTERM)
    run_until(Supervisor([Child("one", python("input()"))], say=lambda line: None), lambda: True)
    assert signal.getsignal(signal.SIGTERM) is before
