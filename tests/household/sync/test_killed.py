"""Fault 5: what becomes of a push whose server dies between the log and the rows."""

import json
import os
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings
from django.db import OperationalError, connection

from household.accounts.models import Household, Member
from household.dogs.models import Dog
from household.sync.models import Op, Record
from tests.household.sync.parallel import (
    alone,
    between_log_and_rows,
    eventually,
    make_member,
    new_dogs,
    rows_locked,
    send,
)

pytestmark = pytest.mark.django_db(transaction=True)
NAMES = ["Morag", "Tansy", "Pascoe"]


@pytest.fixture
def member() -> Member:
    return make_member()


def address_of_test_database() -> str:
    given = connection.settings_dict
    if connection.vendor == "sqlite":
        return f"sqlite:///{given['NAME']}"
    return f"postgres://{given['USER']}@{given['HOST']}:{given['PORT']}/{given['NAME']}"


@contextmanager
def process_pushing(
    member: Member, ops: list[dict[str, Any]], data: Path
) -> Iterator["subprocess.Popen[str]"]:
    """A server's process with a push in hand."""
    process = subprocess.Popen(
        [sys.executable, "-m", "tests.household.sync.lone_push"],
        cwd=settings.BASE,
        env={
            **os.environ,
            "DJANGO_SETTINGS_MODULE": "household.config.settings",
            "DATABASE_URL": address_of_test_database(),
            "TRENCHER_DATA": str(data),
        },
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )
    assert process.stdin is not None
    given = {"user": member.user_id, "household": str(member.household_id), "ops": ops}
    try:
        process.stdin.write(json.dumps(given, default=str))
        process.stdin.close()
        yield process
    finally:
        process.kill()
        process.wait()
        if process.stdout is not None:
            process.stdout.close()


@contextmanager
def standing_still_at_the_rows() -> Iterator[Callable[["subprocess.Popen[str]"], bool]]:
    """Pushes stop after their log entries; yields how to wait until a process has come there."""
    if connection.vendor == "postgresql":
        with rows_locked():
            yield lambda _: eventually(lambda: len(between_log_and_rows()) == 1)
        return
    table = Record._meta.db_table
    with connection.cursor() as cursor:
        cursor.execute(
            f"CREATE TRIGGER still BEFORE INSERT ON {table} BEGIN SELECT stand_still(); END"
        )
    try:
        yield lambda process: process.stdout is not None and process.stdout.readline() == "inside\n"
    finally:
        with connection.cursor() as cursor:
            cursor.execute("DROP TRIGGER still")


def counts() -> tuple[int, int, int, int]:
    seq = Household.objects.get().seq
    return seq, Op.objects.count(), Record.objects.count(), Dog.objects.count()


def assert_sent_again_counts_once(member: Member, ops: list[dict[str, Any]]) -> None:
    """As a phone does that got no answer: twice, to be sure."""
    first, again = send(member, ops), send(member, ops)
    assert [each["status"] for each in first] == ["applied"] * len(ops)
    assert first == again
    assert counts()[1:] == (len(ops), len(ops), len(ops))
    assert sorted(Dog.objects.values_list("name", flat=True)) == sorted(NAMES)


def test_fault_05_a_process_killed_between_log_and_rows_leaves_nothing(
    member: Member, tmp_path: Path
) -> None:
    ops = new_dogs(member, NAMES)
    with process_pushing(member, ops, tmp_path) as process:
        with standing_still_at_the_rows() as has_come_there:
            assert has_come_there(process)
            process.send_signal(signal.SIGKILL)
            assert process.wait() == -signal.SIGKILL
        if connection.vendor == "postgresql":
            # The backend notices that its client is gone once it has got the lock.
            assert eventually(lambda: other_backends() == 0)
    assert counts() == (0, 0, 0, 0)
    assert_sent_again_counts_once(member, ops)


def test_fault_05_a_process_killed_after_the_commit_leaves_all(
    member: Member, tmp_path: Path
) -> None:
    ops = new_dogs(member, NAMES)
    with process_pushing(member, ops, tmp_path) as process:
        assert process.stdout is not None
        assert process.stdout.readline() == "done\n"
        process.send_signal(signal.SIGKILL)
    assert counts() == (3, 3, 3, 3)
    assert_sent_again_counts_once(member, ops)


@pytest.mark.postgresql
def test_fault_05_a_terminated_backend_leaves_nothing(member: Member) -> None:
    ops = new_dogs(member, NAMES)
    with ThreadPoolExecutor(1) as pool, rows_locked():
        pushing = pool.submit(alone, send, member, ops)
        assert eventually(lambda: len(between_log_and_rows()) == 1)
        with connection.cursor() as cursor:
            cursor.execute("SELECT pg_terminate_backend(%s)", between_log_and_rows())
        with pytest.raises(OperationalError, match="terminating connection"):
            pushing.result()
    assert counts() == (0, 0, 0, 0)
    assert_sent_again_counts_once(member, ops)


def other_backends() -> int:
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT count(*) FROM pg_stat_activity"
            " WHERE datname = current_database() AND pid <> pg_backend_pid()"
        )
        count: int = cursor.fetchone()[0]
        return count
