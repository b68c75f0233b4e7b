"""Phones with one wrong rule each; see plants."""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any

from household.sync.fold import Row
from tests.household.sync.campaign.phone import Phone, effect_g
from tests.household.sync.campaign.store import Lost, Rec, StoredOp, reset
from tests.household.sync.campaign.syncing import Answer, Request, lost_registers, sees


class NoClosure(Phone):
    def with_closure(self, rid: str, register: str, ids: Iterable[str]) -> list[str]:
        return list(ids)


class SeenAtSave(Phone):
    def seen_at_save(self, rec: Rec) -> Rec:
        return self.read(rec.rid) or rec


class OwnUnseen(Phone):
    def with_closure(self, rid: str, register: str, ids: Iterable[str]) -> list[str]:
        own = {op.op_id for op in self.overlay_of(rid)}
        return [op_id for op_id in super().with_closure(rid, register, ids) if op_id not in own]


class CountAsDelta(Phone):
    def count(self, now: int, owner: str, rid: str, counted_g: int) -> StoredOp:
        difference_g = counted_g - self.stock_shown_g(owner)
        what = "stored" if difference_g > 0 else "used" if difference_g < 0 else "thawed"
        return self.move(now, owner, rid, what, abs(difference_g) or 1)


class AddsPending(Phone):
    def stock_shown_g(self, owner: str) -> int:
        pending = [
            op.body["set"]
            for op in self.unsent()
            if op.entity == "movement" and op.body["set"].get("of") == owner
        ]
        pulled = {rid for rid in self.ledger_rids(owner) if rid in self.base}
        shown, self.records = self.records, {rid: self.base[rid] for rid in pulled}
        total_g = super().stock_shown_g(owner)
        self.records = shown
        return total_g + sum(map(effect_g, pending))


class LiftsEarly(Phone):
    def lift_overlay(self, page: Mapping[str, Any]) -> set[str]:
        return self.lift_up_to(page["cursor"])


class MarkByPullOnly(Phone):
    def mark_after_push(self, answer: Answer) -> dict[str, Any] | None:
        return self.position.mark


class HigherSeqOnly(Phone):
    """And there is no fresh base: what is pulled again goes into the old one."""

    def start_over(self, request: Request, answer: Answer) -> None:
        super().start_over(request, answer)
        self.position = replace(self.position, filling=False)

    def take_page(self, page: Mapping[str, Any]) -> None:
        rows = [row for row in page["rows"] if self.is_newer(row)]
        super().take_page({**page, "rows": rows})

    def is_newer(self, row: Row) -> bool:
        known = self.base.get(row["rid"])
        return known is None or row["seq"] > known["seq"]


class MergesSnapshot(HigherSeqOnly):
    def is_newer(self, row: Row) -> bool:
        return True


class TakesAnyReply(Phone):
    def still_fits(self, request: Request) -> bool:
        return True

    def page_fits(self, request: Request) -> bool:
        return True


class OverlaysAgain(Phone):
    def queued_again(self, op: StoredOp) -> StoredOp:
        return replace(reset(op), overlay=True)

    def start_over(self, request: Request, answer: Answer) -> None:
        super().start_over(request, answer)
        self.refold(self.overlaid_rids())


class NeverAsks(Phone):
    def asks(self) -> list[dict[str, str]]:
        return []


class AsksNotDiscarded(Phone):
    def asks(self) -> list[dict[str, str]]:
        return [ask for ask in super().asks() if self.ops[ask["op_id"]].state != "discarded"]


class ListsByReason(Phone):
    """Losses are listed when the last 410 named no role."""

    is_restored = False

    def start_over(self, request: Request, answer: Answer) -> None:
        super().start_over(request, answer)
        self.is_restored = "role" not in answer.body["fields"]

    def note_losses(self, role: str) -> None:
        if self.is_restored:
            super().note_losses(role)


class UnsentHidden(Phone):
    def overlay_unsent(self) -> None:
        pass


class EditHidesLoss(Phone):
    def note_losses(self, role: str) -> None:
        for rid, old in self.base.items():
            if old["gone"] or not sees(role, old["entity"]):
                continue
            now = self.fresh.get(rid)
            if now is None:
                if rid not in self.overlaid_rids():
                    self._list(Lost(rid, old["entity"], old, None))
            elif registers := lost_registers(old, now):
                self._list(Lost(rid, old["entity"], old, registers))


class OwnerLeftAlone(Phone):
    def owners_to_fold(self, before: Row | None, row: Row) -> set[str]:
        if row["owner"] and (before is None or before["gone"] != row["gone"]):
            return {row["owner"]}
        return set()
