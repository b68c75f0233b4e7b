"""How a phone pushes, pulls and starts over; mirrors ``frontend/src/db/sync``.

Each step is cut in two, the request and what is done with its answer, so that a fault can come
between. Splitting a batch that breaks the server is not modelled: a fault of the server leaves the
queue as it was.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any, Literal

from household.sync import registry
from household.sync.fold import Row, heads_of
from tests.household.sync.campaign.store import (
    CLOSED,
    OPEN,
    Lost,
    Position,
    Store,
    StoredOp,
    fold_row,
    reset,
)

BATCH_OPS = 3
"""Small, so that a batch is often cut."""

GONE, FORBIDDEN, NOT_FOUND, UPGRADE, FAULT = 410, 403, 404, 426, 500
Outcome = Literal["taken", "over", "stale", "paused", "fault"]


@dataclass(frozen=True)
class Answer:
    """What the server said."""

    status: int
    body: Mapping[str, Any]


@dataclass(frozen=True)
class Request:
    """A push (``body``) or a pull (``cursor``), and where the phone stood when it asked."""

    phone: int
    device_id: str
    schema: int
    position: Position
    body: Mapping[str, Any] | None = None
    sent: tuple[str, ...] = ()
    limit: int = 0


@dataclass(frozen=True)
class Swap:
    """For the checks: what was on the screen when a fresh base replaced it, and for which role."""

    role: str
    before: Mapping[str, Row]
    after: Mapping[str, Row]


class Syncing(Store):
    """The part of a phone that talks; ``queue`` and ``ask_due`` are gone when the app is closed."""

    def __init__(self, *, index: int, device_id: str, schema: int) -> None:
        super().__init__()
        self.index, self.device_id, self.schema = index, device_id, schema
        self.queue: list[str] | None = None
        self.ask_due = True
        self.swaps: list[Swap] = []
        self.ever_listed: set[tuple[str, str | None]] = set()

    # Push

    def send_queue(self) -> list[str]:
        """Ordinary ones by number, then those that wait."""
        return [op.op_id for op in sorted(self.unsent(), key=lambda op: (op.state == "wait", op.n))]

    def next_batch(self) -> list[StoredOp]:
        if self.queue is None:
            self.queue = self.send_queue()
        batch = [self.ops[op_id] for op_id in self.queue[:BATCH_OPS]]
        return [op for op in batch if (op.state == "wait") == (batch[0].state == "wait")]

    def asks(self) -> list[dict[str, str]]:
        """Refused and discarded ops: a late request or a restore may have put them in force."""
        return [
            {"op_id": op.op_id, "hash": op.hash} for op in self.ops.values() if op.state in CLOSED
        ]

    def push_request(self) -> Request | None:
        """The next batch; None when all is sent and nothing is to be asked."""
        batch = self.next_batch()
        if not batch and not self.ask_due:
            self.queue = None
            return None
        # The queue was read a while ago: what has been settled since stays here.
        ops = [op for op in batch if op.state in OPEN]
        ask = self.asks()
        if not ops and not ask:
            self._batch_done(len(batch))
            return self.push_request()
        body = {
            "mark": self.position.mark,
            "device_id": self.device_id,
            "ops": [op.body for op in ops],
            "ask": ask,
        }
        sent = tuple(op.op_id for op in batch)
        return Request(self.index, self.device_id, self.schema, self.position, body, sent)

    def _batch_done(self, count: int) -> None:
        self.ask_due = False
        self.queue = self.queue[count:] if self.queue else None

    def no_answer(self, request: Request) -> None:
        """The server may have them: nobody may take them back unasked."""
        for op_id in request.sent:
            op = self.ops.get(op_id)
            if op is not None and op.state == "pending":
                op.state = "sent"
        self.queue = None

    def take_push(self, request: Request, answer: Answer) -> Outcome:
        """Take in what became of a batch."""
        if answer.status != 200:
            return self._refused(request, answer)
        if not self.still_fits(request):
            self.queue = None
            return "stale"
        self._take_results(answer.body)
        self.position = replace(self.position, mark=self.mark_after_push(answer))
        if self.queue is not None and tuple(self.queue[: len(request.sent)]) == request.sent:
            self._batch_done(len(request.sent))
        return "taken"

    def mark_after_push(self, answer: Answer) -> dict[str, Any] | None:
        mark: dict[str, Any] = answer.body["mark"]
        return mark

    def still_fits(self, request: Request) -> bool:
        """A reply counts only where the phone still stands where it stood when it asked."""
        return self.position.mark == request.position.mark

    def _take_results(self, body: Mapping[str, Any]) -> None:
        changed = []
        for result in body["results"]:
            op = self.ops.get(result["op_id"])
            if op is not None and op.state in OPEN:
                self._with_result(op, result)
                changed.append(op)
        for found in body["asked"]:
            op = self.ops.get(found["op_id"])
            if op is not None and op.state in CLOSED:
                self._as_found(op, found["seq"])
                changed.append(op)
        self.refold({op.rid for op in changed})

    def _with_result(self, op: StoredOp, result: Mapping[str, Any]) -> None:
        op.waits_for, op.code = None, ""
        if result["status"] == "applied":
            op.state, op.seq = "applied", result["seq"]
            op.overlay = op.overlay and self.is_uncovered(op)
        elif result["status"] == "wait":
            op.state, op.waits_for = "wait", result["rid"]
        else:
            op.state, op.overlay, op.code = "rejected", False, result["code"]

    def _as_found(self, op: StoredOp, seq: int) -> None:
        op.surprise = op.state == "discarded" and op.replaced_by is None
        op.state, op.seq, op.code = "applied", seq, ""
        op.overlay = self.is_uncovered(op)

    def is_uncovered(self, op: StoredOp) -> bool:
        """Shown on top of the rows until a complete pull has brought it."""
        return (op.seq or 0) > self.position.covered

    # Pull

    def pull_request(self, limit: int) -> Request:
        return Request(self.index, self.device_id, self.schema, self.position, limit=limit)

    def take_pull(self, request: Request, answer: Answer) -> Outcome:
        """Take in a page."""
        if answer.status != 200:
            return self._refused(request, answer)
        if not self.page_fits(request):
            return "stale"
        self.take_page(answer.body)
        return "taken"

    def page_fits(self, request: Request) -> bool:
        asked = request.position
        here = self.position
        same_place = (here.cursor, here.filling) == (asked.cursor, asked.filling)
        return same_place and here.mark == asked.mark

    def take_page(self, page: Mapping[str, Any]) -> None:
        rows = {row["rid"]: row for row in page["rows"]}
        (self.fresh if self.position.filling else self.base).update(rows)
        following = replace(self.position, mark=page["mark"], cursor=page["cursor"])
        lifted = self.lift_overlay(page)
        if not self.position.filling:
            self.show(rows)
            self.refold(lifted - rows.keys())
        if not page["more"]:
            if self.position.filling:
                self.swap(page["mark"]["role"])
            following = replace(following, covered=page["cursor"], filling=False)
        self.position = following

    def lift_overlay(self, page: Mapping[str, Any]) -> set[str]:
        """Own ops that a complete pull has brought are in the base now."""
        if page["more"]:
            return set()
        return self.lift_up_to(page["cursor"])

    def lift_up_to(self, seq: int) -> set[str]:
        lifted = [
            op
            for op in self.ops.values()
            if op.overlay and op.state == "applied" and op.seq is not None and op.seq <= seq
        ]
        for op in lifted:
            op.overlay = False
        return {op.rid for op in lifted}

    def show(self, rows: Mapping[str, Row]) -> None:
        self.refold(rows)

    def swap(self, role: str) -> None:
        """Replace the base by the fresh one, now that it is whole."""
        self.overlay_unsent()
        self.note_losses(role)
        self.swaps.append(Swap(role, self.base, self.fresh))
        self.base, self.fresh, self.records = self.fresh, {}, {}
        self.refold(self.base.keys() | self.overlaid_rids())

    def overlay_unsent(self) -> None:
        """What is queued again and was not sent before the pull ended is in no base any more."""
        for op in self.unsent():
            op.overlay = True

    def note_losses(self, role: str) -> None:
        """List what this phone showed and neither the server nor an own entry has any more.

        Whatever the reason for the swap: a restore may hide behind a change of role. What the role
        may not see is away for that alone. An own edit of a lost record does not bring it back.
        """
        for rid, old in self.base.items():
            if old["gone"] or not sees(role, old["entity"]):
                continue
            now, own = self.fresh.get(rid), self.overlay_of(rid)
            if now is None and not any(op.body["new"] for op in own):
                self._list(Lost(rid, old["entity"], old, None))
            elif registers := lost_registers(old, fold_row(rid, now, own, False)):
                self._list(Lost(rid, old["entity"], old, registers))

    def _list(self, lost: Lost) -> None:
        self.lost[lost.rid] = lost
        names: Iterable[str | None] = lost.registers or (None,)
        self.ever_listed |= {(lost.rid, name) for name in names}

    # Starting over

    def _refused(self, request: Request, answer: Answer) -> Outcome:
        self.queue = None
        if answer.status == GONE:
            self.start_over(request, answer)
            return "over"
        return "paused" if answer.status in (FORBIDDEN, NOT_FOUND, UPGRADE) else "fault"

    def start_over(self, request: Request, answer: Answer) -> None:
        """Queue all own applied ops again and begin the pull from nothing, into a fresh base.

        What was pulled already is not shown as waiting a second time: it is in the old base, which
        stays on screen until the fresh one is complete.
        """
        if not self.still_fits(request):
            return
        for op_id, op in self.ops.items():
            if op.state == "applied":
                self.ops[op_id] = self.queued_again(op)
        self.fresh = {}
        self.position = Position()

    def queued_again(self, op: StoredOp) -> StoredOp:
        return reset(op)


def lost_registers(old: Row, now: Row) -> tuple[str, ...]:
    out = []
    for name, value in old["values"].items():
        kept = set(heads_of(old, name)) & set(heads_of(now, name))
        if not kept and value != now["values"].get(name):
            out.append(name)
    return tuple(out)


def sees(role: str, entity: str) -> bool:
    kind = registry.get(entity)
    return kind is None or role in kind.see
