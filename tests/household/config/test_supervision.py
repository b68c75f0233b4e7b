"""Children are kept alive, and end together. The children here are small programs of the test."""

import os
import re
import signal
import sys
import threading
import time
from pathlib import Path

import pytest

from household.config.supervision import Child, GaveUp, Patience, Supervisor

QUICK = Patience(first_pause_s=0.05, longest_pause_s=0.1, quick_death_s=0.05, stop_s=2.0)


def python(program: str) -> list[str]:
    return [sys.executable, "-u", "-c", program]


def alive(pid: int) -> bool:
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    return Path(f"/proc/{pid}/stat").read_text().split()[2] != "Z"


def run_for(supervisor: Supervisor, seconds: float) -> None:
    timer = threading.Timer(seconds, os.kill, (os.getpid(), signal.SIGTERM))
    timer.start()
    try:
        supervisor.run()
    finally:
        timer.cancel()


def test_a_child_that_dies_is_reported_and_started_again(tmp_path: Path) -> None:
    said: list[str] = []
    starts = tmp_path / "starts"
    program = f"open({str(starts)!r}, 'a').write('x'); import time; time.sleep(0.4); 1 / 0"
    supervisor = Supervisor([Child("cook", python(program))], say=said.append, patience=QUICK)
    run_for(supervisor, 2.0)
    assert starts.stat().st_size >= 2
    assert any(re.match(r"cook ended by itself after \d s \(exit code 1\)", line) for line in said)
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
        f"open({str(pids)!r}, 'w').write(f'{{os.getpid()}} {{child.pid}}')\n"
        "time.sleep(60)"
    )
    deaf = Patience(stop_s=0.3)
    supervisor = Supervisor([Child("deaf", python(program))], say=lambda line: None, patience=deaf)
    run_for(supervisor, 1.0)
    time.sleep(0.1)
    assert not any(alive(int(pid)) for pid in pids.read_text().split())


def test_a_restart_on_purpose_is_no_death() -> None:
    said: list[str] = []
    child = Child("web", python("import os, time; print(os.environ['PLACE']); time.sleep(60)"))
    child.environment = {"PLACE": "old address"}
    supervisor = Supervisor([child], say=said.append, patience=QUICK)
    moved = threading.Event()

    def move() -> None:
        if not moved.is_set():
            supervisor.restart("web", environment={"PLACE": "new address"})
            moved.set()

    timer = threading.Timer(1.5, os.kill, (os.getpid(), signal.SIGTERM))
    timer.start()
    supervisor.run(every_s=0.5, routine=move)
    assert said == ["web   | old address", "web   | new address"]


def test_signals_work_as_before_afterwards() -> None:
    before = signal.getsignal(signal.SIGTERM)
    run_for(Supervisor([Child("one", python("input()"))], say=lambda line: None), 0.2)
    assert signal.getsignal(signal.SIGTERM) is before
