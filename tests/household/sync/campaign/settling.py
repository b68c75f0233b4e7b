"""Heal every fault, let everything drain, and check what the household is left with."""

import json
from collections import defaultdict
from collections.abc import Mapping
from typing import Any
from uuid import UUID

from household.stores.queries import stocks
from household.sync import registry
from household.sync.fold import DELETED, DELETED_BUT_CHANGED, DELETED_BUT_HAS_CHILDREN, Row
from household.sync.models import Op
from tests.household.sync.campaign.faults import crash
from tests.household.sync.campaign.invariants import (
    Broken,
    check_screens,
    heads_by_register,
    stock_g,
)
from tests.household.sync.campaign.phone import Phone
from tests.household.sync.campaign.server import HOUSEHOLD
from tests.household.sync.campaign.store import CLOSED, OPEN, StoredOp
from tests.household.sync.campaign.syncing import sees
from tests.household.sync.campaign.world import STEP_MS, World

ROUNDS = 8
"""More than any queue needs: each round of each phone may bring what another waits for."""


def settle(world: World) -> None:
    """Everything late arrives, everybody is let in, all apps start again and sync."""
    registry.SCHEMA = max(registry.SCHEMA, *(phone.schema for phone in world.phones))
    for phone in world.phones:
        member = world.server.member(phone.index)
        if member.is_removed:
            world.server.invite_again(phone.index, member.role)
    for tag in list(world.late_requests):
        world.now += STEP_MS
        world.deliver(world.late_requests.pop(tag))
    for phone in world.phones:
        crash(world, phone.index)
    for _ in range(ROUNDS):
        before = _standing(world)
        for phone in world.phones:
            world.now += STEP_MS
            if world.sync(phone, limit=9) != "taken":
                raise Broken("no stall", f"phone {phone.index} cannot sync though all is well")
        if _standing(world) == before:
            break
    check_screens(world)
    check_settled(world)


def _standing(world: World) -> list[Any]:
    return [
        (phone.position, [(op.state, op.overlay) for op in phone.ops.values()])
        for phone in world.phones
    ]


def check_settled(world: World) -> None:
    log = {str(entry.op_id): entry for entry in world.server.log()}
    rows = world.server.rows()
    for phone in world.phones:
        _check_queue(world, phone, log, rows)
        _check_replica(world, phone, rows)
        _check_listed(world, phone, rows)
    _check_numbers(world, log)
    Heads(world, log, rows).check()
    _check_deletes(world, rows, log)
    _check_ledgers(world, rows, log)


def _is_in_log(op: StoredOp, log: Mapping[str, Op]) -> bool:
    entry = log.get(op.op_id)
    return entry is not None and entry.applied and entry.hash == op.hash


def _check_queue(
    world: World, phone: Phone, log: Mapping[str, Op], rows: Mapping[str, Row]
) -> None:
    """Every confirmed op is in the log, in a tray, waiting for good reason, or closed."""
    if phone.position.filling:
        raise Broken("no stall", f"phone {phone.index} never ended its pull")
    for op in phone.ops.values():
        applied = _is_in_log(op, log)
        words = f"phone {phone.index}: {op}"
        if op.state == "wait":
            if op.waits_for in rows:
                raise Broken("no stall", f"waits for a record that is there; {words}")
            if not world.restores and _was_applied(world, op.waits_for):
                raise Broken("no stall", f"waits for a record that was there; {words}")
        elif op.state in OPEN:
            raise Broken("no stall", f"never sent; {words}")
        elif op.state == "applied" and not applied:
            raise Broken("nothing lost", f"counts as applied and is not in the log; {words}")
        elif op.state == "rejected" and applied:
            raise Broken("applied or in the tray", f"both; {words}")
        elif op.state == "discarded" and applied and op.replaced_by is None:
            raise Broken("applied or discarded", f"in force and unlisted; {words}")


def _was_applied(world: World, rid: str | None) -> bool:
    return any(
        entry.rid == rid and entry.hash in world.ever_applied
        for entry in world.truth.entries.values()
    )


