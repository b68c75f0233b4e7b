"""Several writers at once: what each sends, and a way to stop one in the middle of a push."""

import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from typing import Any, ParamSpec, TypeVar

from django.db import OperationalError, connection, connections

from household.accounts.models import Household, Member, User
from household.sync.actions import push
from household.sync.models import Op, Record
from tests.household.conftest import NOW, as_op, new_id
from tests.patience import PATIENCE_S

T = TypeVar("T")
P = ParamSpec("P")


def make_member(name: str = "Ines", role: str = "owner", home: Household | None = None) -> Member:
    """A member without the other people of the cast: threads see only what is committed."""
    household = home or Household.objects.create(name="Larch Row")
    email = f"{name.lower()}-{new_id()}@larch-row.example"
    user = User.objects.create(email=email, name=name, password="!")
    return Member.objects.create(household=household, user=user, role=role)


def new_dogs(member: Member, names: Sequence[str]) -> list[dict[str, Any]]:
    return [as_op(member, "dog", {"name": name}) for name in names]


def send(member: Member, raw_ops: list[dict[str, Any]]) -> Sequence[dict[str, Any]]:
    """Pushes, with all that a push does inside its transaction; returns the results."""
    pushed = push(
        member.user, member.household_id, raw_ops=raw_ops, asked=[], mark=None, received_at=NOW
    )
    return pushed.results


def in_a_crowd(work: Callable[P, T], *args: P.args, **kwargs: P.kwargs) -> T:
    """Writes as a phone does: again, where the server was too busy to answer.

    SQLite lets whoever comes first write next, so one of many may wait in vain until its time is
    up. PostgreSQL keeps them in line: there an error is one.
    """
    while True:
        try:
            return work(*args, **kwargs)
        except OperationalError:
            if connection.vendor != "sqlite":
                raise


def alone(work: Callable[P, T], *args: P.args, **kwargs: P.kwargs) -> T:
    """Runs in a thread of its own, and leaves no connection behind, whatever happens."""
    try:
        return work(*args, **kwargs)
    finally:
        connections.close_all()


def eventually(question: Callable[[], bool]) -> bool:
    deadline = time.monotonic() + PATIENCE_S
    while time.monotonic() < deadline:
        if question():
            return True
        time.sleep(0.01)
    return False


@contextmanager
def rows_locked() -> Iterator[None]:
    """Lets every push on PostgreSQL write its log entries, and keeps it from writing rows."""
    other = connection.copy()
    other.set_autocommit(False)
    try:
        with other.cursor() as cursor:
            cursor.execute(f"LOCK TABLE {Record._meta.db_table} IN SHARE MODE")
        yield
    finally:
        other.rollback()
        other.close()


def between_log_and_rows() -> list[int]:
    """The backends of pushes that have written their entries and wait to write the rows."""
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT waits.pid FROM pg_locks AS waits JOIN pg_locks AS has USING (pid)"
            " WHERE waits.relation = %s::regclass AND NOT waits.granted"
            " AND has.relation = %s::regclass AND has.mode = 'RowExclusiveLock' AND has.granted",
            [Record._meta.db_table, Op._meta.db_table],
        )
        return [pid for (pid,) in cursor.fetchall()]


def waiting_backends() -> int:
    """How many backends of this database wait for a lock of any kind."""
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT count(*) FROM pg_stat_activity"
            " WHERE datname = current_database() AND wait_event_type = 'Lock'"
        )
        count: int = cursor.fetchone()[0]
        return count
