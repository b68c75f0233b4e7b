"""Keeps a few child processes alive, and ends them all together. Standard library only."""

import contextlib
import ctypes
import os
import signal
import subprocess
import sys
import threading
import time
from collections import deque
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

_PR_SET_PDEATHSIG = 1
# Loaded before any fork: between fork and exec a child may call, but not load, anything.
_LIBC = ctypes.CDLL(None) if sys.platform == "linux" else None
_POLL_S = 0.1


@dataclass(frozen=True)
class Patience:
    """How long to wait for what, in seconds, and how often to try."""

    first_pause_s: float = 1.0  # Before the first restart; doubled for each further quick death.
    longest_pause_s: float = 30.0
    quick_death_s: float = 10.0  # A child that lived for less died quickly.
    quick_deaths: int = 5  # In a row; then something is wrong that restarting does not mend.
    stop_s: float = 15.0  # For a child to end by itself, before it is killed.


@dataclass
class Child:
    """One process to keep alive."""

    name: str
    command: Sequence[str]
    environment: Mapping[str, str] = field(default_factory=dict)
    process: "subprocess.Popen[str] | None" = None
    started_at: float = 0.0
    quick_deaths: int = 0
    restart_at: float | None = None
    last_lines: "deque[str]" = field(default_factory=lambda: deque(maxlen=12))


class GaveUp(Exception):
    """A child kept dying right after its start."""


def die_with_parent() -> None:
    """In a new child on Linux: have it end when this program is killed outright."""
    if _LIBC is not None:
        _LIBC.prctl(_PR_SET_PDEATHSIG, signal.SIGTERM)


class Supervisor:
    """Starts the children, restarts those that die, and stops all on SIGINT, SIGTERM or SIGHUP.

    Must run in the main thread: signals arrive there, and on Linux a child's life is tied to the
    thread that started it.
    """

    def __init__(
        self,
        children: Sequence[Child],
        *,
        say: Callable[[str], None],
        patience: Patience | None = None,
    ) -> None:
        self.children = list(children)
        self.patience = patience or Patience()
        self._say = say
        self._stopping = threading.Event()
        self._say_lock = threading.Lock()

    def run(self, *, every_s: float = 60.0, routine: Callable[[], None] | None = None) -> None:
        """Blocks until a signal ends it; calls `routine` now and then. Raises GaveUp."""
        ending = [signal.SIGINT, signal.SIGTERM]
        # A closed terminal; whoever has it ignored (nohup) wants to go on without one.
        if signal.getsignal(signal.SIGHUP) is not signal.SIG_IGN:
            ending.append(signal.SIGHUP)
        handlers = {
            number: signal.signal(number, lambda *_: self._stopping.set()) for number in ending
        }
        next_routine = time.monotonic() + every_s
        try:
            for child in self.children:
                self._start(child)
            while not self._stopping.wait(_POLL_S):
                for child in self.children:
                    self._look_after(child)
                if routine is not None and time.monotonic() >= next_routine:
                    routine()
                    next_routine = time.monotonic() + every_s
        finally:
            self.stop()
            for number, handler in handlers.items():
                signal.signal(number, handler)

    def restart(self, name: str, *, environment: Mapping[str, str] | None = None) -> None:
        """Starts a child afresh, on purpose: that is no death."""
        child = next(child for child in self.children if child.name == name)
        if environment is not None:
            child.environment = environment
        _terminate([child], self.patience.stop_s)
        child.restart_at, child.quick_deaths = None, 0
        self._start(child)

    def stop(self) -> None:
        """Ends all children: asks first, kills what does not listen."""
        _terminate(self.children, self.patience.stop_s)

    def say(self, words: str) -> None:
        with self._say_lock:  # Lines of several threads must not run into each other.
            self._say(words)

    def _start(self, child: Child) -> None:
        child.process = subprocess.Popen(
            child.command,
            env={**os.environ, **child.environment},
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            errors="replace",
            # Ctrl-C reaches a whole terminal group; the children are to be stopped in order.
            start_new_session=True,
            preexec_fn=die_with_parent if _LIBC is not None else None,
        )
        child.started_at = time.monotonic()
        child.restart_at = None
        threading.Thread(target=self._copy_lines, args=(child, child.process), daemon=True).start()

    def _copy_lines(self, child: Child, process: "subprocess.Popen[str]") -> None:
        assert process.stdout is not None
        for line in process.stdout:
            child.last_lines.append(line.rstrip("\n"))
            self.say(f"{child.name:<6}| {line.rstrip()}")

    def _look_after(self, child: Child) -> None:
        now = time.monotonic()
        if child.restart_at is not None:
            if now >= child.restart_at:
                self._start(child)
            return
        assert child.process is not None
        code = child.process.poll()
        if code is None:
            return
        _kill_group(child.process)  # What it left behind would hold its port.
        lived_s = now - child.started_at
        child.quick_deaths = child.quick_deaths + 1 if lived_s < self.patience.quick_death_s else 0
        if child.quick_deaths >= self.patience.quick_deaths:
            raise GaveUp(_obituary(child, code))
        pause_s = self._pause_s(child)
        child.restart_at = now + pause_s
        self.say(
            f"{child.name} ended by itself after {lived_s:.0f} s ({_how(code)}); "
            f"it starts again in {pause_s:.0f} s."
        )

    def _pause_s(self, child: Child) -> float:
        factor: int = 2 ** max(0, child.quick_deaths - 1)
        return min(self.patience.first_pause_s * factor, self.patience.longest_pause_s)


def _obituary(child: Child, code: int) -> str:
    lines = "\n".join(f"    {line}" for line in child.last_lines)
    return (
        f"{child.name} ended {child.quick_deaths} times in a row right after its start "
        f"({_how(code)}), so everything was stopped. Its last words:\n{lines}\n"
        "Mend what they name, then start again."
    )


def _how(code: int) -> str:
    return f"killed by {signal.Signals(-code).name}" if code < 0 else f"exit code {code}"


def _terminate(children: Sequence[Child], wait_s: float) -> None:
    running = [child.process for child in children if child.process is not None]
    for process in running:
        if process.poll() is None:
            process.terminate()
    deadline = time.monotonic() + wait_s
    for process in running:
        with contextlib.suppress(subprocess.TimeoutExpired):
            process.wait(max(0.0, deadline - time.monotonic()))
        _kill_group(process)
        process.wait()


def _kill_group(process: "subprocess.Popen[str]") -> None:
    # Each child leads a process group of its own, which outlives it while it has members.
    with contextlib.suppress(ProcessLookupError, PermissionError):
        os.killpg(process.pid, signal.SIGKILL)