def _check_replica(world: World, phone: Phone, rows: Mapping[str, Row]) -> None:
    role = world.server.member(phone.index).role
    visible = {rid: row for rid, row in rows.items() if sees(role, row["entity"])}
    if phone.base != visible:
        differing = [
            (phone.base.get(rid), visible.get(rid))
            for rid in phone.base.keys() | visible.keys()
            if phone.base.get(rid) != visible.get(rid)
        ]
        raise Broken("replicas", f"phone {phone.index} ({role}) has, server has: {differing}")
    overlaid = phone.overlaid_rids()
    for rid, row in visible.items():
        shown = phone.records[rid]
        if rid not in overlaid and shown != row and not _has_overlaid_child(phone, rid):
            raise Broken(
                "replicas", f"phone {phone.index} ({role}) shows {shown}, the server {row}"
            )


def _has_overlaid_child(phone: Phone, rid: str) -> bool:
    return any(phone.records[each]["owner"] == rid for each in phone.overlaid_rids())


def _check_listed(world: World, phone: Phone, rows: Mapping[str, Row]) -> None:
    """What a phone showed before a restore and the server has lost is listed on that phone."""
    for swap in phone.swaps:
        for rid, old in swap.before.items():
            if old["gone"] or not sees(swap.role, old["entity"]):
                continue
            for register, heads in heads_by_register(old).items():
                places = (swap.after.get(rid), rows.get(rid), phone.records.get(rid))
                if any(_is_kept(world, old, now, register, heads) for now in places):
                    continue
                in_tray = any(op in phone.ops and phone.ops[op].state in CLOSED for op in heads)
                if not in_tray and not {(rid, register), (rid, None)} & phone.ever_listed:
                    raise Broken(
                        "losses listed",
                        f"phone {phone.index} showed {register} of {old}: {rows.get(rid)}",
                    )


def _is_kept(world: World, old: Row, now: Row | None, register: str, heads: set[str]) -> bool:
    if now is None:
        return False
    new = heads_by_register(now).get(register, set())
    if heads & new or old["values"][register] == now["values"].get(register):
        return True
    return any(world.truth.is_superseded(old["rid"], head, register, new) for head in heads)


def _check_numbers(world: World, log: Mapping[str, Op]) -> None:
    """No holes in n: on each phone, and in the log for what the server wrote."""
    for phone in world.phones:
        numbers = sorted(op.n for op in phone.ops.values())
        if numbers != list(range(1, phone.n + 1)):
            raise Broken("no holes in n", f"phone {phone.index} has {numbers} of {phone.n}")
    by_device: dict[str, list[int]] = defaultdict(list)
    for entry in log.values():
        by_device[entry.device_id].append(entry.n or 0)
    for device, numbers in by_device.items():
        if len(set(numbers)) != len(numbers):
            raise Broken("no holes in n", f"{device} has numbers twice: {sorted(numbers)}")
    own = sorted(by_device.get("server", []))
    if own != list(range(1, len(own) + 1)):
        raise Broken("no holes in n", f"the server wrote {own}")
    if not world.restores:
        applied = {entry.hash for entry in log.values() if entry.applied}
        if world.ever_applied - applied:
            raise Broken("nothing lost", f"left the log: {world.ever_applied - applied}")


class Heads:
    """Rows against the log: by the definition, and by what people had really seen."""

    def __init__(self, world: World, log: Mapping[str, Op], rows: Mapping[str, Row]) -> None:
        self.world, self.rows = world, rows
        self.bodies: dict[str, dict[str, Any]] = defaultdict(dict)
        self.received = {op_id: entry.received_at for op_id, entry in log.items()}
        for op_id, entry in log.items():
            if entry.applied:
                self.bodies[str(entry.rid)][op_id] = json.loads(entry.body)
        applied = {entry.hash for entry in log.values() if entry.applied}
        self.lost_any = bool(world.ever_applied - applied)

    def check(self) -> None:
        if self.bodies.keys() != self.rows.keys():
            raise Broken("rows", f"{self.bodies.keys() ^ self.rows.keys()}")
        for rid, row in self.rows.items():
            for register in {name for body in self.bodies[rid].values() for name in body["set"]}:
                self._check_register(rid, row, register)

    def _check_register(self, rid: str, row: Row, register: str) -> None:
        setting = {op: b for op, b in self.bodies[rid].items() if register in b["set"]}
        seen = {s for op, b in setting.items() for s in b["seen"].get(register, ()) if s != op}
        heads = heads_by_register(row).get(register, set())
        if heads != setting.keys() - seen:
            raise Broken("rows", f"{rid} {register}: {heads}, by the log {setting.keys() - seen}")
        truth = self.world.truth
        for op in setting.keys() - heads:
            if not truth.is_superseded(rid, op, register, setting.keys() - {op}):
                raise Broken("no silent loss", f"nobody had seen {op} of {register} in {row}")
        for op in heads if not self.lost_any else ():
            if truth.is_superseded(rid, op, register, heads - {op}):
                raise Broken("no false conflict", f"{op} of {register} in {row} had been seen")
        self._check_shown(row, register, setting, heads)

    def _check_shown(
        self, row: Row, register: str, setting: Mapping[str, Any], heads: set[str]
    ) -> None:
        """The latest is displayed, and every distinct value is listed."""
        values = {op: setting[op]["set"][register] for op in heads}
        last = max(heads, key=lambda op: (min(setting[op]["occurred_at"], self.received[op]), op))
        if row["values"][register] != values[last]:
            raise Broken("rows", f"{register} of {row} should show {values[last]}")
        listed = [each["value"] for each in row["also"].get(register, [])]
        distinct = {json.dumps(value) for value in values.values()}
        if len(distinct) > 1 and {json.dumps(value) for value in listed} != distinct:
            raise Broken("conflicts listed", f"{register} of {row} should list {distinct}")


