"""Throw-away PostgreSQL and Redis servers on free local ports.

`python -m tests.services COMMAND …` runs a command against both, with nothing left behind.
"""

import grp
import os
import pwd
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from tests.patience import PATIENCE_S


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
        return port


@contextmanager
def redis(executable: str) -> Iterator[str]:
    """The address of a Redis server that keeps nothing on disk."""
    port = free_port()
    with tempfile.TemporaryDirectory(prefix="redis-") as folder:
        options = ("--save", "", "--appendonly", "no", "--loglevel", "warning", "--dir", folder)
        command = [executable, "--port", str(port), "--bind", "127.0.0.1", *options]
        with _running(command, port, signal.SIGTERM):
            yield f"redis://127.0.0.1:{port}/0"


@contextmanager
def postgresql(initdb: str) -> Iterator[str]:
    """The address of an empty PostgreSQL server; fast instead of safe."""
    port = free_port()
    who = _as_postgres()
    with tempfile.TemporaryDirectory(prefix="postgresql-") as name:
        folder = Path(name)
        if who:
            shutil.chown(folder, "postgres", "postgres")
        make = [initdb, "-D", str(folder / "data"), "-U", "postgres"]
        how = ["-A", "trust", "-E", "UTF8", "--locale=C.UTF-8", "--no-sync"]
        subprocess.run([*make, *how], check=True, stdout=subprocess.DEVNULL, cwd=folder, **who)
        server = [str(Path(initdb).parent / "postgres"), "-D", str(folder / "data"), "-F"]
        where = ["-k", str(folder), "-h", "127.0.0.1", "-p", str(port)]
        quick = ["-c", "synchronous_commit=off", "-c", "full_page_writes=off"]
        # SIGINT is the fast shutdown, which does not wait for clients.
        with _running([*server, *where, *quick], port, signal.SIGINT, cwd=folder, **who):
            yield f"postgres://postgres@127.0.0.1:{port}/postgres"


def find_initdb() -> str | None:
    """Debian keeps initdb off PATH, in a folder for each version; the newest is taken."""
    if (found := shutil.which("initdb")) is not None:
        return found
    versions = Path("/usr/lib/postgresql").glob("*/bin/initdb")
    newest = sorted(versions, key=lambda path: int(path.parts[-3]), reverse=True)
    return str(newest[0]) if newest else None


def _as_postgres() -> dict[str, Any]:
    """PostgreSQL refuses to run as root: then the user that its package made runs it."""
    if os.geteuid() != 0:
        return {}
    user, group = pwd.getpwnam("postgres").pw_uid, grp.getgrnam("postgres").gr_gid
    return {"user": user, "group": group, "extra_groups": []}


@contextmanager
def _running(
    command: Sequence[str], port: int, stop: signal.Signals, **options: Any
) -> Iterator[None]:
    process = subprocess.Popen(
        command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, **options
    )
    try:
        deadline = time.monotonic() + PATIENCE_S
        while not _answers(port):
            if process.poll() is not None or time.monotonic() > deadline:
                raise RuntimeError(f"{command[0]} did not start (exit code {process.poll()})")
            time.sleep(0.02)
        yield
    finally:
        process.send_signal(stop)
        process.wait(PATIENCE_S)


def _answers(port: int) -> bool:
    with socket.socket() as probe:
        return probe.connect_ex(("127.0.0.1", port)) == 0


def main(command: Sequence[str]) -> int:
    server, initdb = shutil.which("redis-server"), find_initdb()
    if server is None or initdb is None:
        sys.exit("Install redis-server and postgresql first.")
    with redis(server) as redis_url, postgresql(initdb) as database_url:
        addresses = {"DATABASE_URL": database_url, "REDIS_URL": redis_url}
        return subprocess.run(command, env={**os.environ, **addresses}, check=False).returncode


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
