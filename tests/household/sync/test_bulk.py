"""Many rows in one statement, with the values and the refusals of Django's own way."""

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager, nullcontext
from typing import Any
from uuid import UUID

import pytest
from django.db import DataError, connection, transaction
from django.test.utils import CaptureQueriesContext

from household.sync import bulk
from household.sync.actions import OP_COLUMNS
from household.sync.models import Op
from tests.household.conftest import NOW, Phone, new_id

pytestmark = pytest.mark.django_db


def entries(ines: Phone, count: int) -> list[Op]:
    """Refused entries of all kinds of values, not stored yet."""
    ines.member.household.seq = count
    ines.member.household.save()
    return [
        Op(
            household_id=ines.member.household_id,
            seq=seq,
            op_id=UUID(new_id()),
            token="t",
            device_id=["", "“quoted”, {braces} \\ and % signs"][seq % 2],
            n=[None, 2**53 - 1][seq % 2],
            submitted_by=[None, ines.member.pk][seq % 2],
            rid=[None, UUID(new_id())][seq % 2],
            schema=1,
            received_at=NOW,
            hash="0" * 64,
            applied=False,
            code="invalid",
            fields={"weight, or “mass”": ["it's\n'5 \\\" %s'"] * (seq % 2)},
        )
        for seq in range(1, count + 1)
    ]


def values_of(op: Op) -> list[Any]:
    return [getattr(op, name) for name in OP_COLUMNS]


def test_what_is_written_reads_back_like_what_django_writes(ines: Phone) -> None:
    ours = entries(ines, 4)
    bulk.write(Op, OP_COLUMNS, map(values_of, ours[:2]))
    Op.objects.bulk_create(ours[2:])
    assert [values_of(op) for op in Op.objects.order_by("seq")] == [values_of(op) for op in ours]


def test_a_row_that_is_there_is_replaced(ines: Phone) -> None:
    user = ines.member.user
    columns = ["id", "password", "is_superuser", "email", "name", "is_staff", "is_active"]
    values: list[Any] = [user.pk, "!", False, user.email, "Ines the Second", False, True]
    bulk.write(type(user), columns, [values], unique=["id"])
    user.refresh_from_db()
    assert user.name == "Ines the Second"


def test_nothing_is_written_without_a_row() -> None:
    with CaptureQueriesContext(connection) as captured:
        bulk.write(Op, OP_COLUMNS, [])
    assert len(captured) == 0


def test_a_text_that_is_too_long_is_never_cut(ines: Phone) -> None:
    """PostgreSQL refuses it, by the column and not by a cast; SQLite knows no lengths."""
    (op,) = entries(ines, 1)
    op.entity = "x" * 41
    refusal = pytest.raises(DataError) if connection.vendor == "postgresql" else nullcontext()
    with refusal, transaction.atomic():
        bulk.write(Op, OP_COLUMNS, [values_of(op)])
    assert list(Op.objects.values_list("entity", flat=True)) in ([], [op.entity])


def test_more_values_than_a_statement_takes_are_written_in_parts(ines: Phone) -> None:
    """PostgreSQL takes an array for each column, so there the rows are never too many."""
    ours = entries(ines, 10)
    with at_most_values(3 * len(OP_COLUMNS)), CaptureQueriesContext(connection) as captured:
        bulk.write(Op, OP_COLUMNS, map(values_of, ours))
    assert len(captured) == (4 if connection.vendor == "sqlite" else 1)
    assert Op.objects.count() == 10


@contextmanager
def at_most_values(most: int) -> Iterator[None]:
    database = connection.connection
    if connection.vendor != "sqlite":
        yield
        return
    usual = database.setlimit(sqlite3.SQLITE_LIMIT_VARIABLE_NUMBER, most)
    try:
        yield
    finally:
        database.setlimit(sqlite3.SQLITE_LIMIT_VARIABLE_NUMBER, usual)
