"""Bring records up to date after their log has grown: fold, judge owners, store.

Works on a whole batch at once, in memory, so that the number of queries does not grow with it.
"""

import json
from collections import defaultdict
from collections.abc import Callable, Collection, Container, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from operator import attrgetter
from uuid import UUID

from django.utils.module_loading import import_string

from household.sync import bulk, projection, registry
from household.sync.arrival import awaited_after, heads_in
from household.sync.fold import DELETES, OWN_FLAGS, FoldOp, Row, fold
from household.sync.models import Op, Record

CLOCK_TOLERANCE_MS = 10 * 60 * 1000
"""A device's clock may run this far ahead before its entries say so."""

RECORD_COLUMNS = tuple(
    field.attname for field in Record._meta.concrete_fields if not field.primary_key
)

MOST_LOOKED_UP = 10_000
"""So many ids one statement may ask for. If there are more, nobody is asked: the records wait for
too many then, and are folded from the log."""

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
    states = _fold_touched(household_id, applied, known)
    _add_owners(states, known)
    _judge_deletes(household_id, states)
    _store(household_id, [state for state in states.values() if state.touched or state.changed])
    _flag_owners(household_id, states)


def as_fold_op(op: Op) -> FoldOp:
    """A log entry as the fold sees it, in the present schema."""
    body = op.content
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
    household_id: UUID, applied: Iterable[Op], known: Mapping[UUID, Record]
) -> dict[UUID, State]:
    by_rid: dict[UUID, list[Op]] = defaultdict(list)
    for op in applied:
        assert op.rid is not None
        by_rid[op.rid].append(op)
    new = {rid: [as_fold_op(op) for op in ops] for rid, ops in by_rid.items()}
    records = {
        rid: known.get(rid) or Record(household_id=household_id, rid=rid, entity=ops[0].entity)
        for rid, ops in by_rid.items()
    }
    rows = _fold_onward(household_id, new, records, known)
    for rid, ops in _whole_logs(household_id, by_rid.keys() - rows.keys()).items():
        rows[rid] = _fold_from_log(records[rid], ops)
    return {rid: _state(records[rid], rows[rid], ops[-1].seq) for rid, ops in by_rid.items()}


def _fold_onward(
    household_id: UUID,
    new: Mapping[UUID, Sequence[FoldOp]],
    records: Mapping[UUID, Record],
    known: Container[UUID],
) -> dict[UUID, Row]:
    """The rows of those records that take none of their older operations to fold."""
    bases = {
        rid: record.row if rid in known else None
        for rid, record in records.items()
        if rid not in known or record.can_be_folded_onward
    }
    heads = {rid: heads_in(base) if base else set() for rid, base in bases.items()}
    awaited = {rid: awaited_after(records[rid].awaits, heads[rid], new[rid]) for rid in bases}
    in_log = _in_log(household_id, {op_id for ids in awaited.values() for op_id in ids or ()})
    rows = {}
    for rid, ids in awaited.items():
        # Operations in a batch may be out of order by themselves: a new record has no others.
        if ids is not None or rid not in known:
            records[rid].wait_for(None if ids is None else ids - in_log)
            rows[rid] = fold(bases[rid], new[rid], False)
    return rows


def _in_log(household_id: UUID, op_ids: Collection[str]) -> set[str]:
    """Which operations the log holds, applied or refused: they will not arrive any more."""
    if not 0 < len(op_ids) <= MOST_LOOKED_UP:
        return set()
    found = Op.objects.filter(household_id=household_id, op_id__in=op_ids)
    return {str(op_id) for op_id in found.values_list("op_id", flat=True)}


def _whole_logs(household_id: UUID, rids: Collection[UUID]) -> Mapping[UUID, Sequence[FoldOp]]:
    """All operations of the records, in the order of their arrival."""
    by_rid: dict[UUID, list[FoldOp]] = defaultdict(list)
    if rids:
        entries = Op.objects.filter(household_id=household_id, rid__in=rids, applied=True)
        for op in entries.order_by("seq"):
            assert op.rid is not None
            by_rid[op.rid].append(as_fold_op(op))
    return by_rid


def _fold_from_log(record: Record, ops: Sequence[FoldOp]) -> Row:
    record.wait_for(awaited_after((), (), ops))
    row = fold(None, ops, False)
    row["flags"] = sorted({*row["flags"], *(set(record.row["flags"]) - OWN_FLAGS)})
    return row


def _state(record: Record, row: Row, seq: int) -> State:
    kind = registry.get(record.entity)
    owner = row["values"].get(kind.owner) if kind is not None and kind.owner else None
    record.owner = UUID(owner) if owner else None
    record.seq = seq
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
        # What was folded just now was folded as if no child lived.
        if state.row[DELETES] and (not state.touched or state.record.rid in kept_alive):
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
        records.append(state.record)
    rows = map(attrgetter(*RECORD_COLUMNS), records)
    bulk.write(Record, RECORD_COLUMNS, rows, unique=["household_id", "rid"])


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
