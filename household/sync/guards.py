"""Let the database itself refuse writes that bypass the log.

Triggers, since a constraint cannot look into another table: an entry needs a number that the
household's counter has handed out; a row state needs a log entry; a typed row needs the row state
of the same seq, and changes only with a newer one. What a database cannot refuse is a writer who
forges all of them.

They are dropped before and made after every migration: SQLite rebuilds a table to alter it, and
stops at a trigger that names a table which is away for that moment.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from django.db.backends.base.base import BaseDatabaseWrapper

from household.sync import projection, registry

OP_RULE = """NEW.seq > (SELECT seq FROM accounts_household WHERE id = NEW.household_id)"""
OP_TEXT = "sync: a log entry needs a number that the household has handed out"
FROZEN_TEXT = "sync: a log entry is never changed"
RECORD_RULE = """NOT EXISTS (SELECT 1 FROM sync_op
    WHERE household_id = NEW.household_id AND seq = NEW.seq)"""
RECORD_TEXT = "sync: a row state needs a log entry with its seq"
TYPED_RULE = """NOT EXISTS (SELECT 1 FROM sync_record
    WHERE household_id = NEW.household_id AND rid = NEW.rid AND seq = NEW.seq)"""
TYPED_TEXT = "sync: a typed row is written by sync only, with the seq of its row state"


@dataclass(frozen=True)
class Guard:
    """Refuse an INSERT or UPDATE of a table when the rule is true."""

    table: str
    event: str
    rule: str
    text: str

    @property
    def name(self) -> str:
        return f"guard_{self.event.lower()}_{self.table}"


def guards() -> Iterator[Guard]:
    yield Guard("sync_op", "INSERT", OP_RULE, OP_TEXT)
    yield Guard("sync_op", "UPDATE", "1 = 1", FROZEN_TEXT)
    yield Guard("sync_record", "INSERT", RECORD_RULE, RECORD_TEXT)
    yield Guard("sync_record", "UPDATE", f"NEW.seq < OLD.seq OR {RECORD_RULE}", RECORD_TEXT)
    for entity in registry.all_kinds():
        table = projection.model_of(entity)._meta.db_table
        yield Guard(table, "INSERT", TYPED_RULE, TYPED_TEXT)
        yield Guard(table, "UPDATE", f"NEW.seq <= OLD.seq OR {TYPED_RULE}", TYPED_TEXT)


def create(connection: BaseDatabaseWrapper) -> None:
    """Make every guard whose table exists."""
    drop(connection)
    tables = set(connection.introspection.table_names())
    with connection.cursor() as cursor:
        for guard in guards():
            if guard.table not in tables:
                continue
            for statement in _statements(connection.vendor, guard):
                cursor.execute(statement)


def drop(connection: BaseDatabaseWrapper) -> None:
    tables = set(connection.introspection.table_names())
    with connection.cursor() as cursor:
        for guard in guards():
            if guard.table not in tables:
                continue
            on_table = f" ON {guard.table}" if connection.vendor == "postgresql" else ""
            cursor.execute(f"DROP TRIGGER IF EXISTS {guard.name}{on_table}")


def _statements(vendor: str, guard: Guard) -> Iterator[str]:
    if vendor == "sqlite":
        yield (
            f"CREATE TRIGGER {guard.name} BEFORE {guard.event} ON {guard.table} "
            f"WHEN {guard.rule} BEGIN SELECT RAISE(ABORT, '{guard.text}'); END"
        )
    elif vendor == "postgresql":
        yield (
            f"CREATE OR REPLACE FUNCTION {guard.name}() RETURNS trigger LANGUAGE plpgsql AS $$ "
            f"BEGIN IF {guard.rule} THEN RAISE EXCEPTION '{guard.text}' "
            "USING ERRCODE = 'integrity_constraint_violation'; END IF; RETURN NEW; END $$"
        )
        yield (
            f"CREATE TRIGGER {guard.name} BEFORE {guard.event} ON {guard.table} "
            f"FOR EACH ROW EXECUTE FUNCTION {guard.name}()"
        )
