"""Write many rows of one table in one statement, without a model object for each.

What ``bulk_create`` does for every value of every row (look up its field, compile it, prepare it)
took half of the time of a push. Here that is decided once for each column.

It must be one statement: under a trigger that may refuse, SQLite opens a journal of its own for
each, which costs as much as the row.
"""

import sqlite3
from collections.abc import Callable, Iterable, Sequence
from functools import partial
from itertools import chain
from operator import attrgetter
from typing import Any, TypeAlias

from django.db import DEFAULT_DB_ALIAS, connections, models
from django.db.backends.base.base import BaseDatabaseWrapper

AnyField: TypeAlias = "models.Field[Any, Any]"
AS_THEY_ARE = frozenset(
    {
        "BigIntegerField",
        "BooleanField",
        "CharField",
        "FloatField",
        "PositiveBigIntegerField",
        "PositiveIntegerField",
        "PositiveSmallIntegerField",
        "TextField",
    }
)
"""Fields whose values every database takes as Python has them."""


def write(
    model: type[models.Model],
    columns: Sequence[str],
    rows: Iterable[Sequence[Any]],
    *,
    unique: Sequence[str] = (),
) -> None:
    """Insert the rows; one that meets a row with the same ``unique`` columns replaces it.

    ``columns`` are attribute names of the model's fields (``household_id``); each row gives its
    values in that order, of the types that the fields hold.
    """
    # Not django.db.connection: it looks the connection up at every use, of which there are many.
    connection = connections[DEFAULT_DB_ALIAS]
    fields = [_field(model, name) for name in columns]
    by_column: list[Any] = [
        _prepared(connection, field, values)
        for field, values in zip(fields, zip(*rows, strict=True), strict=False)
    ]
    if not by_column:
        return
    names = ", ".join(_name(connection, field) for field in fields)
    into = f"INSERT INTO {connection.ops.quote_name(model._meta.db_table)} ({names})"
    conflict = _on_conflict(connection, fields, unique)
    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            arrays = ", ".join(f"%s::{_type(connection, field)}[]" for field in fields)
            cursor.execute(f"{into} SELECT * FROM unnest({arrays}) {conflict}", by_column)
            return
        prepared = list(zip(*by_column, strict=True))
        for part in _parts(connection, prepared):
            marks = ", ".join([f"({', '.join(['%s'] * len(fields))})"] * len(part))
            cursor.execute(f"{into} VALUES {marks} {conflict}", list(chain.from_iterable(part)))


def _field(model: type[models.Model], attname: str) -> AnyField:
    return next(field for field in model._meta.concrete_fields if field.attname == attname)


def _name(connection: BaseDatabaseWrapper, field: AnyField) -> str:
    return connection.ops.quote_name(str(field.column))


def _prepared(connection: BaseDatabaseWrapper, field: AnyField, values: Sequence[Any]) -> list[Any]:
    """A column's values as the database's driver takes them."""
    while isinstance(field, models.ForeignKey):
        field = field.target_field
    convert: Callable[[Any], Any] = partial(field.get_db_prep_save, connection=connection)
    kind = field.get_internal_type()
    if kind in AS_THEY_ARE:
        return list(values)
    if kind == "UUIDField":  # As Django does it, but there are too many to ask it for each.
        if connection.features.has_native_uuid_field:
            return list(values)
        convert = attrgetter("hex")
    return [None if value is None else convert(value) for value in values]


def _on_conflict(
    connection: BaseDatabaseWrapper, fields: Sequence[AnyField], unique: Sequence[str]
) -> str:
    if not unique:
        return ""
    target = [_name(connection, field) for field in fields if field.attname in unique]
    others = [_name(connection, field) for field in fields if field.attname not in unique]
    changes = ", ".join(f"{name} = excluded.{name}" for name in others)
    return f"ON CONFLICT ({', '.join(target)}) DO UPDATE SET {changes}"


def _type(connection: BaseDatabaseWrapper, field: AnyField) -> str:
    """The column's type without its length: a cast to varchar(40) would cut, not refuse."""
    return str(field.db_type(connection)).partition("(")[0]


def _parts(
    connection: BaseDatabaseWrapper, rows: Sequence[Sequence[Any]]
) -> Iterable[Sequence[Sequence[Any]]]:
    """The rows in as few parts as SQLite's number of values in a statement allows: one, for a push
    of the largest size. Django counts on the limit of versions before 3.32."""
    most_values = connection.connection.getlimit(sqlite3.SQLITE_LIMIT_VARIABLE_NUMBER)
    size = most_values // len(rows[0])
    for start in range(0, len(rows), size):
        yield rows[start : start + size]
