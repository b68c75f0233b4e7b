"""Check an operation's values against the declaration of its kind.

A message says which value was given, what is allowed and, where it helps, what to do.
The result depends on the operation alone, so that it is the same whenever it arrives.
"""

import math
import re
from collections.abc import Callable, Mapping
from datetime import date, datetime, timedelta
from itertools import pairwise
from typing import Any

from household.sync.instants import parse_date, parse_instant
from household.sync.vocabulary import (
    DELETED,
    DELETED_REGISTER,
    AtMost,
    Check,
    ChoiceBy,
    InOrder,
    Kind,
    Needs,
    OnlyWith,
    Register,
    SumAtMost,
)
from household.sync.wording import UNSTORABLE, amount, figure, said, shown

Errors = dict[str, list[str]]
UUID_PATTERN = re.compile(
    r"[0-9a-f]{8}-[0-9a-f]{4}-[1-8][0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}"
)
TIME_PATTERN = re.compile(r"([01]\d|2[0-3]):[0-5]\d", re.ASCII)
DAY = timedelta(days=1)  # Taken from what was entered: a clock may stand at the last day there is.


class Unacceptable(Exception):
    """A value that is not allowed, with the path inside the register."""

    def __init__(self, message: str, path: str = "") -> None:
        self.message, self.path = message, path
        super().__init__(message)


def is_uuid(value: object) -> bool:
    return isinstance(value, str) and UUID_PATTERN.fullmatch(value) is not None


def check_values(
    kind: Kind, values: Mapping[str, Any], *, new: bool, occurred_at: datetime
) -> Errors:
    """What is wrong with the values an operation sets; empty when nothing is."""
    errors: Errors = {}
    for name, value in values.items():
        register = DELETED_REGISTER if name == DELETED else kind.registers.get(name)
        if register is None:
            known = ", ".join(kind.registers)
            errors[UNSTORABLE.sub("\ufffd", name[:60])] = [
                f"A {kind.label} has no register {shown(name)}. It has: {known}."
            ]
        elif register.immutable and not new:
            errors[name] = [
                f"{said(register)} can only be given when the {kind.label} is made. "
                "Delete the entry and make another one."
            ]
        else:
            _collect(errors, name, register, value, occurred_at)
    if new:
        for name, register in kind.registers.items():
            if register.required and name not in values:
                errors[name] = [f"{said(register)} is missing; a new {kind.label} needs it."]
    if not errors:
        _run_checks(errors, kind, values, new=new)
    return errors


def check_value(register: Register, value: Any, occurred_at: datetime) -> None:
    """Raise Unacceptable unless the register may hold the value."""
    if value is None:
        if not register.nullable:
            raise Unacceptable(f"{said(register)} may not be empty.")
        return
    CHECKS[register.type](register, value, occurred_at)


def _collect(
    errors: Errors, name: str, register: Register, value: Any, occurred_at: datetime
) -> None:
    try:
        check_value(register, value, occurred_at)
    except Unacceptable as problem:
        path = f"{name}.{problem.path}" if problem.path else name
        errors[path] = [problem.message]


def _text(register: Register, value: Any, occurred_at: datetime) -> None:
    if not isinstance(value, str):
        raise Unacceptable(f"{said(register)} must be text; {shown(value)} was given.")
    if UNSTORABLE.search(value):
        raise Unacceptable(f"{said(register)} holds a character that cannot be stored; remove it.")
    if register.max_length is not None and len(value) > register.max_length:
        raise Unacceptable(
            f"{said(register)} has {len(value)} characters; at most {register.max_length} are "
            "allowed. Shorten it."
        )
    if register.min_length is not None and len(value.strip()) < register.min_length:
        wanted = (
            "may not be blank"
            if register.min_length == 1
            else f"needs at least {register.min_length} characters; {shown(value)} was given"
        )
        raise Unacceptable(f"{said(register)} {wanted}.")


def _number(register: Register, value: Any, occurred_at: datetime) -> None:
    # A whole number of any length can be compared, but not asked whether it is finite.
    is_number = isinstance(value, int) or (isinstance(value, float) and math.isfinite(value))
    if isinstance(value, bool) or not is_number:
        raise Unacceptable(f"{said(register)} must be a number; {shown(value)} was given.")
    low, high = register.min, register.max
    if (low is not None and value < low) or (high is not None and value > high):
        raise Unacceptable(
            f"{said(register)} {amount(value, register)} is outside the allowed "
            f"{figure(low)} to {amount(high, register)}. Check the number and its unit."
        )


