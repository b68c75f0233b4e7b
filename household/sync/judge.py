"""Decide what becomes of each operation of a batch. Nothing is written here."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Literal, NamedTuple
from uuid import UUID

from household.sync import registry
from household.sync.envelope import Envelope, Sent
from household.sync.instants import from_millis
from household.sync.models import Op, Record
from household.sync.validation import Errors, check_values
from household.sync.vocabulary import Kind
from household.sync.wording import shown

INVALID, FORBIDDEN, OP_ID_REUSED = "invalid", "forbidden", "op_id_reused"


class Logged(NamedTuple):
    """What an answer needs of an entry that the log has already; a tuple, since a device that sends
    all again asks for very many."""

    op_id: UUID
    seq: int
    hash: str
    applied: bool
    code: str
    message: str
    fields: Errors


@dataclass(frozen=True)
class Verdict:
    """What becomes of one operation: logged as applied or refused, known already, or waiting."""

    status: Literal["applied", "rejected", "wait"]
    code: str = ""
    message: str = ""
    fields: Errors = field(default_factory=dict)
    waits_for: UUID | None = None
    entry: Logged | None = None  # The log entry it has already.

    @property
    def to_log(self) -> bool:
        return self.entry is None and self.status != "wait" and self.code != OP_ID_REUSED


@dataclass
class Bench:
    """What a batch is judged by; ``kinds`` grows as its own operations make records."""

    role: str | None  # None: the server itself, bound to no role.
    kinds: dict[UUID, str]
    logged: dict[UUID, Logged]
    elsewhere: set[UUID]  # Ids that records of other households have.
    hashes: dict[UUID, str] = field(default_factory=dict)
    verdicts: dict[UUID, Verdict] = field(default_factory=dict)

    def judge(self, sent: Sent) -> Verdict:
        """The original result of a known op_id comes before every other check."""
        known = self.logged.get(sent.op_id)
        digest = known.hash if known is not None else self.hashes.get(sent.op_id)
        if digest is not None and digest != sent.hash:
            return _reused(sent)
        if known is not None:
            return original(known)
        if sent.op_id not in self.verdicts:
            self.hashes[sent.op_id] = sent.hash
            self.verdicts[sent.op_id] = self._judge_new(sent)
        return self.verdicts[sent.op_id]

    def _judge_new(self, sent: Sent) -> Verdict:
        envelope = sent.envelope
        if envelope is None:
            return _invalid(sent.errors)
        kind = registry.get(envelope.entity)
        if kind is None:
            known = ", ".join(registry.all_kinds())
            return _invalid(
                {"entity": [f"There is no kind {shown(envelope.entity)}. Known are: {known}."]}
            )
        if self.role is not None and self.role not in kind.write:
            return Verdict("rejected", FORBIDDEN, _may_not(self.role, kind))
        errors = check_values(
            kind, envelope.set, new=envelope.new, occurred_at=from_millis(envelope.occurred_at)
        ) or self._clashes(kind, envelope)
        if errors:
            return _invalid(errors)
        missing = self._missing(kind, envelope)
        if missing is not None:
            return Verdict("wait", waits_for=missing)
        self.kinds[envelope.rid] = kind.entity
        return Verdict("applied")

    def _clashes(self, kind: Kind, envelope: Envelope) -> Errors:
        """Ids that already name something of another kind. A record never changes its kind."""
        errors: Errors = {}
        held = self.kinds.get(envelope.rid)
        if envelope.rid in self.elsewhere or held not in (None, kind.entity):
            errors["rid"] = [
                f"The id {envelope.rid} already names another record"
                f"{f', a {held}' if held else ''}. Make the {kind.label} again with a new id."
            ]
        owner = owner_named(kind, envelope.set)
        owner_kind = self.kinds.get(owner) if owner is not None else None
        if kind.owner is not None and owner_kind not in (None, *kind.owner_kinds):
            errors[kind.owner] = [
                f"{owner} is a {owner_kind}; allowed is a {' or '.join(kind.owner_kinds)}."
            ]
        return errors

    def _missing(self, kind: Kind, envelope: Envelope) -> UUID | None:
        if not envelope.new and envelope.rid not in self.kinds:
            return envelope.rid
        owner = owner_named(kind, envelope.set)
        return owner if owner is not None and owner not in self.kinds else None


def owner_named(kind: Kind, values: Mapping[str, Any]) -> UUID | None:
    """The owner an operation names, if it does so properly."""
    owner = values.get(kind.owner) if kind.owner else None
    try:
        return UUID(owner) if isinstance(owner, str) else None
    except ValueError:
        return None


def rids_named(sent: Sent) -> set[UUID]:
    """The records an operation is about: its own and the owner it names."""
    if sent.envelope is None:
        return set()
    kind = registry.get(sent.envelope.entity)
    owner = owner_named(kind, sent.envelope.set) if kind is not None else None
    return {sent.envelope.rid, owner} if owner is not None else {sent.envelope.rid}


def rids_of(entry: Op) -> set[UUID]:
    """The same of a log entry that is applied."""
    kind = registry.get(entry.entity)
    if entry.rid is None or kind is None or not entry.applied:
        return set()
    owner = owner_named(kind, entry.content["set"])
    return {entry.rid, owner} if owner is not None else {entry.rid}


def original(entry: Logged) -> Verdict:
    """The result a log entry records."""
    if entry.applied:
        return Verdict("applied", entry=entry)
    return Verdict("rejected", entry.code, entry.message, entry.fields, entry=entry)


def kinds_of(records: Mapping[UUID, Record]) -> dict[UUID, str]:
    return {rid: record.entity for rid, record in records.items()}


def _invalid(errors: Errors) -> Verdict:
    first = next(iter(errors.values()))[0]
    more = f" ({len(errors) - 1} more)" if len(errors) > 1 else ""
    return Verdict("rejected", INVALID, first + more, errors)


def _reused(sent: Sent) -> Verdict:
    return Verdict(
        "rejected",
        OP_ID_REUSED,
        f"The id {sent.op_id} was already used for an entry with other content. "
        "Make this entry again: it will get a new id.",
    )


def _may_not(role: str, kind: Kind) -> str:
    allowed = " or ".join(kind.write) or "the server"
    return f"A {role} may not write a {kind.label}; allowed is {allowed}. Ask an owner."
