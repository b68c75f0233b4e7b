"""What people really wrote and had really seen, kept apart from the protocol."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from tests.household.sync.campaign.kinds import is_refusable
from tests.household.sync.campaign.store import StoredOp

Shown = Mapping[str, Iterable[str]]


@dataclass(frozen=True)
class Entry:
    """One entry as its author meant it. ``shown``: per register, the ops whose value was on the
    screen; ``bad``: the value is one the server must refuse; ``counted``: what was found by a count
    that knew these entries of the ledger."""

    op_id: str
    rid: str
    hash: str
    author: str
    device_id: str
    entity: str
    set: Mapping[str, Any]
    shown: Mapping[str, frozenset[str]]
    bad: bool
    counted: tuple[int, frozenset[str]] | None = None


@dataclass
class Truth:
    """Every entry that was ever confirmed, by record and op id: an op id may be used twice."""

    entries: dict[tuple[str, str], Entry] = field(default_factory=dict)
    _saw: dict[tuple[str, str, str], frozenset[str]] = field(default_factory=dict)

    def wrote(
        self,
        op: StoredOp,
        shown: Shown,
        *,
        counted: tuple[int, frozenset[str]] | None = None,
    ) -> None:
        body = op.body
        self.entries[op.rid, op.op_id] = Entry(
            op.op_id,
            op.rid,
            op.hash,
            body["author"],
            body["device_id"],
            op.entity,
            body["set"],
            {name: frozenset(ids) for name, ids in shown.items()},
            is_refusable(body["set"]),
            counted,
        )

    def of(self, rid: str, op_id: str) -> Entry | None:
        return self.entries.get((rid, op_id))

    def saw(self, rid: str, op_id: str, register: str) -> frozenset[str]:
        """The ops of a register that the author had seen, and those their authors had seen."""
        key = (rid, op_id, register)
        if key not in self._saw:
            entry = self.entries.get((rid, op_id))
            shown = entry.shown.get(register, frozenset()) if entry else frozenset()
            further = [self.saw(rid, other, register) for other in shown if other != op_id]
            self._saw[key] = shown.union(*further)
        return self._saw[key]

    def is_superseded(self, rid: str, op_id: str, register: str, heads: Iterable[str]) -> bool:
        """Whether a value in force was set by somebody who had seen this one."""
        return any(op_id in self.saw(rid, head, register) for head in heads)
