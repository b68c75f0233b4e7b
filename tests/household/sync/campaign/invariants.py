"""What must hold on every phone after every step, whatever has gone wrong."""

from collections.abc import Iterable, Mapping
from typing import Any

from household.sync import registry
from household.sync.fold import Row, heads_of
from tests.household.sync.campaign.kinds import LEDGERS
from tests.household.sync.campaign.phone import Phone
from tests.household.sync.campaign.store import CLOSED, StoredOp, fold_row, with_owner
from tests.household.sync.campaign.world import World


class Broken(AssertionError):
    """An invariant does not hold; ``rule`` names it."""

    def __init__(self, rule: str, words: str) -> None:
        self.rule = rule
        super().__init__(f"{rule}: {words}")


def check_screens(world: World) -> None:
    """Own entries are on the screen, stocks add up, records are what base and own ops make."""
    if world.changed_screens:
        raise Broken("old screen kept", f"starting over changed it on {world.changed_screens}")
    for phone in world.phones:
        for op in phone.ops.values():
            if op.state not in CLOSED:
                _check_on_screen(world, phone, op)
            elif op.state == "rejected":
                _check_reason(world, phone, op)
        _check_records(phone)
        for rid, row in phone.records.items():
            if row["entity"] in LEDGERS:
                _check_stock_shown(phone, rid)


def _check_on_screen(world: World, phone: Phone, op: StoredOp) -> None:
    row = phone.records.get(op.rid)
    if row is None:
        # Rows that a restore has lost, or a role hides, may be away until the next whole pull.
        may_be_lost = op.state == "applied" and world.restores
        may_be_hidden = len(world.roles_had[phone.index]) > 1
        if op.overlay or not (may_be_lost or may_be_hidden):
            raise Broken("own entry on screen", f"phone {phone.index} does not show {op}")
        return
    for register in op.body["set"]:
        heads = heads_of(row, register)
        shown = op.op_id in heads
        if not shown and not world.truth.is_superseded(op.rid, op.op_id, register, heads):
            raise Broken(
                "own entry on screen",
                f"phone {phone.index} shows {heads} in {register}, not its own {op}",
            )


def _check_reason(world: World, phone: Phone, op: StoredOp) -> None:
    """An op is refused for what it says or who wrote it, never for what else is there."""
    entry = world.truth.of(op.rid, op.op_id)
    kind = registry.get(op.entity)
    assert entry is not None
    assert kind is not None
    role_lacks = any(role not in kind.write for role in world.roles_had[phone.index])
    twice = sum(op_id == op.op_id for _, op_id in world.truth.entries) > 1
    reasons = {"invalid": entry.bad, "forbidden": role_lacks, "op_id_reused": twice}
    if not reasons.get(op.code):
        raise Broken("refused for a reason", f"{op.code} without one: {op}")


def _check_records(phone: Phone) -> None:
    rids = phone.base.keys() | phone.overlaid_rids()
    if rids != phone.records.keys():
        raise Broken("records", f"phone {phone.index}: {rids ^ phone.records.keys()}")
    for rid in rids:
        base = phone.base.get(rid)
        overlay = phone.overlay_of(rid)
        expected = with_owner(fold_row(rid, base, overlay, False))
        if expected["del"] and phone.has_live_children(rid, base):
            expected = with_owner(fold_row(rid, base, overlay, True))
        if expected != phone.records[rid]:
            raise Broken(
                "records",
                f"phone {phone.index} shows {phone.records[rid]}, its store says {expected}",
            )


def _check_stock_shown(phone: Phone, owner: str) -> None:
    children = (row for row in phone.records.values() if row["owner"] == owner)
    alive = [row for row in children if not row["gone"]]
    expected = stock_g(
        {row["rid"]: row["values"] for row in alive if row["entity"] == "movement"},
        {
            row["rid"]: (row["values"]["counted_g"], frozenset(row["values"]["knew"]))
            for row in alive
            if row["entity"] == "count"
        },
    )
    if phone.stock_shown_g(owner) not in expected:
        raise Broken(
            "stock on screen",
            f"phone {phone.index} says {phone.stock_shown_g(owner)} g, its entries {expected} g",
        )


def stock_g(
    moves: Mapping[str, Mapping[str, Any]], counts: Mapping[str, tuple[int, Iterable[str]]]
) -> set[int]:
    """What the entries of one lot add up to [g]; several answers where counts are rivals."""
    gram = {
        rid: {"stored": 1, "thawed": 0}.get(move["what"], -1) * move["mass_g"]
        for rid, move in moves.items()
    }
    rivals = [
        rid
        for rid in counts
        if not any(rid in knew for other, (_, knew) in counts.items() if other != rid)
    ]
    if not counts:
        return {sum(gram.values())}
    return {
        counts[rid][0] + sum(g for move, g in gram.items() if move not in counts[rid][1])
        for rid in rivals or counts
    }


def heads_by_register(row: Row) -> dict[str, set[str]]:
    return {register: set(heads_of(row, register)) for register in row["values"]}
