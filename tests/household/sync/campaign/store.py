"""What a phone keeps: the server's rows, its own ops for good, and the records the screen shows.

Mirrors ``schema.ts``, ``refold.ts`` and ``read.ts``. Rows are never changed in place.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from household.sync import registry
from household.sync.fold import DELETED_BUT_HAS_CHILDREN, FoldOp, Row, fold, heads_of

OPEN = ("pending", "sent", "wait")
CLOSED = ("rejected", "discarded")
Seen = dict[str, list[str]]


@dataclass
class StoredOp:
    """An own op and what became of it. ``overlay``: the screen must show it on top of the base."""

    op_id: str
    n: int
    rid: str
    entity: str
    body: dict[str, Any]
    hash: str
    state: str = "pending"
    overlay: bool = True
    seq: int | None = None
    code: str = ""
    surprise: bool = False
    replaced_by: str | None = None
    waits_for: str | None = None


@dataclass(frozen=True)
class Position:
    """Where the phone stands in the server's log."""

    mark: dict[str, Any] | None = None
    cursor: int = 0
    covered: int = 0
    filling: bool = True


@dataclass(frozen=True)
class Rec:
    """A record as a form was opened with it; ``shown`` and ``every`` are the heads on screen."""

    rid: str
    entity: str
    values: Mapping[str, Any]
    gone: bool
    also: Mapping[str, Any]
    shown: Mapping[str, list[str]]
    every: Mapping[str, list[str]]
    seen_shown: Mapping[str, list[str]]
    seen_every: Mapping[str, list[str]]


@dataclass(frozen=True)
class Lost:
    """What the phone showed before a restore; ``registers`` None means the whole record."""

    rid: str
    entity: str
    row: Row
    registers: tuple[str, ...] | None


@dataclass
class Store:
    """The tables of one phone's database, and the records folded from them."""

    base: dict[str, Row] = field(default_factory=dict)
    fresh: dict[str, Row] = field(default_factory=dict)
    records: dict[str, Row] = field(default_factory=dict)
    ops: dict[str, StoredOp] = field(default_factory=dict)
    lost: dict[str, Lost] = field(default_factory=dict)
    position: Position = field(default_factory=Position)
    n: int = 0

    def overlay_of(self, rid: str) -> list[StoredOp]:
        """The own ops on top of a record, in the order they were made."""
        return [op for op in self.ops.values() if op.overlay and op.rid == rid]

    def overlaid_rids(self) -> set[str]:
        return {op.rid for op in self.ops.values() if op.overlay}

    def unsent(self) -> list[StoredOp]:
        return [op for op in self.ops.values() if op.state in OPEN]

    def refold(self, rids: Iterable[str]) -> None:
        """Fold these records again, then every owner whose children came or went."""
        todo = set(rids)
        while todo:
            owners = self._refold_once(sorted(todo))
            todo = {rid for rid in owners if rid in self.records and self.records[rid].get("del")}

    def _refold_once(self, rids: Iterable[str]) -> set[str]:
        owners: set[str] = set()
        folded: dict[str, Row] = {}
        for rid in rids:
            base, overlay, before = self.base.get(rid), self.overlay_of(rid), self.records.get(rid)
            if base is None and not overlay:
                if before is not None and before["owner"]:
                    owners.add(before["owner"])
                self.records.pop(rid, None)
                continue
            row = fold_row(rid, base, overlay, False)
            if row["del"] and self.has_live_children(rid, base):
                row = fold_row(rid, base, overlay, True)
            folded[rid] = row = with_owner(row)
            owners |= self.owners_to_fold(before, row)
        self.records.update(folded)
        return owners

    def owners_to_fold(self, before: Row | None, row: Row) -> set[str]:
        """A refused create takes the owner away from what is left of its record."""
        if before is None:
            return {row["owner"]} - {None}
        if (before["gone"], before["owner"]) == (row["gone"], row["owner"]):
            return set()
        return {before["owner"], row["owner"]} - {None}

    def has_live_children(self, rid: str, base: Row | None) -> bool:
        """Children a role may not see are known only from the server's flag."""
        children = [row for row in self.records.values() if row["owner"] == rid]
        if any(not row["gone"] for row in children):
            return True
        flagged = base is not None and DELETED_BUT_HAS_CHILDREN in base["flags"]
        return flagged and not children

    def read(self, rid: str) -> Rec | None:
        """The record as the screen shows it."""
        row = self.records.get(rid)
        if row is None:
            return None
        every = {name: heads_of(row, name) for name in row["values"]}
        shown = {
            name: list(row["also"][name][0]["ops"]) if name in row["also"] else ids
            for name, ids in every.items()
        }
        return Rec(
            rid,
            row["entity"],
            row["values"],
            row["gone"],
            row["also"],
            shown,
            every,
            {name: self.with_closure(rid, name, ids) for name, ids in shown.items()},
            {name: self.with_closure(rid, name, ids) for name, ids in every.items()},
        )

    def with_closure(self, rid: str, register: str, ids: Iterable[str]) -> list[str]:
        """For every own head that is not pulled yet, also what its author had seen."""
        out = dict.fromkeys(ids)
        for op in self.overlay_of(rid):
            if op.op_id in out:
                out.update(dict.fromkeys(op.body["seen"].get(register, ())))
        return list(out)


def fold_row(rid: str, base: Row | None, overlay: list[StoredOp], has_children: bool) -> Row:
    if base is not None and not overlay and not base["del"]:
        return base
    entity = overlay[0].entity if overlay else ""
    identity = {"rid": rid, "entity": entity, "owner": None, "seq": 0}
    return {**identity, **fold(base, map(pending_op, overlay), has_children)}


def pending_op(op: StoredOp) -> FoldOp:
    """An own op that the server has not received yet."""
    body = op.body
    return FoldOp(
        op_id=op.op_id,
        author=body["author"],
        at=body["occurred_at"],
        set=body["set"],
        seen=body["seen"],
        new=body["new"],
    )


def with_owner(row: Row) -> Row:
    kind = registry.get(row["entity"])
    if row["owner"] is None and kind is not None and kind.owner:
        return {**row, "owner": row["values"].get(kind.owner)}
    return row


def same_mark(one: Mapping[str, Any] | None, other: Mapping[str, Any] | None) -> bool:
    return one == other


def reset(op: StoredOp) -> StoredOp:
    """Queued again: as if no server had ever heard of it."""
    return replace(op, state="pending", seq=None)
