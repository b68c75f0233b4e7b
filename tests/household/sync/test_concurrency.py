"""Many writers at once, with real threads on the real database."""

import json
import random
import threading
from collections.abc import Iterator, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass, field
from typing import Any
from uuid import UUID

import pytest
from django.utils import timezone

from household.accounts.actions import remove_member
from household.accounts.errors import NotMember
from household.accounts.models import Household, Member
from household.dogs.models import Dog
from household.sync import registry
from household.sync.actions import Write, write_ops
from household.sync.models import Op, Record
from household.sync.queries import Mark, changes, snapshot
from tests.household.conftest import LOT, as_op, new_id
from tests.household.sync.parallel import (
    alone,
    between_log_and_rows,
    eventually,
    in_a_crowd,
    make_member,
    new_dogs,
    rows_locked,
    send,
    waiting_backends,
)
from tests.patience import PATIENCE_S

pytestmark = pytest.mark.django_db(transaction=True)
WRITERS, PUSHES = 6, 60
# An edit that nobody had seen stays beside all others, so many of them make a long row.
EDITS_EVERY = 12
PAUSE_S = 0.02


@pytest.fixture
def member() -> Member:
    return make_member()


@dataclass
class Reader:
    """A device that pulls from its cursor on, while others write."""

    member: Member
    limit: int
    cursor: int = 0
    mark: Mark | None = None
    rows: dict[str, dict[str, Any]] = field(default_factory=dict)

    def pull(self) -> bool:
        """Takes one page; says whether there is more."""
        with snapshot():
            page = changes(self.member, cursor=self.cursor, mark=self.mark, limit=self.limit)
        assert page.cursor >= self.cursor, "a cursor never goes back"
        self.cursor, self.mark = page.cursor, page.mark
        self.rows.update((row["rid"], row) for row in map(json.loads, page.rows))
        return page.more

    def pull_until(self, stop: threading.Event) -> None:
        """Pulls until everybody has stopped and nothing is left."""
        while True:
            was_over = stop.is_set()
            if self.pull():
                continue
            if was_over:
                return
            stop.wait(PAUSE_S)  # Else readers keep the interpreter from the writers.


def batches(member: Member, number: int, shared: str) -> Iterator[list[dict[str, Any]]]:
    """A dog and a lot of the writer's own; now and then an edit of a dog that everybody edits."""
    for turn in range(PUSHES):
        name = f"{number}.{turn}"
        ops = [as_op(member, "dog", {"name": name}), as_op(member, "lot", LOT)]
        if turn % EDITS_EVERY == 0:
            ops.append(as_op(member, "dog", {"breed": name}, rid=shared, new=False))
        yield ops


def all_at_once(readers: Sequence[Reader], members: Sequence[Member], shared: str) -> None:
    stop = threading.Event()

    def write(number: int) -> None:
        for raw_ops in batches(members[number], number, shared):
            results = in_a_crowd(send, members[number], raw_ops)
            assert {each["status"] for each in results} == {"applied"}

    with ThreadPoolExecutor(len(members) + len(readers)) as pool:
        reading = [pool.submit(alone, each.pull_until, stop) for each in readers]
        writing = [pool.submit(alone, write, number) for number in range(len(members))]
        try:
            for each in writing:
                each.result()
        finally:
            stop.set()
        for each in reading:
            each.result()


def test_fault_07_a_cursor_misses_nothing_while_others_commit(member: Member) -> None:
    """Two readers with every right, one page small, one large, and one who may not see lots."""
    home = member.household
    writers = [make_member(f"Writer{n}", "partner", home) for n in range(WRITERS)]
    sitter = make_member("Bettrys", "sitter", home)
    readers = [Reader(member, 4), Reader(member, 1000), Reader(sitter, 7)]
    shared = new_dogs(member, ["Morag"])
    send(member, shared)
    all_at_once(readers, writers, shared[0]["rid"])

    edits = WRITERS * PUSHES // EDITS_EVERY
    ops = 1 + WRITERS * PUSHES * 2 + edits
    assert list(Op.objects.order_by("seq").values_list("seq", flat=True)) == [*range(1, ops + 1)]
    for reader in readers:
        visible = Record.objects.filter(entity__in=registry.visible_to(reader.member.role))
        kinds = 1 if reader.member is sitter else 2
        assert len(reader.rows) == visible.count() == 1 + WRITERS * PUSHES * kinds
        # Not only every record: its newest state.
        assert reader.rows == {str(each.rid): json.loads(each.as_sent()) for each in visible}
        assert reader.cursor == ops
    # Nobody had seen anybody else's breed, so all of them stand side by side.
    heads = readers[0].rows[shared[0]["rid"]]["heads"]["breed"]
    assert len(heads) == edits


@pytest.mark.postgresql
def test_fault_07_who_took_a_number_first_is_waited_for(member: Member) -> None:
    """A later push cannot commit first, so a reader in between has nothing to skip."""
    reader = Reader(member, 1000)
    with ThreadPoolExecutor(2) as pool:
        pushes: list[Future[Any]] = []
        with rows_locked():
            pushes.append(pool.submit(alone, send, member, new_dogs(member, ["Tansy"])))
            assert eventually(lambda: len(between_log_and_rows()) == 1)
            pushes.append(pool.submit(alone, send, member, new_dogs(member, ["Morag"])))
            assert eventually(lambda: waiting_backends() == 2)
            assert len(between_log_and_rows()) == 1, "the second has not come to the log even"
            assert reader.pull() is False
            assert (reader.rows, reader.cursor) == ({}, 0)
        for each in pushes:
            assert [result["status"] for result in each.result(PATIENCE_S)] == ["applied"]
    reader.pull()
    names = [row["values"]["name"] for row in reader.rows.values()]
    assert (names, reader.cursor) == (["Tansy", "Morag"], 2)


