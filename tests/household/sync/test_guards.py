"""Fault 39, guard by guard: a write that bypasses the log is refused by the database itself."""

from collections.abc import Callable
from datetime import UTC, date, datetime, time
from typing import Any
from uuid import uuid4

import pytest
from django.db import IntegrityError, connection, models, transaction

from household.accounts.models import Household
from household.sync import guards, projection, registry
from household.sync.guards import Guard
from household.sync.models import Op, Projected, Record
from tests.household.conftest import NOW, Phone, dog_values

pytestmark = pytest.mark.django_db
GUARDS = {guard.name: guard for guard in guards.guards()}
MODELS = {
    model._meta.db_table: model for model in (projection.model_of(e) for e in registry.all_kinds())
}
# Any value that the column's type allows: a guard looks at none of them.
VALUES: dict[type[Any], Callable[[], Any]] = {
    models.UUIDField: uuid4,
    models.ForeignKey: uuid4,
    models.DateTimeField: lambda: datetime.fromtimestamp(NOW / 1000, UTC),
    models.DateField: lambda: date(2026, 11, 25),
    models.TimeField: lambda: time(8),
    models.BooleanField: lambda: False,
    models.JSONField: dict,
    models.CharField: lambda: "",
    models.TextField: lambda: "",
    models.IntegerField: lambda: 1,
    models.FloatField: lambda: 1.0,
}


def any_value(field: Any) -> Any:
    if field.null:
        return None
    return next(make() for kind, make in VALUES.items() if isinstance(field, kind))


def forged(model: type[Projected], household: Household, seq: int) -> Projected:
    """A typed row that no operation made."""
    given = {"rid": uuid4(), "household_id": household.pk, "seq": seq}
    rest = {
        field.attname: any_value(field)
        for field in model._meta.concrete_fields
        if field.attname not in given
    }
    return model(**given, **rest)


def state_for(row: Projected, entity: str) -> Record:
    """The row state that would make a typed row's insertion pass: forging both is not refused."""
    return Record(
        household_id=row.household_id,
        rid=row.rid,
        entity=entity,
        seq=row.seq,
        gone=False,
        state="{}",
    )


def test_fault_39_every_table_of_sync_has_its_guards() -> None:
    tables = {"sync_op", "sync_record", *MODELS}
    assert {(guard.table, guard.event) for guard in GUARDS.values()} == {
        (table, event) for table in tables for event in ("INSERT", "UPDATE")
    }
    if connection.vendor == "postgresql":
        query = "SELECT tgname FROM pg_trigger WHERE NOT tgisinternal"
    else:
        query = "SELECT name FROM sqlite_master WHERE type = 'trigger'"
    with connection.cursor() as cursor:
        cursor.execute(query)
        assert {name for (name,) in cursor.fetchall()} == set(GUARDS)


@pytest.fixture
def home(ines: Phone) -> Household:
    """A household with one entry in its log."""
    ines.make("dog", dog_values())
    return Household.objects.get(pk=ines.member.household_id)


def refused(guard: Guard) -> Any:
    return pytest.raises(IntegrityError, match=guard.text)


@pytest.mark.parametrize("table", MODELS)
def test_fault_39_a_typed_row_is_not_written_past_the_log(home: Household, table: str) -> None:
    model = MODELS[table]
    entity = next(e for e in registry.all_kinds() if projection.model_of(e) is model)
    inserting, updating = GUARDS[f"guard_insert_{table}"], GUARDS[f"guard_update_{table}"]
    row = forged(model, home, home.seq)
    with refused(inserting), transaction.atomic():
        row.save(force_insert=True)
    # With a state of another seq there is still no state of this one.
    with refused(inserting), transaction.atomic():
        state_for(row, entity).save()
        row.seq += 1
        row.save(force_insert=True)
    row.seq = home.seq
    changes: list[dict[str, Any]] = [
        {"op_by": "somebody"},  # The seq stays.
        {"seq": home.seq + 1},  # A newer one, of which there is no state.
        {"seq": home.seq - 1},
    ]
    for change in changes:
        with refused(updating), transaction.atomic():
            state_for(row, entity).save()
            row.save(force_insert=True)
            model._default_manager.filter(pk=row.pk).update(**change)
    assert not model._default_manager.filter(pk=row.pk).exists()


def an_entry(home: Household, **more: Any) -> Op:
    given = {"op_id": uuid4(), "seq": home.seq, "schema": 1, "received_at": NOW, "applied": True}
    return Op(household=home, **{**given, **more})


@pytest.mark.parametrize("beyond", [1, 2, 1000])
def test_fault_39_an_entry_takes_no_number_that_was_not_handed_out(
    home: Household, beyond: int
) -> None:
    with refused(GUARDS["guard_insert_sync_op"]), transaction.atomic():
        an_entry(home, seq=home.seq + beyond).save()
    assert Op.objects.count() == 1


def test_fault_39_an_entry_takes_no_number_twice(home: Household) -> None:
    with pytest.raises(IntegrityError, match=r"op_seq_once|sync_op\.seq"), transaction.atomic():
        an_entry(home).save()


def test_fault_39_an_entry_is_never_changed(home: Household) -> None:
    for change in ({"body": "{}"}, {"applied": False, "code": "invalid"}, {"seq": 0}):
        with refused(GUARDS["guard_update_sync_op"]), transaction.atomic():
            Op.objects.update(**change)


def test_fault_39_a_row_state_needs_an_entry_and_never_goes_back(home: Household) -> None:
    inserting, updating = GUARDS["guard_insert_sync_record"], GUARDS["guard_update_sync_record"]
    dog = Record.objects.get()
    with refused(inserting), transaction.atomic():
        Record(household=home, rid=uuid4(), entity="dog", seq=0, gone=False, state="{}").save()
    elsewhere = Household.objects.exclude(pk=home.pk).first()
    assert elsewhere is not None
    with refused(inserting), transaction.atomic():
        # The entry of another household's log is none of this one's.
        Record(household=elsewhere, rid=uuid4(), entity="dog", seq=dog.seq, state="{}").save()
    for seq in (dog.seq - 1, dog.seq + 1):
        with refused(updating), transaction.atomic():
            Record.objects.filter(pk=dog.pk).update(seq=seq)
