"""The operations the server makes in its own name, having seen all that is in force."""

import json
import secrets
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from django.db.models import Max
from django.db.models.functions import Coalesce

from household.sync import registry
from household.sync.envelope import SERVER, Sent, read
from household.sync.fold import DELETED, heads_of, seen_of
from household.sync.models import Op, Record
from household.sync.refold import load


@dataclass(frozen=True)
class Write:
    """What the server wants a record to say. An unknown ``rid`` makes a new record."""

    entity: str
    rid: UUID
    set: Mapping[str, Any]


def ops_of_server(household_id: UUID, writes: Iterable[Write], *, now: int) -> list[Sent]:
    """The operations that make the records say so; none for what they say already."""
    writes = list(writes)
    records = load(household_id, [write.rid for write in writes])
    n = Op.objects.filter(household_id=household_id, device_id=SERVER).aggregate(
        last=Coalesce(Max("n"), 0)
    )["last"]
    ops = []
    for write in writes:
        record = records.get(write.rid)
        values = dict(write.set) if record is None else _differing(record, write.set)
        if values:
            n += 1
            body = _server_body(household_id, write, record, values, n, now)
            ops.append(read(body, household_id, by_server=True))
    return ops


def _differing(record: Record, values: Mapping[str, Any]) -> dict[str, Any]:
    row = record.row
    return {
        name: value
        for name, value in values.items()
        if name in row["also"] or name not in row["values"] or row["values"][name] != value
    }


def _server_body(
    household_id: UUID,
    write: Write,
    record: Record | None,
    values: Mapping[str, Any],
    n: int,
    now: int,
) -> dict[str, Any]:
    row = record.row if record is not None else None
    if row is None:
        seen = {}
    elif values.get(DELETED):
        seen = seen_of(row)
    else:
        seen = {name: heads_of(row, name) for name in values if name in row["values"]}
    return {
        "op_id": str(_uuid7(now)),
        "household": str(household_id),
        "device_id": SERVER,
        "n": n,
        "author": SERVER,
        "schema": registry.SCHEMA,
        "app": SERVER,
        "entity": write.entity,
        "rid": str(write.rid),
        "new": row is None,
        "set": json.loads(json.dumps(values)),
        "seen": seen,
        "occurred_at": now,
        "tz": "UTC",
        "offset_ms": 0,
    }


def _uuid7(now: int) -> UUID:
    """RFC 9562, section 5.7: 48 bits of milliseconds, then random."""
    value = (now & (1 << 48) - 1) << 80 | secrets.randbits(80)
    value = value & ~(0xF << 76) | 0x7 << 76
    return UUID(int=value & ~(0x3 << 62) | 0x2 << 62)
