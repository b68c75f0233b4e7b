"""Fault 7 with real threads on the real database: commits out of order, and nothing missed."""

import threading
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import pytest
from django.db import connections

from household.accounts.models import Household, Member, User
from household.sync.actions import push
from household.sync.models import Op
from household.sync.queries import changes, snapshot
from tests.household.conftest import NOW, new_id

pytestmark = pytest.mark.django_db(transaction=True)
WRITERS, PUSHES, SIZE = 6, 10, 3


@pytest.fixture
def member() -> Member:
    household = Household.objects.create(name="Larch Row")
    user = User.objects.create(email="ines@larch-row.example", name="Ines", password="!")
    return Member.objects.create(household=household, user=user, role="owner")


def ops_of(member: Member, names: list[str]) -> list[dict[str, Any]]:
    return [
        {
            "op_id": new_id(),
            "household": str(member.household_id),
            "device_id": new_id(),
            "n": 1,
            "author": str(member.pk),
            "schema": 1,
            "app": "test",
            "entity": "dog",
            "rid": new_id(),
            "new": True,
            "set": {"name": name},
            "seen": {},
            "occurred_at": NOW,
            "tz": "UTC",
            "offset_ms": 0,
        }
        for name in names
    ]


def send(member: Member, raw_ops: list[dict[str, Any]]) -> Any:
    return push(
        member.user, member.household_id, raw_ops=raw_ops, asked=[], mark=None, received_at=NOW
    ).results


def writer(member: Member, number: int) -> Callable[[], None]:
    batches = [ops_of(member, [f"{number}.{k}.{i}" for i in range(SIZE)]) for k in range(PUSHES)]

    def run() -> None:
        try:
            for raw_ops in batches:
                assert {each["status"] for each in send(member, raw_ops)} == {"applied"}
        finally:
            connections.close_all()

    return run


def reader(member: Member, stop: threading.Event) -> Iterator[str]:
    """Pulls small pages from the cursor on until everybody has stopped and nothing is left."""
    cursor, mark = 0, None
    while True:
        was_over = stop.is_set()
        with snapshot():
            page = changes(member, cursor=cursor, mark=mark, limit=4)
        cursor, mark = page.cursor, page.mark
        yield from (row["values"]["name"] for row in page.rows)
        if was_over and not page.more:
            return


def test_fault_07_a_cursor_misses_nothing_while_others_commit(member: Member) -> None:
    stop = threading.Event()
    seen: list[str] = []

    def read() -> None:
        try:
            seen.extend(reader(member, stop))
        finally:
            connections.close_all()

    with ThreadPoolExecutor(WRITERS + 1) as pool:
        reading = pool.submit(read)
        writing = [pool.submit(writer(member, number)) for number in range(WRITERS)]
        for each in writing:
            each.result()
        stop.set()
        reading.result()
    assert len(seen) == len(set(seen)) == WRITERS * PUSHES * SIZE
    seqs = list(Op.objects.order_by("seq").values_list("seq", flat=True))
    assert seqs == list(range(1, WRITERS * PUSHES * SIZE + 1))


def test_fault_01_the_same_push_from_many_threads_has_one_effect(member: Member) -> None:
    raw_ops = ops_of(member, ["Tansy", "Morag"])

    def run() -> Any:
        try:
            return send(member, raw_ops)
        finally:
            connections.close_all()

    with ThreadPoolExecutor(WRITERS) as pool:
        replies = [each.result() for each in [pool.submit(run) for _ in range(WRITERS)]]
    assert all(reply == replies[0] for reply in replies)
    assert Op.objects.count() == 2


def test_a_reader_sees_one_state_while_a_push_commits(member: Member) -> None:
    """The mark, the page and the cursor of a reply belong together."""
    first, second = ops_of(member, ["Tansy"]), ops_of(member, ["Morag"])

    def run() -> None:
        try:
            send(member, second)
        finally:
            connections.close_all()

    send(member, first)
    with snapshot():
        assert Op.objects.count() == 1
        done = threading.Thread(target=run)
        done.start()
        done.join(timeout=20)
        assert not done.is_alive(), "a reader must not stop a writer"
        assert Op.objects.count() == 1
    assert Op.objects.count() == 2
