"""What the database is asked: as many questions for many operations as for few, all by an index."""

from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from tests.household.conftest import LOT, Op, Phone, dog_values

pytestmark = pytest.mark.django_db
AT = "2026-11-25T08:00:00Z"
GROWING = ("sync_op", "sync_record", "stores_movement", "stores_count")


def saw(made: Op) -> dict[str, list[str]]:
    return {register: [made["op_id"]] for register in made["set"]}


def mixed(ines: Phone, count: int) -> list[Op]:
    """New records of several kinds, children of new and of old owners, edits, deletes of both,
    movements and counts, refused ones, and some that are known already; ``count`` of each."""
    ops: list[Op] = []
    for _ in range(count):
        lot, dog, doomed = ines.op("lot", LOT), ines.op("dog", dog_values()), ines.op("lot", LOT)
        movement = {"of": lot["rid"], "what": "stored", "mass_g": 500, "at": AT}
        old = [lot, dog, doomed, ines.op("movement", movement)]
        ines.push(*old)
        weighing = {"dog": dog["rid"], "at": AT, "mass_g": 9000}
        counted = {"of": lot["rid"], "counted_g": 500, "knew": [old[3]["rid"]], "at": AT}
        deleted = {"deleted": True}
        ops += [
            *old,
            ines.op("movement", movement),
            ines.op("count", counted),
            ines.op("weighing", weighing),
            ines.op("weighing", {**weighing, "mass_g": -1}),
            ines.op("dog", {"breed": "lurcher"}, rid=dog["rid"], new=False, seen=saw(dog)),
            ines.op("lot", deleted, rid=doomed["rid"], new=False, seen=saw(doomed)),
            ines.op("lot", deleted, rid=lot["rid"], new=False, seen=saw(lot)),
            ines.op("movement", deleted, rid=old[3]["rid"], new=False, seen=saw(old[3])),
        ]
    return ops


def asked_by_push(ines: Phone, count: int) -> list[str]:
    ops = mixed(ines, count)
    with CaptureQueriesContext(connection) as captured:
        results = ines.results(*ops)
    assert [each["status"] for each in results].count("applied") == 11 * count
    return [each["sql"] for each in captured]


def test_the_number_of_queries_is_the_same_for_few_operations_and_many(ines: Phone) -> None:
    asked_by_push(ines, 1)  # What is looked up once for each process.
    assert len(asked_by_push(ines, 30)) == len(asked_by_push(ines, 1))


def plan_of(sql: str) -> list[str]:
    explain = "EXPLAIN QUERY PLAN" if connection.vendor == "sqlite" else "EXPLAIN"
    with connection.cursor() as cursor:
        cursor.execute(f"{explain} {sql}")
        return [str(line[-1]) for line in cursor.fetchall()]


def reads_all_of_a_table(line: str) -> bool:
    scans: Any = [f"SCAN {table}" for table in GROWING]  # SQLite's words, then PostgreSQL's.
    scans += [f"Seq Scan on {table}" for table in GROWING]
    return any(scan in line for scan in scans)


def test_every_query_of_a_push_and_a_pull_uses_an_index(ines: Phone) -> None:
    """What grows with the household is never read from end to end."""
    if connection.vendor == "postgresql":
        with connection.cursor() as cursor:
            cursor.execute("SET LOCAL enable_seqscan = off")  # Else small tables are just read.
    asked = asked_by_push(ines, 5)
    with CaptureQueriesContext(connection) as captured:
        ines.page(cursor=3, limit=2)
    asked += [each["sql"] for each in captured]
    plans = {sql: plan_of(sql) for sql in asked if sql.startswith("SELECT")}
    assert len(plans) > 10
    for sql, lines in plans.items():
        assert not [line for line in lines if reads_all_of_a_table(line)], (sql, lines)
