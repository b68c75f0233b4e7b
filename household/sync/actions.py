"""Writes: what devices push, and what the server itself has to say."""

import secrets
import threading
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from operator import attrgetter
from typing import Any
from uuid import UUID

from django.db import DataError, connection, transaction
from django.db.models import F

from household.accounts.models import Household, User
from household.accounts.queries import member_for
from household.sync import bulk, queries, registry
from household.sync.envelope import MAX_KEPT_BYTES, Sent, read
from household.sync.errors import SchemaTooNew
from household.sync.instants import now_millis
from household.sync.judge import INVALID, Bench, Logged, Verdict, kinds_of, rids_named, rids_of
from household.sync.models import Op, Record
from household.sync.queries import Mark
from household.sync.refold import load, refold
from household.sync.server_ops import Write, ops_of_server

__all__ = ["Pushed", "Write", "push", "write_ops"]

_TURN = threading.Lock()
OP_COLUMNS = tuple(field.attname for field in Op._meta.concrete_fields if not field.primary_key)


@dataclass(frozen=True)
class Pushed:
    """The answer to a push: a result for each operation, what was asked about, the new mark."""

    results: Sequence[dict[str, Any]]
    asked: Sequence[dict[str, Any]]
    mark: Mark


@dataclass
class Batch:
    """A batch inside its transaction: the seq it starts after, who sends it and when it came."""

    household_id: UUID
    last_seq: int
    role: str | None
    submitted_by: UUID | None
    received_at: int
    token: str = field(default_factory=lambda: secrets.token_hex(8))


def push(
    user: User,
    household_id: UUID,
    *,
    raw_ops: Sequence[Any],
    asked: Sequence[tuple[UUID, str]],
    mark: Mark | None,
    received_at: int,
) -> Pushed:
    """Log the operations a device sends and bring their records up to date, all or none.

    Raises Http404, NotMember, MarkGone or SchemaTooNew for the batch as a whole.
    """
    ops = [read(raw, household_id) for raw in raw_ops]  # Before others have to wait for this one.
    with _in_turn(), transaction.atomic():
        last_seq = _reserve(household_id, len(ops))
        member = member_for(user, household_id)
        queries.check_mark(member, mark)
        batch = Batch(household_id, last_seq, member.role, member.pk, received_at)
        return Pushed(
            results=_write(batch, ops),
            asked=[
                {"op_id": str(op_id), "status": "applied", "seq": seq}
                for op_id, seq in queries.applied_among(household_id, asked).items()
            ],
            mark=queries.newest_mark(household_id, member.role),
        )


def write_ops(household_id: UUID, writes: Sequence[Write], *, now: int | None = None) -> int:
    """Write records in the server's own name, through the log like everybody else.

    Only registers whose value differs are written, having seen all that is in force; so a task may
    repeat this. Returns the number of operations made.

    Raises ValueError if a value is not allowed or an owner is missing: a fault of the caller.
    """
    received_at = now_millis() if now is None else now
    with _in_turn(), transaction.atomic():
        last_seq = _reserve(household_id, len(writes))
        ops = ops_of_server(household_id, writes, now=received_at)
        batch = Batch(household_id, last_seq, None, None, received_at)
        for result in _write(batch, ops):
            if result["status"] != "applied":
                raise ValueError(f"The server's own operation was not applied: {result}")
    return len(ops)


@contextmanager
def _in_turn() -> Iterator[None]:
    """Let the threads of this process write to SQLite one after the other.

    It has one writer at a time anyhow, and lets those who wait sleep and try again: with many
    devices some came last again and again, and waited for seconds. Who is in a transaction already
    has the database to itself, and must not wait for somebody who waits for it.
    """
    if connection.vendor == "sqlite" and not connection.in_atomic_block:
        with _TURN:
            yield
    else:
        yield


def _reserve(household_id: UUID, count: int) -> int:
    """Take the household's write lock and ``count`` numbers; return the number before them.

    It must be the first statement: whoever waits for the lock then sees all that came before it.
    On SQLite a SELECT FOR UPDATE would silently lock nothing.
    """
    Household.objects.filter(pk=household_id).update(seq=F("seq") + count)
    seq = Household.objects.filter(pk=household_id).values_list("seq", flat=True).first()
    return (seq or 0) - count


