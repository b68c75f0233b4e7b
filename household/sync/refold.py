"""Bring records up to date after their log has grown: fold, judge owners, store.

Works on a whole batch at once, in memory, so that the number of queries does not grow with it.
"""

import json
from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from uuid import UUID

from django.utils.module_loading import import_string

from household.sync import projection, registry
from household.sync.fold import DELETES, OWN_FLAGS, FoldOp, Row, fold
from household.sync.models import Op, Record

CLOCK_TOLERANCE_MS = 10 * 60 * 1000
"""A device's clock may run this far ahead before its entries say so."""

DEEPEST = 4
"""How many owners above a record are looked up; kinds nest less deeply."""


@dataclass
class State:
    """One record while a batch is being folded."""

    record: Record
    row: Row
    touched: bool = False
    changed: bool = False

    def foreign_flags(self) -> set[str]:
        """The flags that other rules than the fold have set."""
        return set(self.row["flags"]) - OWN_FLAGS


def load(household_id: UUID, rids: Iterable[UUID]) -> dict[UUID, Record]:
    """The records with these ids and the owners above them."""
    found: dict[UUID, Record] = {}
    wanted = set(rids)
    for _ in range(DEEPEST):
        if not wanted:
            break
        records = Record.objects.filter(household_id=household_id, rid__in=wanted)
        found.update({record.rid: record for record in records})
        wanted = {record.owner for record in found.values() if record.owner} - found.keys()
    return found


def refold(household_id: UUID, applied: Iterable[Op], known: Mapping[UUID, Record]) -> None:
    """Fold the records that newly logged operations touch, and whoever owns them.

    ``known`` holds what :func:`load` found for those records and their owners before the batch.
    """
    states = _fold_touched(household_id, list(applied), known)
    _add_owners(states, known)
    _judge_deletes(household_id, states)
    _store(household_id, [state for state in states.values() if state.touched or state.changed])
    _flag_owners(household_id, states)


def as_fold_op(op: Op) -> FoldOp:
    """A log entry as the fold sees it, in the present schema."""
    body = registry.upcast(json.loads(op.body), op.schema)
    assert op.occurred_at is not None
    return FoldOp(
        op_id=str(op.op_id),
        author=op.author,
        at=min(op.occurred_at, op.received_at),
        set=body["set"],
        seen=body["seen"],
        new=body["new"],
        clock_ahead=op.occurred_at > op.received_at + CLOCK_TOLERANCE_MS,
    )


def _fold_touched(
    household_id: UUID, applied: list[Op], known: Mapping[UUID, Record]
) -> dict[UUID, State]:
    by_rid: dict[UUID, list[Op]] = defaultdict(list)
    for op in applied:
        assert op.rid is not None
        by_rid[op.rid].append(op)
    # A record that is new with this batch has no older operations to fetch.
    older = [rid for rid in by_rid if rid in known]
    for op in Op.objects.filter(household_id=household_id, rid__in=older, applied=True):
        assert op.rid is not None
        by_rid[op.rid].append(op)
    return {rid: _fold_one(household_id, rid, ops, known.get(rid)) for rid, ops in by_rid.items()}


def _fold_one(household_id: UUID, rid: UUID, ops: list[Op], record: Record | None) -> State:
    row = fold(None, [as_fold_op(op) for op in ops], False)
    if record is None:
        record = Record(household_id=household_id, rid=rid, entity=ops[0].entity)
        flags: set[str] = set()
    else:
        flags = set(record.row["flags"]) - OWN_FLAGS
    kind = registry.get(record.entity)
    owner = row["values"].get(kind.owner) if kind is not None and kind.owner else None
    record.owner = UUID(owner) if owner else None
    record.seq = max(op.seq for op in ops)
    row["flags"] = sorted({*row["flags"], *flags})
    return State(record, row, touched=True, changed=True)