def test_fault_01_the_same_push_from_many_threads_has_one_effect(member: Member) -> None:
    raw_ops = new_dogs(member, ["Tansy", "Morag"])
    with ThreadPoolExecutor(WRITERS) as pool:
        pushes = [pool.submit(alone, send, member, raw_ops) for _ in range(WRITERS)]
        replies = [each.result() for each in pushes]
    assert all(reply == replies[0] for reply in replies)
    assert Op.objects.count() == 2


def test_fault_06_batches_that_overlap_have_one_effect_each(member: Member) -> None:
    """As when two tabs of a phone send the same queue, cut into other batches."""
    queue = new_dogs(member, [str(number) for number in range(40)])
    cuts = [[queue], [queue[:25], queue[25:]], [queue[5:], queue[:5]], [queue[30:], queue[:30]]]

    def push_all(tab: list[list[dict[str, Any]]]) -> dict[str, Any]:
        return {each["op_id"]: each for batch in tab for each in send(member, batch)}

    with ThreadPoolExecutor(len(cuts)) as pool:
        tabs = [pool.submit(alone, push_all, tab) for tab in cuts]
        replies = [each.result() for each in tabs]
    assert all(reply == replies[0] for reply in replies)
    assert {each["status"] for each in replies[0].values()} == {"applied"}
    assert (Op.objects.count(), Dog.objects.count()) == (len(queue), len(queue))


def test_batches_that_touch_the_same_records_in_any_order_never_lock_each_other(
    member: Member,
) -> None:
    """Phones, and the server itself, on the same two households: every push is answered."""
    other = make_member("Odile", home=Household.objects.create(name="Quarry Cottage"))
    dogs = {each: new_dogs(each, ["Morag", "Tansy", "Pascoe"]) for each in (member, other)}
    for each, raw_ops in dogs.items():
        send(each, raw_ops)
    rounds = 15

    def write(number: int) -> None:
        chance = random.Random(number)
        for turn in range(rounds):
            each = chance.choice([member, other])
            rids = [op["rid"] for op in dogs[each]]
            chance.shuffle(rids)
            if number == 0:  # The server, in its own name.
                values = {"vet_notes": f"{turn}"}
                writes = [Write("dog", UUID(rid), values) for rid in rids]
                in_a_crowd(write_ops, each.household_id, writes)
                continue
            edits = [
                as_op(each, "dog", {"breed": f"{number}.{turn}"}, rid=rid, new=False)
                for rid in rids
            ]
            assert {result["status"] for result in in_a_crowd(send, each, edits)} == {"applied"}

    with ThreadPoolExecutor(WRITERS) as pool:
        writing = [pool.submit(alone, write, number) for number in range(WRITERS)]
        for written in writing:
            written.result(PATIENCE_S * 4)
    sent = 2 * 3 + (WRITERS - 1) * rounds * 3
    assert Op.objects.exclude(author="server").count() == sent
    assert Dog.objects.count() == 6


def test_fault_33_who_is_removed_while_pushing_is_stopped_between_two_batches(
    member: Member,
) -> None:
    callum = make_member("Callum", "partner", member.household)
    some_applied, sent = threading.Event(), []

    def push_on() -> None:
        while True:
            raw_ops = new_dogs(callum, [new_id()[-6:] for _ in range(3)])
            results = send(callum, raw_ops)
            sent.append({each["status"] for each in results})
            if len(sent) == 5:
                some_applied.set()

    with ThreadPoolExecutor(1) as pool:
        pushing = pool.submit(alone, push_on)
        assert some_applied.wait(PATIENCE_S)
        remove_member(member, member_id=callum.pk, now=timezone.now())
        applied = Op.objects.count()
        with pytest.raises(NotMember):
            pushing.result(PATIENCE_S)
    # Whole batches, all of them before the removal; not one of them refused.
    assert sent == [{"applied"}] * len(sent)
    assert Op.objects.count() == applied == 3 * len(sent)
    assert set(Op.objects.values_list("applied", flat=True)) == {True}


@pytest.mark.postgresql
def test_fault_33_a_removal_waits_for_the_batch_that_is_being_written(member: Member) -> None:
    callum = make_member("Callum", "partner", member.household)
    with ThreadPoolExecutor(2) as pool:
        with rows_locked():
            pushing = pool.submit(alone, send, callum, new_dogs(callum, ["Tansy"]))
            assert eventually(lambda: len(between_log_and_rows()) == 1)
            removing = pool.submit(
                alone, remove_member, member, member_id=callum.pk, now=timezone.now()
            )
            assert eventually(lambda: waiting_backends() == 2)
        assert [each["status"] for each in pushing.result(PATIENCE_S)] == ["applied"]
        removing.result(PATIENCE_S)
    with pytest.raises(NotMember):
        send(callum, new_dogs(callum, ["Morag"]))
    assert list(Dog.objects.values_list("name", flat=True)) == ["Tansy"]


def test_a_reader_sees_one_state_while_a_push_commits(member: Member) -> None:
    """The mark, the page and the cursor of a reply belong together."""
    first, second = new_dogs(member, ["Tansy"]), new_dogs(member, ["Morag"])
    send(member, first)
    with snapshot():
        assert Op.objects.count() == 1
        done = threading.Thread(target=alone, args=(send, member, second))
        done.start()
        done.join(timeout=PATIENCE_S)
        assert not done.is_alive(), "a reader must not stop a writer"
        assert Op.objects.count() == 1
    assert Op.objects.count() == 2