def _write(batch: Batch, ops: Sequence[Sent]) -> list[dict[str, Any]]:
    """Judge, log and fold the operations; return a result for each."""
    for sent in ops:
        if sent.schema > registry.SCHEMA:
            raise SchemaTooNew(too_new(sent.schema))
    logged = _logged(batch.household_id, ops)
    fresh = [sent for sent in ops if sent.op_id not in logged]
    records = load(batch.household_id, {rid for sent in fresh for rid in rids_named(sent)})
    bench = Bench(
        role=batch.role,
        kinds=kinds_of(records),
        logged=logged,
        elsewhere=_elsewhere(batch.household_id, fresh, records),
    )
    verdicts = [bench.judge(sent) for sent in ops]
    entries: dict[UUID, Op] = {}
    for position, (sent, verdict) in enumerate(zip(ops, verdicts, strict=True), start=1):
        if verdict.to_log and sent.op_id not in entries:
            entries[sent.op_id] = _entry(batch, batch.last_seq + position, sent, verdict)
    _store(batch.household_id, list(entries.values()), records)
    return [
        _result(sent, verdict, entries.get(sent.op_id))
        for sent, verdict in zip(ops, verdicts, strict=True)
    ]


def _logged(household_id: UUID, ops: Sequence[Sent]) -> dict[UUID, Logged]:
    """The entries that these operations have in the log already."""
    entries = Op.objects.filter(household_id=household_id, op_id__in={sent.op_id for sent in ops})
    return {values[0]: Logged(*values) for values in entries.values_list(*Logged._fields)}


def _elsewhere(
    household_id: UUID, fresh: Sequence[Sent], records: Mapping[UUID, Record]
) -> set[UUID]:
    """Which of the ids that are new here name records of other households."""
    unknown = {sent.envelope.rid for sent in fresh if sent.envelope} - records.keys()
    if not unknown:
        return set()
    elsewhere = Record.objects.filter(rid__in=unknown).exclude(household_id=household_id)
    return set(elsewhere.values_list("rid", flat=True))


def _store(household_id: UUID, entries: list[Op], records: Mapping[UUID, Record]) -> None:
    """Log and fold the whole batch in one savepoint; if the data themselves cannot be stored, one
    operation in each, so that only the guilty one is refused."""
    if not entries:
        return
    try:
        with transaction.atomic():
            _log_and_fold(household_id, entries, records)
    except DataError:
        for entry in entries:
            try:
                with transaction.atomic():
                    # Read anew: the entries before this one have changed what is there.
                    known = load(household_id, rids_of(entry))
                    _log_and_fold(household_id, [entry], known)
            except DataError:
                _refuse(entry)
                entry.save(force_insert=True)


def _log_and_fold(household_id: UUID, entries: list[Op], records: Mapping[UUID, Record]) -> None:
    bulk.write(Op, OP_COLUMNS, map(attrgetter(*OP_COLUMNS), entries))
    applied = [entry for entry in entries if entry.applied]
    if applied:
        refold(household_id, applied, records)


def _refuse(entry: Op) -> None:
    entry.applied, entry.code, entry.body = False, INVALID, ""
    entry.message = "The database cannot hold a value of this entry. Check its numbers and dates."


def _entry(batch: Batch, seq: int, sent: Sent, verdict: Verdict) -> Op:
    envelope = sent.envelope
    applied = verdict.status == "applied"
    entry = Op(
        household_id=batch.household_id,
        seq=seq,
        op_id=sent.op_id,
        token=batch.token,
        device_id=envelope.device_id if envelope else "",
        n=envelope.n if envelope else None,
        author=envelope.author if envelope else "",
        submitted_by=batch.submitted_by,
        entity=envelope.entity if envelope else "",
        rid=envelope.rid if envelope else None,
        schema=sent.schema,
        occurred_at=envelope.occurred_at if envelope else None,
        received_at=batch.received_at,
        hash=sent.hash,
        body=sent.body if applied or len(sent.body) <= MAX_KEPT_BYTES else "",
        applied=applied,
        code=verdict.code,
        message=verdict.message,
        fields=verdict.fields,
    )
    if applied:
        entry.content = sent.content  # So that folding it need not read the body again.
    return entry


def _result(sent: Sent, verdict: Verdict, entry: Op | None) -> dict[str, Any]:
    """What the device is told. Its own spelling of the op_id is given back, whatever it was."""
    found = verdict.entry or (entry if verdict.to_log else None)
    if found is not None and found.applied:
        return {"op_id": sent.given_id, "status": "applied", "seq": found.seq}
    if verdict.status == "wait":
        return {"op_id": sent.given_id, "status": "wait", "rid": str(verdict.waits_for)}
    # An entry refused by the database itself knows better than the verdict.
    known = found if found is not None else verdict
    return {
        "op_id": sent.given_id,
        "status": "rejected",
        "code": known.code,
        "message": known.message,
        "fields": known.fields,
    }


def too_new(schema: int) -> str:
    return (
        f"This device writes schema {schema}; the server knows {registry.SCHEMA}. Entries stay on "
        "the device and are sent once the server is updated."
    )