def _add_owners(states: dict[UUID, State], known: Mapping[UUID, Record]) -> None:
    """Put every owner above the touched records beside them, as it is stored."""
    waiting = [state.record.owner for state in states.values()]
    waiting += [record.owner for record in known.values()]
    while waiting:
        rid = waiting.pop()
        if rid is None or rid in states or rid not in known:
            continue
        states[rid] = State(known[rid], known[rid].row)
        waiting.append(known[rid].owner)


def _judge_deletes(household_id: UUID, states: dict[UUID, State]) -> None:
    """Decide which deletes hold, children before owners: a live child keeps its owner alive."""
    deleted = [rid for rid, state in states.items() if state.row[DELETES]]
    if not deleted:
        return
    kept_alive = set(
        Record.objects.filter(household_id=household_id, owner__in=deleted, gone=False)
        .exclude(rid__in=list(states))
        .values_list("owner", flat=True)
    )
    for _, state in sorted(
        states.items(), key=lambda item: registry.level(item[1].record.entity), reverse=True
    ):
        if state.row[DELETES]:
            _replace(state, fold(state.row, [], state.record.rid in kept_alive))
        if not state.row["gone"] and state.record.owner is not None:
            kept_alive.add(state.record.owner)


def _replace(state: State, row: Row) -> None:
    if row != state.row:
        state.row, state.changed = row, True


def _store(household_id: UUID, changed: list[State]) -> None:
    _raise_seq(changed)
    _store_records(changed)
    projection.store(household_id, [(state.record, state.row) for state in changed])


def _raise_seq(changed: Iterable[State]) -> None:
    """A changed owner takes the seq of the operation on its child that changed it."""
    by_rid = {state.record.rid: state for state in changed}
    for state in sorted(
        by_rid.values(), key=lambda each: registry.level(each.record.entity), reverse=True
    ):
        owner = by_rid.get(state.record.owner) if state.record.owner else None
        if owner is not None and not owner.touched:
            owner.record.seq = max(owner.record.seq, state.record.seq)


def _store_records(changed: Iterable[State]) -> None:
    records = []
    for state in changed:
        state.record.gone = state.row["gone"]
        state.record.state = json.dumps(state.row, separators=(",", ":"), ensure_ascii=False)
        state.record.pk = None  # An upsert by (household, rid) needs no id.
        records.append(state.record)
    if records:
        Record.objects.bulk_create(
            records,
            update_conflicts=True,
            unique_fields=["household", "rid"],
            update_fields=["owner", "seq", "gone", "state"],
        )


Hook = Callable[[UUID, list[UUID]], Mapping[UUID, Iterable[str]]]


def _flag_owners(household_id: UUID, states: dict[UUID, State]) -> None:
    """Ask the kinds of the children what flags their owners carry, and store what changed."""
    affected: dict[UUID, int] = {}
    for state in states.values():
        kind = registry.get(state.record.entity)
        owner = state.record.owner
        if state.changed and kind is not None and kind.owner_flags and owner in states:
            affected[owner] = max(affected.get(owner, 0), state.record.seq)
        if state.touched and _hooks_for(state.record.entity):
            affected[state.record.rid] = max(affected.get(state.record.rid, 0), state.record.seq)
    by_hook: dict[str, list[UUID]] = defaultdict(list)
    for rid in affected:
        for hook in _hooks_for(states[rid].record.entity):
            by_hook[hook].append(rid)
    flags: dict[UUID, set[str]] = defaultdict(set)
    for name, rids in by_hook.items():
        hook_function: Hook = import_string(name)
        for rid, words in hook_function(household_id, rids).items():
            flags[rid].update(words)
    flagged = []
    for rid, seq in affected.items():
        state = states[rid]
        if flags[rid] != state.foreign_flags():
            state.row["flags"] = sorted({*flags[rid], *(OWN_FLAGS & set(state.row["flags"]))})
            state.record.seq = max(state.record.seq, seq)
            flagged.append(state)
    _store_records(flagged)


@cache
def _hooks_for(entity: str) -> tuple[str, ...]:
    kinds = registry.all_kinds().values()
    return tuple(
        sorted(
            {kind.owner_flags for kind in kinds if kind.owner_flags and entity in kind.owner_kinds}
        )
    )