def _int(register: Register, value: Any, occurred_at: datetime) -> None:
    _number(register, value, occurred_at)
    if isinstance(value, float) and not value.is_integer():
        of_unit = f" of {register.unit}" if register.unit else ""
        raise Unacceptable(
            f"{said(register)} must be a whole number{of_unit}; {shown(value)} was given."
        )


def _bool(register: Register, value: Any, occurred_at: datetime) -> None:
    if not isinstance(value, bool):
        raise Unacceptable(f"{said(register)} must be true or false; {shown(value)} was given.")


def _date(register: Register, value: Any, occurred_at: datetime) -> None:
    day = parse_date(value)
    if day is None:
        raise Unacceptable(
            f"{said(register)} must be a date like 2026-11-25, from 1900 on; "
            f"{shown(value)} was given."
        )
    if register.not_future and day - DAY > occurred_at.date():
        raise Unacceptable(_in_future(register, value, occurred_at.date()))


def _instant(register: Register, value: Any, occurred_at: datetime) -> None:
    moment = parse_instant(value)
    if moment is None:
        raise Unacceptable(
            f"{said(register)} must be a time in UTC like 2026-11-25T18:30:00Z; "
            f"{shown(value)} was given."
        )
    if register.not_future and moment - DAY > occurred_at:
        raise Unacceptable(_in_future(register, value, occurred_at.date()))


def _in_future(register: Register, value: Any, today: date) -> str:
    return (
        f"{said(register)} {shown(value)} lies in the future; it was entered on {today}. "
        f"Allowed is {today} or earlier. Check the year and the clock of the device."
    )


def _time(register: Register, value: Any, occurred_at: datetime) -> None:
    if not isinstance(value, str) or TIME_PATTERN.fullmatch(value) is None:
        raise Unacceptable(
            f"{said(register)} must be a time from 00:00 to 23:59; {shown(value)} was given."
        )


def _choice(register: Register, value: Any, occurred_at: datetime) -> None:
    if value not in register.choices:
        raise Unacceptable(
            f"{said(register)} {shown(value)} is not known. Allowed: {', '.join(register.choices)}."
        )


def _ref(register: Register, value: Any, occurred_at: datetime) -> None:
    if not is_uuid(value):
        raise Unacceptable(
            f"{said(register)} must be the id of a {' or '.join(register.to) or 'record'} "
            f"(a lower-case UUID); {shown(value)} was given."
        )


def _list(register: Register, value: Any, occurred_at: datetime) -> None:
    if not isinstance(value, list):
        raise Unacceptable(f"{said(register)} must be a list; {shown(value)} was given.")
    _count_entries(register, len(value))
    assert register.item is not None
    for index, entry in enumerate(value):
        _inner(register.item, entry, str(index), occurred_at)


def _json(register: Register, value: Any, occurred_at: datetime) -> None:
    if not isinstance(value, dict):
        raise Unacceptable(f"{said(register)} must be an object; {shown(value)} was given.")
    _count_entries(register, len(value))
    for key, entry in value.items():
        if not key or len(key) > 64 or UNSTORABLE.search(key):
            raise Unacceptable(f"{said(register)} has the unusable key {shown(key)}.")
        if register.item is not None:
            _inner(register.item, entry, key, occurred_at)


def _count_entries(register: Register, count: int) -> None:
    if register.max_length is not None and count > register.max_length:
        raise Unacceptable(
            f"{said(register)} has {count} entries; at most {register.max_length} are allowed."
        )
    if register.type == "list" and count < (register.min_length or 0):
        raise Unacceptable(
            f"{said(register)} has {count} entries; at least {register.min_length} is needed."
        )


def _object(register: Register, value: Any, occurred_at: datetime) -> None:
    if not isinstance(value, dict):
        raise Unacceptable(f"{said(register)} must be an object; {shown(value)} was given.")
    known = ", ".join(register.fields)
    for key, entry in value.items():
        if key not in register.fields:
            raise Unacceptable(f"{said(register)} has no part {shown(key)}. Its parts: {known}.")
        _inner(register.fields[key], entry, key, occurred_at)
    for key, part in register.fields.items():
        if part.required and key not in value:
            raise Unacceptable(f"{said(register)} lacks {part.label or key}; it is needed.", key)
    if register.exactly_one and sum(entry is not None for entry in value.values()) != 1:
        raise Unacceptable(f"{said(register)} needs exactly one of: {known}.")


def _inner(register: Register, value: Any, key: str, occurred_at: datetime) -> None:
    try:
        check_value(register, value, occurred_at)
    except Unacceptable as problem:
        path = f"{key}.{problem.path}" if problem.path else key
        raise Unacceptable(problem.message, path) from None


