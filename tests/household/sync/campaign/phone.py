"""What a person does on a phone: entries, forms, the tray; mirrors ``write.ts`` and ``tray.ts``."""

from collections.abc import Mapping
from typing import Any
from uuid import UUID

from household.sync import registry
from household.sync.envelope import read
from household.sync.fold import DELETED
from household.sync.instants import from_millis, to_iso
from tests.household.sync.campaign.ids import Ids
from tests.household.sync.campaign.store import Rec, Seen, StoredOp
from tests.household.sync.campaign.syncing import Syncing

GRAMS = {"stored": 1, "used": -1, "discarded": -1, "thawed": 0}


class Phone(Syncing):
    """One phone of one member. What a form was opened with is kept by whoever holds the form."""

    def __init__(
        self, *, index: int, device_id: str, schema: int, member: str, household: UUID, ids: Ids
    ) -> None:
        super().__init__(index=index, device_id=device_id, schema=schema)
        self.member, self.household, self.ids = member, household, ids
        self.clock_offset_ms = 0

    # Entries

    def create(
        self, now: int, entity: str, rid: str, values: Mapping[str, Any], op_id: str | None = None
    ) -> StoredOp:
        known = self.read(rid)
        if known is not None and known.gone:
            return self._bring_back(now, known, values)
        return self.append(now, entity, rid, values, {}, new=True, op_id=op_id)

    def _bring_back(self, now: int, rec: Rec, values: Mapping[str, Any]) -> StoredOp:
        kind = registry.get(rec.entity)
        assert kind is not None
        changed = {
            name: value
            for name, value in values.items()
            if not kind.registers[name].immutable and rec.values.get(name) != value
        }
        changed[DELETED] = False
        seen = {name: list(rec.seen_every.get(name, ())) for name in changed}
        return self.append(now, rec.entity, rec.rid, changed, seen)

    def edit(self, now: int, rec: Rec, register: str, value: Any) -> StoredOp:
        seen = {register: list(self.seen_at_save(rec).seen_shown.get(register, ()))}
        return self.append(now, rec.entity, rec.rid, {register: value}, seen)

    def seen_at_save(self, rec: Rec) -> Rec:
        """What counts as seen is what the form was opened with."""
        return rec

    def remove(self, now: int, rec: Rec) -> StoredOp:
        seen = {name: list(ids) for name, ids in rec.seen_every.items()}
        return self.append(now, rec.entity, rec.rid, {DELETED: True}, seen)

    def restore(self, now: int, rec: Rec) -> StoredOp:
        seen = {DELETED: list(rec.seen_every.get(DELETED, ()))}
        return self.append(now, rec.entity, rec.rid, {DELETED: False}, seen)

    def resolve(self, now: int, rec: Rec, register: str, value: Any) -> StoredOp:
        seen = {register: list(rec.seen_every[register])}
        return self.append(now, rec.entity, rec.rid, {register: value}, seen)

    def move(self, now: int, owner: str, rid: str, what: str, mass_g: int) -> StoredOp:
        values = {"of": owner, "what": what, "mass_g": mass_g, "at": self.moment(now)}
        return self.create(now, "movement", rid, values)

    def count(self, now: int, owner: str, rid: str, counted_g: int) -> StoredOp:
        values = {"of": owner, "counted_g": counted_g, "knew": self.ledger_rids(owner)}
        return self.create(now, "count", rid, {**values, "at": self.moment(now)})

    def ledger_rids(self, owner: str) -> list[str]:
        """The movements and counts of a lot or bag that are on the screen."""
        return [
            rid
            for rid, row in self.records.items()
            if row["owner"] == owner and row["entity"] in GRAMS_OF and not row["gone"]
        ]

    def stock_shown_g(self, owner: str) -> int:
        """The stock by the entries on screen, as ``domain/ledger.ts`` reckons it."""
        rows = [self.records[rid] for rid in self.ledger_rids(owner)]
        moves = {row["rid"]: row["values"] for row in rows if row["entity"] == "movement"}
        counts = {row["rid"]: row["values"] for row in rows if row["entity"] == "count"}
        known = {rid for own, each in counts.items() for rid in each["knew"] if rid != own}
        held = [rid for rid in counts if rid not in known] or list(counts)
        if not held:
            return sum(map(effect_g, moves.values()))
        last = max(held, key=lambda rid: (counts[rid]["at"], rid))
        knew = counts[last]["knew"]
        unknown = (values for rid, values in moves.items() if rid not in knew)
        return int(counts[last]["counted_g"]) + sum(map(effect_g, unknown))

    def append(
        self,
        now: int,
        entity: str,
        rid: str,
        values: Mapping[str, Any],
        seen: Seen,
        *,
        new: bool = False,
        op_id: str | None = None,
    ) -> StoredOp:
        """Add an op and refold its record: one transaction on the phone."""
        self.n += 1
        body: dict[str, Any] = {
            "op_id": op_id or self.ids.new(),
            "household": str(self.household),
            "device_id": self.device_id,
            "n": self.n,
            "author": self.member,
            "schema": self.schema,
            "app": "campaign",
            "entity": entity,
            "rid": rid,
            "new": new,
            "set": dict(values),
            "seen": seen,
            "occurred_at": now + self.clock_offset_ms,
            "tz": "Europe/London",
            "offset_ms": 0,
        }
        digest = read(body, self.household).hash
        op = StoredOp(body["op_id"], self.n, rid, entity, body, digest)
        self.ops[op.op_id] = op
        self.refold([rid])
        return op

    # The tray

    def resend(self, now: int, old: StoredOp, changes: Mapping[str, Any]) -> StoredOp:
        """Send a refused entry again, changed: a new op that has seen the refused one."""
        values = {**old.body["set"], **changes}
        seen = self._seen_for_resend(old, values)
        op = self.append(now, old.entity, old.rid, values, seen, new=old.body["new"])
        old.state, old.replaced_by = "discarded", op.op_id
        return op

    def _seen_for_resend(self, old: StoredOp, values: Mapping[str, Any]) -> Seen:
        rec = self.read(old.rid)
        names = dict.fromkeys(values)
        if old.body["set"].get(DELETED) is True:
            names.update(dict.fromkeys(old.body["seen"]))
        seen = {}
        for name in names:
            shown = rec.seen_shown.get(name, []) if rec is not None else []
            before = old.body["seen"].get(name, [])
            seen[name] = list(dict.fromkeys([*shown, *before, old.op_id]))
        return seen

    def discard(self, op: StoredOp) -> list[StoredOp]:
        """Drop a refused or waiting entry with all that waits on it; returns what went."""
        if op.state not in ("rejected", "wait"):
            return []
        dropped = [op, *self._dependants(op)]
        for each in dropped:
            each.state, each.overlay = "discarded", False
        self.refold({each.rid for each in dropped})
        return dropped

    def _dependants(self, op: StoredOp) -> list[StoredOp]:
        rids = self._made_only_by(op)
        open_ = [
            each for each in self.ops.values() if each.state in ("pending", "wait", "rejected")
        ]
        return [each for each in open_ if each.rid in rids and each is not op]

    def _made_only_by(self, op: StoredOp) -> set[str]:
        if not op.body["new"] or op.rid in self.base:
            return set()
        rids = {op.rid}
        size = 0
        while size != len(rids):
            size = len(rids)
            for each in self.unsent():
                kind = registry.get(each.entity)
                if kind is not None and kind.owner and each.body["set"].get(kind.owner) in rids:
                    rids.add(each.rid)
        return rids

    def put_back(self, now: int, rid: str) -> StoredOp | None:
        """Write a lost record, or its lost values, again as an own entry."""
        lost = self.lost.pop(rid)
        names = lost.registers or tuple(lost.row["values"])
        rec = self.read(rid)
        values = {name: lost.row["values"][name] for name in names if name != DELETED}
        if not values:
            return None
        seen = {name: list(rec.every.get(name, ())) if rec is not None else [] for name in names}
        is_new = lost.registers is None and rid not in self.base
        return self.append(now, lost.entity, rid, values, seen, new=is_new)

    # The app

    def moment(self, now: int) -> str:
        """The time by this phone's own clock."""
        return to_iso(from_millis(now + self.clock_offset_ms))

    def close(self) -> None:
        """The app is killed: what was not in the store is gone."""
        self.queue, self.ask_due = None, True

    def updated(self, schema: int) -> None:
        self.schema = max(self.schema, schema)


GRAMS_OF = ("movement", "count")


def effect_g(values: Mapping[str, Any]) -> int:
    return GRAMS[values["what"]] * int(values["mass_g"])
