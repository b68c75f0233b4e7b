"""The small vocabulary in which every app declares its kinds of record.

A kind is a set of registers; a register is merged whole. The same declaration checks values here,
is exported for the phone (``manage.py export_kinds``) and tells how the typed table is filled.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, fields
from typing import Any, Literal

Type = Literal[
    "text",
    "int",
    "number",
    "bool",
    "date",
    "instant",
    "time",
    "choice",
    "ref",
    "list",
    "object",
    "json",
]
OWNER, PARTNER, SITTER = "owner", "partner", "sitter"
EVERYONE = (OWNER, PARTNER, SITTER)
PLANNERS = (OWNER, PARTNER)
SERVER_ONLY: tuple[str, ...] = ()
DELETED = "deleted"
"""The register every kind has without declaring it."""


@dataclass(frozen=True, kw_only=True)
class Register:
    """One mergeable value of a record: its type, its limits and its name on screen.

    ``required`` registers must be set by the op that creates the record and are never null.
    ``immutable`` ones can be set by that op only. ``exactly_one`` is for objects: one field is
    given, the others are absent or null. A ``json`` register is an object whose every value obeys
    ``item``.
    """

    type: Type
    label: str = ""
    unit: str = ""
    min: float | None = None
    max: float | None = None
    min_length: int | None = None
    max_length: int | None = None
    choices: tuple[str, ...] = ()
    item: "Register | None" = None
    fields: Mapping[str, "Register"] = field(default_factory=dict)
    exactly_one: bool = False
    required: bool = False
    immutable: bool = False
    not_future: bool = False
    to: tuple[str, ...] = ()

    @property
    def nullable(self) -> bool:
        return not self.required

    def as_json(self) -> dict[str, Any]:
        """The declaration as exported: only what differs from the defaults."""
        out: dict[str, Any] = {"type": self.type}
        for spec in fields(self):
            value = getattr(self, spec.name)
            # A minimum of 0 equals False, and is a limit all the same.
            if spec.name == "type" or value is False or value in (None, "", (), {}):
                continue
            if isinstance(value, Register):
                value = value.as_json()
            elif isinstance(value, Mapping):
                value = {name: register.as_json() for name, register in value.items()}
            elif isinstance(value, tuple):
                value = list(value)
            out[spec.name] = value
        if not self.nullable:
            out["nullable"] = False
        return out


@dataclass(frozen=True)
class AtMost:
    """One number of the op may not exceed another; paths reach into objects (``left.g``)."""

    register: str
    limit: str

    def as_json(self) -> dict[str, Any]:
        return {"type": "at_most", "register": self.register, "limit": self.limit}


@dataclass(frozen=True)
class ChoiceBy:
    """The choices of one register depend on the word in another, when the op sets both."""

    register: str
    by: str
    choices: Mapping[str, tuple[str, ...]]

    def as_json(self) -> dict[str, Any]:
        allowed = {word: list(choices) for word, choices in self.choices.items()}
        return {"type": "choice_by", "register": self.register, "by": self.by, "choices": allowed}


@dataclass(frozen=True)
class OnlyWith:
    """A register that only some records can have: those with these words in other registers.

    An op that sets it along with one of them is refused unless they agree; one that makes a record
    must give them all. What the op does not say is for the readers, who leave the value aside.
    """

    register: str
    words: Mapping[str, str | bool]
    why: str

    def as_json(self) -> dict[str, Any]:
        words = dict(self.words)
        return {"type": "only_with", "register": self.register, "words": words, "why": self.why}


@dataclass(frozen=True)
class InOrder:
    """Days of a grouped register that follow one another; equal ones are in order."""

    register: str
    parts: tuple[str, ...]

    def as_json(self) -> dict[str, Any]:
        return {"type": "in_order", "register": self.register, "parts": list(self.parts)}


@dataclass(frozen=True)
class SumAtMost:
    """Some parts of a grouped register may not add up to more than a limit.

    ``unless`` names a part and the word in it with which the rule does not hold.
    """

    register: str
    parts: tuple[str, ...]
    limit: float
    unless: tuple[str, str] | None = None

    def as_json(self) -> dict[str, Any]:
        out: dict[str, Any] = {
            "type": "sum_at_most",
            "register": self.register,
            "parts": list(self.parts),
            "limit": self.limit,
        }
        if self.unless:
            out["unless"] = list(self.unless)
        return out


@dataclass(frozen=True)
class Needs:
    """Each entry of a list with a certain word in one part needs something else.

    ``part`` is another part of the same entry; ``other`` another register of the record, looked
    for when the op makes the record or sets that register.
    """

    register: str
    when: tuple[str, str]
    part: str | None = None
    other: str | None = None

    def as_json(self) -> dict[str, Any]:
        out: dict[str, Any] = {
            "type": "needs",
            "register": self.register,
            "when": list(self.when),
        }
        if self.part:
            out["part"] = self.part
        if self.other:
            out["other"] = self.other
        return out


Check = AtMost | ChoiceBy | OnlyWith | InOrder | SumAtMost | Needs


@dataclass(frozen=True, kw_only=True)
class First:
    """Which records of a kind a new phone is given first, so that its first screen need not wait.

    All of them, those changed in the last ``days``, or (``with_owner``) those that belong to one
    that is given: a ledger is never given in part, since its sum would be wrong.
    """

    days: int | None = None
    with_owner: bool = False


@dataclass(frozen=True, kw_only=True)
class Kind:
    """A kind of record: who may write and see it, its registers, its owner and its typed table.

    ``owner`` names the register that holds the owner's id: a live child keeps its owner alive.
    ``owner_flags`` is the dotted name of a function (household id, owner ids) that answers, for
    each owner, the flags it carries because of its children of this kind. ``columns`` renames
    registers whose column has another name. ``first`` says which of it a new phone needs at once.
    """

    entity: str
    app: str
    label: str
    registers: Mapping[str, Register]
    model: str
    owner: str | None = None
    write: tuple[str, ...] = PLANNERS
    see: tuple[str, ...] = EVERYONE
    checks: tuple[Check, ...] = ()
    columns: Mapping[str, str] = field(default_factory=dict)
    owner_flags: str | None = None
    first: First | None = None

    @property
    def owner_kinds(self) -> tuple[str, ...]:
        return self.registers[self.owner].to if self.owner else ()

    def as_json(self) -> dict[str, Any]:
        return {
            "app": self.app,
            "label": self.label,
            "owner": self.owner,
            "write": list(self.write),
            "see": list(self.see),
            "registers": {name: register.as_json() for name, register in self.registers.items()},
            "checks": [check.as_json() for check in self.checks],
        }


DELETED_REGISTER = Register(type="bool", label="deleted", required=True)


def text(label: str, max_length: int, *, min_length: int | None = None, **rest: Any) -> Register:
    return Register(type="text", label=label, max_length=max_length, min_length=min_length, **rest)


def name(label: str, max_length: int) -> Register:
    """A required text that is not blank."""
    return text(label, max_length, min_length=1, required=True)


def note(label: str = "note") -> Register:
    return text(label, 4000)


def integer(label: str, low: int, high: int, unit: str = "", **rest: Any) -> Register:
    return Register(type="int", label=label, min=low, max=high, unit=unit, **rest)


def number(label: str, low: float, high: float, unit: str = "", **rest: Any) -> Register:
    return Register(type="number", label=label, min=low, max=high, unit=unit, **rest)


def boolean(label: str, **rest: Any) -> Register:
    return Register(type="bool", label=label, **rest)


def date(label: str, **rest: Any) -> Register:
    return Register(type="date", label=label, **rest)


def instant(label: str, **rest: Any) -> Register:
    return Register(type="instant", label=label, **rest)


def clock_time(label: str, **rest: Any) -> Register:
    return Register(type="time", label=label, **rest)


def choice(label: str, choices: Iterable[str], **rest: Any) -> Register:
    return Register(type="choice", label=label, choices=tuple(choices), **rest)


def ref(label: str, *to: str, **rest: Any) -> Register:
    """The id of another record (or, to "member", of a member)."""
    return Register(type="ref", label=label, to=to, **rest)


def list_of(label: str, item: Register, max_length: int, **rest: Any) -> Register:
    return Register(type="list", label=label, item=item, max_length=max_length, **rest)


def grouped(
    label: str, *, exactly_one: bool = False, required: bool = False, **parts: Register
) -> Register:
    """Fields that only make sense together, merged as one."""
    return Register(
        type="object", label=label, fields=parts, exactly_one=exactly_one, required=required
    )


def json_map(label: str, item: Register, max_length: int) -> Register:
    return Register(type="json", label=label, item=item, max_length=max_length)