CHECKS: Mapping[str, Callable[[Register, Any, datetime], None]] = {
    "text": _text,
    "int": _int,
    "number": _number,
    "bool": _bool,
    "date": _date,
    "instant": _instant,
    "time": _time,
    "choice": _choice,
    "ref": _ref,
    "list": _list,
    "object": _object,
    "json": _json,
}


def _run_checks(errors: Errors, kind: Kind, values: Mapping[str, Any], *, new: bool) -> None:
    for check in kind.checks:
        message = _broken(check, kind, values, new)
        if message:
            errors[check.register] = [message]


def _broken(check: Check, kind: Kind, values: Mapping[str, Any], new: bool) -> str | None:
    match check:
        case AtMost():
            return _at_most(check, values)
        case ChoiceBy():
            return _choice_by(check, values)
        case InOrder():
            return _in_order(check, kind, values)
        case OnlyWith():
            return _only_with(check, kind, values, new)
        case SumAtMost():
            return _sum_at_most(check, kind, values)
        case Needs():
            return _needs(check, kind, values, new=new)


def _only_with(check: OnlyWith, kind: Kind, values: Mapping[str, Any], new: bool) -> str | None:
    if values.get(check.register) is None:
        return None
    for name, word in check.words.items():
        # An edit says nothing of what it leaves out; a new record has nothing else.
        if (new or name in values) and values.get(name) != word:
            return (
                f"{said(kind.registers[check.register])} cannot be noted: {check.why} "
                f"{said(kind.registers[name])} is {shown(values.get(name))}; it must be "
                f"{shown(word)}. Correct one of the two."
            )
    return None


def _in_order(check: InOrder, kind: Kind, values: Mapping[str, Any]) -> str | None:
    group = values.get(check.register)
    if not isinstance(group, Mapping):
        return None
    fields = kind.registers[check.register].fields
    days = [(part, group[part]) for part in check.parts if group.get(part) is not None]
    for (earlier, first), (later, then) in pairwise(days):
        if then < first:
            return (
                f"{said(fields[later])} {then} lies before {fields[earlier].label} {first}. "
                "Correct one of the two days."
            )
    return None


def _at_most(check: AtMost, values: Mapping[str, Any]) -> str | None:
    value, limit = _reach(values, check.register), _reach(values, check.limit)
    if value is None or limit is None or value <= limit:
        return None
    return (
        f"{check.register} {figure(value)} is more than {check.limit} {figure(limit)}; "
        f"allowed: 0 to {figure(limit)}."
    )


def _choice_by(check: ChoiceBy, values: Mapping[str, Any]) -> str | None:
    word, given = values.get(check.by), values.get(check.register)
    if word is None or given is None:
        return None
    allowed = check.choices.get(word, ())
    wrong = [
        each for each in (given if isinstance(given, list) else [given]) if each not in allowed
    ]
    if not wrong:
        return None
    return (
        f"{check.register} {shown(wrong[0])} does not go with {check.by} {shown(word)}. "
        f"Allowed: {', '.join(allowed) or 'none'}."
    )


def _sum_at_most(check: SumAtMost, kind: Kind, values: Mapping[str, Any]) -> str | None:
    group = values.get(check.register)
    if not isinstance(group, Mapping):
        return None
    if check.unless and group.get(check.unless[0]) == check.unless[1]:
        return None
    total = sum(group.get(part) or 0 for part in check.parts)
    if total <= check.limit:
        return None
    register = kind.registers[check.register]
    parts = {key: register.fields[key] for key in check.parts if group.get(key) is not None}
    given = ", ".join(f"{part.label} {amount(group[key], part)}" for key, part in parts.items())
    return (
        f"{said(register)} adds up to {figure(total)} ({given}); at most {figure(check.limit)} "
        "is possible. Check each figure."
    )


def _needs(check: Needs, kind: Kind, values: Mapping[str, Any], *, new: bool) -> str | None:
    part, word = check.when
    entries = values.get(check.register) or []
    found = [entry for entry in entries if entry.get(part) == word]
    if check.part is not None:
        wanting = next((entry for entry in found if entry.get(check.part) is None), None)
        if wanting is None:
            return None
        return (
            f"{said(kind.registers[check.register])}: an entry with {part} {shown(word)} needs "
            f"{check.part} too; {shown(wanting)} was given. Say which {check.part} it is."
        )
    assert check.other is not None
    is_known = values.get(check.other) is not None or (not new and check.other not in values)
    if not found or is_known:
        return None
    other = kind.registers[check.other]
    return (
        f"{said(kind.registers[check.register])}: an entry with {part} {shown(word)} needs the "
        f"{other.label}; none was given. Give it too."
    )


def _reach(values: Mapping[str, Any], path: str) -> Any:
    found: Any = values
    for key in path.split("."):
        found = found.get(key) if isinstance(found, Mapping) else None
    return found
