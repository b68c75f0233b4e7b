"""Reads of the log and of row states."""

from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from django.db import connection, transaction
from django.http import Http404

from household.accounts.models import Member
from household.sync import registry
from household.sync.errors import MarkGone
from household.sync.models import Op, Record

START_TOKEN = "-"
"""The token of a mark on an empty log."""


@dataclass(frozen=True)
class Mark:
    """The newest log entry a device knows: its seq, its transaction's token, the device's role."""

    seq: int
    token: str
    role: str

    def as_json(self) -> dict[str, Any]:
        return {"seq": self.seq, "token": self.token, "role": self.role}


@dataclass(frozen=True)
class Changes:
    """A page of row states in the order of their seq, each as JSON text."""

    rows: Sequence[str]
    cursor: int
    more: bool
    mark: Mark


@dataclass(frozen=True)
class History:
    """A page of what was done to a record, the newest first."""

    entity: str
    deeds: Sequence[dict[str, Any]]
    more: bool


def newest_mark(household_id: UUID, role: str) -> Mark:
    """The mark of the log's newest entry: not of the counter, whose gaps a restore reuses."""
    newest = (
        Op.objects.filter(household_id=household_id)
        .order_by("-seq")
        .values_list("seq", "token")
        .first()
    )
    seq, token = newest or (0, START_TOKEN)
    return Mark(seq, token, role)


def check_mark(member: Member, mark: Mark | None) -> None:
    """Raise MarkGone unless the log holds the entry and the role is still the member's."""
    if mark is None:
        return
    if mark.role != member.role:
        raise MarkGone(fields={"role": [member.role]})
    if mark.seq == 0 and mark.token == START_TOKEN:
        return
    entries = Op.objects.filter(household_id=member.household_id, seq=mark.seq, token=mark.token)
    if not entries.exists():
        raise MarkGone


def changes(member: Member, *, cursor: int, mark: Mark | None, limit: int) -> Changes:
    """Row states after the cursor. Call it inside :func:`snapshot`.

    A page may exceed the limit by the few rows that share its last seq: one operation may change a
    record and its owner, and a page that ended between them would lose the second.
    """
    check_mark(member, mark)
    newest = newest_mark(member.household_id, member.role)
    visible = Record.objects.filter(
        household_id=member.household_id, entity__in=registry.visible_to(member.role)
    ).order_by("seq", "rid")
    page = list(visible.filter(seq__gt=cursor)[: limit + 1])
    more = len(page) > limit
    if more:
        last = page[limit - 1].seq
        page = [record for record in page if record.seq <= last]
        if len(page) > limit:  # The row beyond the limit shares the seq: there may be others.
            page = [record for record in page if record.seq < last]
            page += visible.filter(seq=last)
            more = visible.filter(seq__gt=last).exists()
    rows = [record.as_sent() for record in page]
    return Changes(rows, page[-1].seq if more else newest.seq, more, newest)


def applied_among(household_id: UUID, asked: Iterable[tuple[UUID, str]]) -> dict[UUID, int]:
    """The seq of those operations, given by id and hash of the body, that are applied."""
    wanted = dict(asked)
    found = Op.objects.filter(household_id=household_id, op_id__in=wanted, applied=True)
    return {
        op_id: seq
        for op_id, digest, seq in found.values_list("op_id", "hash", "seq")
        if wanted[op_id] == digest
    }


def record(household_id: UUID, rid: UUID) -> Record | None:
    """The state of one record, deleted or not."""
    return Record.objects.filter(household_id=household_id, rid=rid).first()


def history(member: Member, rid: UUID, *, before: int | None, limit: int) -> History:
    """What was done to one record, the newest first, from below the seq ``before`` on.

    Raises Http404 for a record that does not exist here or that the role may not see: the two must
    look the same. Refused operations are left out; they live in the tray of the phone they are of.
    """
    known = record(member.household_id, rid)
    if known is None or known.entity not in registry.visible_to(member.role):
        raise Http404("There is no such record.")
    entries = Op.objects.filter(household_id=member.household_id, rid=rid, applied=True)
    if before is not None:
        entries = entries.filter(seq__lt=before)
    page = list(entries.order_by("-seq")[: limit + 1])
    more = len(page) > limit
    return History(known.entity, [_deed(entry) for entry in page[:limit]], more)


def _deed(entry: Op) -> dict[str, Any]:
    """An operation as people's histories show it: in the present schema, by the moment it counts
    for (never later than it was received)."""
    body = entry.content
    received_at = entry.received_at
    occurred_at = received_at if entry.occurred_at is None else entry.occurred_at
    return {
        "op_id": str(entry.op_id),
        "seq": entry.seq,
        "by": entry.author,
        "submitted_by": entry.submitted_by and str(entry.submitted_by),
        "at": min(occurred_at, received_at),
        "new": body["new"],
        "set": body["set"],
        "seen": body["seen"],
    }


@contextmanager
def snapshot() -> Iterator[None]:
    """Let all reads inside see one state of the database, without stopping writers."""
    if connection.in_atomic_block:
        yield
    elif connection.vendor == "sqlite":
        connection.ensure_connection()  # Reads the settings, the usual mode among them.
        usual = connection.transaction_mode  # type: ignore[attr-defined]  # Of this backend only.
        connection.transaction_mode = "DEFERRED"  # type: ignore[attr-defined]
        try:
            with transaction.atomic():
                yield
        finally:
            connection.transaction_mode = usual  # type: ignore[attr-defined]
    else:
        with transaction.atomic():
            with connection.cursor() as cursor:
                cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ READ ONLY")
            yield
