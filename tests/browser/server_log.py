"""The other end: what the household's log at the server holds, read past the server itself."""

import json
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from tests.browser.api import Api
from tests.browser.conftest import Server

COLUMNS = "op_id, device_id, n, author, submitted_by, entity, rid, applied, code, body"


@dataclass(frozen=True)
class Entry:
    """One entry of the log, applied or refused."""

    op_id: str
    device: str
    n: int
    author: str
    submitted_by: str
    entity: str
    rid: str
    applied: bool
    code: str
    set: dict[str, Any]


@contextmanager
def database(server: Server) -> Iterator[sqlite3.Connection]:
    """The server's database, for one transaction of the test."""
    opened = sqlite3.connect(server.database, timeout=20)
    try:
        with opened:
            yield opened
    finally:
        opened.close()


def entries(server: Server, home: Api) -> list[Entry]:
    """The whole log of a household, oldest first."""
    query = f"SELECT {COLUMNS} FROM sync_op WHERE household_id = ? ORDER BY seq"
    with database(server) as opened:
        rows = opened.execute(query, [UUID(home.household).hex]).fetchall()
    return [_entry(*row) for row in rows]


def _entry(
    op_id: str, device: str, n: int, author: str, by: str, entity: str, rid: str, *rest: Any
) -> Entry:
    applied, code, body = rest
    values = json.loads(body)["set"] if body else {}
    ids = [str(UUID(each)) for each in (op_id, by, rid)]
    return Entry(ids[0], device, n, author, ids[1], entity, ids[2], bool(applied), code, values)


def weighed(server: Server, home: Api) -> list[int]:
    """The masses that weighings in the log say, in grams: one for each entry, in its order."""
    log = [entry for entry in entries(server, home) if entry.entity == "weighing"]
    return [entry.set["mass_g"] for entry in log if entry.applied]
