"""Fill the typed tables from folded rows."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date, time
from functools import cache
from typing import Any
from uuid import UUID

from django.apps import apps
from django.core.exceptions import FieldDoesNotExist

from household.sync import bulk, registry
from household.sync.fold import Row
from household.sync.instants import from_millis, parse_instant
from household.sync.models import Projected, Record
from household.sync.vocabulary import Register

KEPT = ["rid", "household_id", "gone", "seq", "made_at", "made_by", "op_at", "op_by"]


@dataclass(frozen=True)
class Column:
    """How one register, or one part of a grouped one, becomes a column."""

    attname: str
    register: str
    part: str | None
    convert: Callable[[Any], Any]

    def value_in(self, values: dict[str, Any]) -> Any:
        value = values.get(self.register)
        if self.part is not None:
            value = None if value is None else value.get(self.part)
        return self.convert(value)


def store(household_id: UUID, records: Iterable[tuple[Record, Row]]) -> None:
    """Write the typed rows of records that changed, one statement or few per kind."""
    by_entity: dict[str, list[tuple[Record, Row]]] = {}
    for record, row in records:
        by_entity.setdefault(record.entity, []).append((record, row))
    # Owners first: a child's column refers to its owner's row.
    for entity in sorted(by_entity, key=registry.level):
        _store_kind(household_id, entity, by_entity[entity])


def model_of(entity: str) -> type[Projected]:
    kind = registry.get(entity)
    assert kind is not None, entity
    model = apps.get_model(kind.model)
    assert issubclass(model, Projected), kind.model
    return model


@cache
def columns_of(entity: str) -> tuple[Column, ...]:
    kind = registry.get(entity)
    assert kind is not None, entity
    model = model_of(entity)
    out: list[Column] = []
    for name, register in kind.registers.items():
        target = kind.columns.get(name, name)
        if _has_field(model, target):
            out.append(Column(_attname(model, target), name, None, _converter(register)))
        else:  # A grouped register without a column of its own has one for each part.
            out.extend(
                Column(_attname(model, f"{target}_{part}"), name, part, _converter(inner))
                for part, inner in register.fields.items()
            )
    return tuple(out)


def _store_kind(household_id: UUID, entity: str, changed: Sequence[tuple[Record, Row]]) -> None:
    columns = columns_of(entity)
    rows = [
        (
            record.rid,
            household_id,
            record.gone,
            record.seq,
            from_millis(row["op_at"] if row["made_at"] is None else row["made_at"]),
            row["made_by"] or row["op_by"],
            from_millis(row["op_at"]),
            row["op_by"],
            *[column.value_in(row["values"]) for column in columns],
        )
        for record, row in changed
    ]
    names = [*KEPT, *(column.attname for column in columns)]
    bulk.write(model_of(entity), names, rows, unique=["rid"])


def _has_field(model: type[Projected], name: str) -> bool:
    try:
        model._meta.get_field(name)
    except FieldDoesNotExist:
        return False
    return True


def _attname(model: type[Projected], name: str) -> str:
    return str(getattr(model._meta.get_field(name), "attname", name))


def _converter(register: Register) -> Callable[[Any], Any]:
    def convert(value: Any) -> Any:
        # Unknown text is the empty string, as Django keeps it; every other unknown is null.
        if value is None:
            return "" if register.type in ("text", "choice") else None
        return CONVERSIONS.get(register.type, _as_it_is)(value)

    return convert


def _as_it_is(value: Any) -> Any:
    return value


CONVERSIONS: dict[str, Callable[[Any], Any]] = {
    "int": int,
    "number": float,
    "date": date.fromisoformat,
    "instant": parse_instant,
    "time": time.fromisoformat,
    "ref": UUID,
}
