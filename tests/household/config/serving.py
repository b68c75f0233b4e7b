"""Starts `manage.py serve` for real, as a person would, on free ports and an empty data folder."""

import json
import os
import signal
import subprocess
import sys
import threading
import time
import urllib.error
import urllib.request
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from django.conf import settings

from tests.patience import PATIENCE_S
from tests.services import free_port


@dataclass
class Served:
    """A running server."""

    process: "subprocess.Popen[str]"
    port: int
    https_port: int
    data: Path
    lines: list[str] = field(default_factory=list)

    @property
    def output(self) -> str:
        return "\n".join(self.lines)

    def get(self, path: str) -> tuple[int, bytes]:
        return get(f"http://127.0.0.1:{self.port}{path}")

    def health(self) -> dict[str, Any]:
        body: dict[str, Any] = json.loads(self.get("/api/health")[1])
        return body

    def children(self) -> dict[str, int]:
        """The process id of each child, by a word of its command."""
        found = {}
        for pid in descendants(self.process.pid, depth=1):
            command = Path(f"/proc/{pid}/cmdline").read_bytes().decode().split("\0")
            web = "https" if "--certfile" in command else "web"
            found[next((word for word in ("worker", "beat") if word in command), web)] = pid
        return found

    def stop(self, number: int = signal.SIGTERM) -> int:
        self.process.send_signal(number)
        return self.process.wait(PATIENCE_S)


def get(url: str) -> tuple[int, bytes]:
    try:
        with urllib.request.urlopen(url, timeout=30) as answer:
            return answer.status, answer.read()
    except urllib.error.HTTPError as refused:
        return refused.code, refused.read()


def descendants(pid: int, *, depth: int = 99) -> set[int]:
    """The living processes that this one started, and those that they started."""
    if depth == 0:
        return set()
    parents: dict[int, int] = {}
    for entry in Path("/proc").iterdir():
        if entry.name.isdigit():
            try:
                fields = (entry / "stat").read_text().rpartition(")")[2].split()
            except (FileNotFoundError, ProcessLookupError):
                continue
            if fields[0] != "Z":
                parents[int(entry.name)] = int(fields[1])
    own = {child for child, parent in parents.items() if parent == pid}
    return own.union(*(descendants(child, depth=depth - 1) for child in own))


def eventually(question: Callable[[], bool], *, within_s: float = PATIENCE_S) -> bool:
    deadline = time.monotonic() + within_s
    while time.monotonic() < deadline:
        try:
            if question():
                return True
        except (OSError, ValueError):
            pass
        time.sleep(0.1)
    return False


def serve_command(*arguments: str) -> list[str]:
    return [sys.executable, str(Path(settings.BASE) / "manage.py"), "serve", *arguments]


def serve_environment(data: Path, **variables: str) -> dict[str, str]:
    kept = {
        key: value
        for key, value in os.environ.items()
        if not key.startswith("TRENCHER_") and key not in ("DATABASE_URL", "REDIS_URL")
    }
    fixed = {"TRENCHER_NO_SETUP": "1", "TRENCHER_HEARTBEAT_SECONDS": "1"}
    return {**kept, **fixed, "TRENCHER_DATA": str(data), **variables}


@contextmanager
def served(data: Path, *arguments: str, **variables: str) -> Iterator[Served]:
    """Serves until the block ends, and leaves no process behind even when the test fails."""
    port, https_port = free_port(), free_port()
    ports = ("--port", str(port), "--https-port", str(https_port))
    process = subprocess.Popen(
        serve_command(*ports, *arguments),
        env=serve_environment(data, **variables),
        cwd=data,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    )
    server = Served(process, port, https_port, data)
    reader = threading.Thread(target=_read, args=(process, server.lines), daemon=True)
    reader.start()
    started: set[int] = set()
    try:
        assert eventually(lambda: server.get("/api/health")[0] in (200, 503)), server.output
        started = descendants(process.pid)
        yield server
    finally:
        started |= descendants(process.pid)
        if process.poll() is None:
            process.terminate()
            process.wait(PATIENCE_S)
        reader.join(5)
        for pid in started:
            if Path(f"/proc/{pid}").exists():
                os.kill(pid, signal.SIGKILL)


def _read(process: "subprocess.Popen[str]", lines: list[str]) -> None:
    assert process.stdout is not None
    lines.extend(line.rstrip("\n") for line in iter(process.stdout.readline, ""))
