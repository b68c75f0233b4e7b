"""Operations as phones write them: small records, edits, deletes and ledgers."""

import itertools
import json
import uuid
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any

NOW = 1_795_608_000_000  # 2026-11-25T12:00:00Z, in ms since 1970
BATCH = 500
Op = dict[str, Any]
_ids = itertools.count(1)


def new_id() -> str:
    """A version 7 UUID, rising like those of a phone that writes one entry after the other."""
    own = next(_ids) << 16 | (next(_ids) * 40503 & 0xFFFF)
    return str(uuid.UUID(int=NOW << 80 | 0x7 << 76 | 0x2 << 62 | own))


@dataclass
class Writer:
    """One device of one member, numbering what it writes."""

    household: str
    author: str
    device_id: str = field(default_factory=new_id)
    n: int = 0

    def op(self, entity: str, values: dict[str, Any], **more: Any) -> Op:
        self.n += 1
        return {
            "op_id": new_id(),
            "household": self.household,
            "device_id": self.device_id,
            "n": self.n,
            "author": self.author,
            "schema": 1,
            "app": "1",
            "entity": entity,
            "rid": more.get("rid") or new_id(),
            "new": "rid" not in more,
            "set": values,
            "seen": more.get("seen", {}),
            "occurred_at": NOW + self.n,
            "tz": "Europe/London",
            "offset_ms": 0,
        }

    def dogs(self, count: int) -> list[Op]:
        return [self.op("dog", {"name": f"Morag {number}"}) for number in range(count)]

    def weighings(self, dogs: Sequence[Op], count: int) -> list[Op]:
        """Small records with an owner: four registers, as after each weighing."""
        return [
            self.op(
                "weighing",
                {
                    "dog": dogs[number % len(dogs)]["rid"],
                    "at": "2026-11-25T08:00:00Z",
                    "mass_g": 17_000.5 + number % 90,
                    "note": "before breakfast",
                },
            )
            for number in range(count)
        ]

    def edits(self, made: Sequence[Op]) -> list[Op]:
        """One edit of each record, having seen the value that it replaces."""
        return [
            self.op(
                each["entity"],
                {"note": "after breakfast"},
                rid=each["rid"],
                seen={"note": [each["op_id"]]},
            )
            for each in made
        ]

    def deletes(self, made: Sequence[Op]) -> list[Op]:
        """One delete of each record that has only been made, having seen all of it."""
        return [
            self.op(
                each["entity"],
                {"deleted": True},
                rid=each["rid"],
                seen={register: [each["op_id"]] for register in each["set"]},
            )
            for each in made
        ]

    def lots(self, count: int) -> list[Op]:
        return [self.op("lot", {"food": "usda-05027", "pack_mass_g": 500}) for _ in range(count)]

    def ledger(self, lots: Sequence[Op], count: int) -> Iterator[Op]:
        """Movements of the lots in turn; every fiftieth entry counts a lot, knowing all of it."""
        knew: dict[str, list[str]] = {lot["rid"]: [] for lot in lots}
        for number in range(count):
            lot = lots[number % len(lots)]["rid"]
            at = "2026-11-25T08:00:00Z"
            if number % 50 == 49:
                values = {"of": lot, "counted_g": 4000, "knew": list(knew[lot]), "at": at}
                op = self.op("count", values)
            else:
                op = self.op("movement", {"of": lot, "what": "stored", "mass_g": 500, "at": at})
            knew[lot].append(op["rid"])
            yield op


def batches(ops: Sequence[Op], size: int = BATCH) -> list[list[Op]]:
    return [list(ops[start : start + size]) for start in range(0, len(ops), size)]


def body_of(writer: Writer, ops: Sequence[Op], mark: Any) -> bytes:
    return json.dumps(
        {"mark": mark, "device_id": writer.device_id, "ops": list(ops), "ask": []},
        separators=(",", ":"),
        ensure_ascii=False,
    ).encode()