def _check_deletes(world: World, rows: Mapping[str, Row], log: Mapping[str, Op]) -> None:
    """Gone only if everything was seen by a delete and no live child is left; else flagged."""
    alive = {row["owner"] for row in rows.values() if not row["gone"]}
    for rid, row in rows.items():
        heads = heads_by_register(row)
        deletes = [op for op in heads.get(DELETED, ()) if _deletes(world, rid, op)]
        unseen = _unseen(world, rid, heads, deletes)
        if row["gone"] and (not deletes or unseen or rid in alive):
            raise Broken("deletes", f"gone, with {unseen} unseen, a child {rid in alive}: {row}")
        flags = {DELETED_BUT_CHANGED, DELETED_BUT_HAS_CHILDREN} & set(row["flags"])
        if deletes and not row["gone"] and not flags:
            raise Broken("deletes", f"alive without a word: {row}")
        if row["owner"] and not row["gone"] and rows.get(row["owner"], row)["gone"]:
            raise Broken("deletes", f"alive in a deleted owner: {row}")


def _deletes(world: World, rid: str, op_id: str) -> bool:
    entry = world.truth.of(rid, op_id)
    return entry is not None and entry.set.get(DELETED) is True


def _unseen(world: World, rid: str, heads: Mapping[str, set[str]], deletes: list[str]) -> set[str]:
    undone = heads.get(DELETED, set()) - set(deletes)
    saw = {
        seen for op in deletes for name in heads for seen in world.truth.saw(rid, op, name)
    } | set(deletes)
    others = {op for name, ops in heads.items() if name != DELETED for op in ops}
    return (others - saw) | undone


def _check_ledgers(world: World, rows: Mapping[str, Row], log: Mapping[str, Op]) -> None:
    """Stock equals an independent sum of what people noted; rival counts are flagged."""
    lots = [rid for rid, row in rows.items() if row["entity"] == "lot"]
    found = stocks(HOUSEHOLD, [UUID(rid) for rid in lots])
    for lot in lots:
        alive = {rid: row for rid, row in rows.items() if row["owner"] == lot and not row["gone"]}
        counts = _counts(world, alive, log)
        moves = {
            rid: row["values"]
            for rid, row in alive.items()
            if row["entity"] == "movement" and rid not in counts
        }
        expected = stock_g(moves, counts)
        stock = found[UUID(lot)]
        if stock.mass_g not in expected:
            raise Broken("ledger", f"{stock} of {rows[lot]}, the entries come to {expected}")
        if len(expected) > 1 and "rival_counts" not in rows[lot]["flags"]:
            raise Broken("ledger", f"rival counts without a word: {rows[lot]}")


def _counts(
    world: World, alive: Mapping[str, Row], log: Mapping[str, Op]
) -> dict[str, tuple[int, frozenset[str]]]:
    """What people said they had counted, whatever the protocol made of it."""
    out = {}
    for (rid, op_id), entry in world.truth.entries.items():
        logged = log.get(op_id)
        if rid in alive and entry.counted and logged and logged.applied:
            out[rid] = entry.counted
    return out
