"""Three phones, their people, the network between, and the server: everything a fault can reach."""

import json
from collections.abc import Callable, Mapping, Sequence
from contextlib import ExitStack
from dataclasses import dataclass, field
from typing import Any, Literal, Self
from zlib import crc32

import pytest
from django.db import transaction

from household.sync import registry
from household.sync.fold import DELETED
from household.sync.models import Op
from tests.household.sync.campaign.ids import START_MS, Ids
from tests.household.sync.campaign.kinds import values_of
from tests.household.sync.campaign.phone import Phone
from tests.household.sync.campaign.server import HOUSEHOLD, ROLES, Backup, Person, Server, Transport
from tests.household.sync.campaign.store import Rec, StoredOp
from tests.household.sync.campaign.syncing import FAULT, Answer, Outcome, Request
from tests.household.sync.campaign.truth import Truth

STEP_MS = 60_000
PHONES = len(ROLES)
Fate = Literal[
    "ok", "request lost", "request late", "reply lost", "reply late", "sent twice", "fault"
]


@dataclass
class Form:
    """An open form: the record as it was on the screen when it was opened."""

    phone: int
    rec: Rec


@dataclass
class World:
    """Made anew for each trace; leaves no row behind. Use it as a context manager."""

    people: list[Person]
    transport: Transport
    phone_class: type[Phone] = Phone
    planted: Sequence[Callable[[pytest.MonkeyPatch], None]] = ()
    now: int = START_MS
    ids: Ids = field(default_factory=Ids)
    truth: Truth = field(default_factory=Truth)
    phones: list[Phone] = field(default_factory=list)
    forms: dict[str, Form] = field(default_factory=dict)
    late_requests: dict[str, Request] = field(default_factory=dict)
    late_replies: dict[str, tuple[Request, Answer]] = field(default_factory=dict)
    backups: dict[str, Backup] = field(default_factory=dict)
    ever_applied: set[str] = field(default_factory=set)
    roles_had: dict[int, set[str]] = field(default_factory=dict)
    restores: int = 0
    changed_screens: list[int] = field(default_factory=list)  # Of phones that started over.
    _stack: ExitStack = field(default_factory=ExitStack)

    def __enter__(self) -> Self:
        self._stack.enter_context(transaction.atomic())
        self._stack.callback(transaction.set_rollback, True)
        patch = self._stack.enter_context(pytest.MonkeyPatch.context())
        patch.setattr("household.sync.api.now_millis", lambda: self.now)
        patch.setattr("secrets.token_hex", self._token)
        patch.setattr("secrets.randbits", self._bits)
        patch.setattr(registry, "SCHEMA", registry.SCHEMA)
        patch.setitem(registry._upcasters, 1, upcast_1)
        self.transport.prepare(patch)
        for plant in self.planted:
            plant(patch)
        self.server = Server(self.people, self.transport)
        self.phones = [self.new_phone(index) for index in range(PHONES)]
        self.roles_had = {index: {role} for index, role in enumerate(ROLES)}
        return self

    def __exit__(self, *error: object) -> None:
        self._stack.close()

    def _token(self, size: int = 8) -> str:
        return Ids().of(crc32(self.ids.new().encode())).replace("-", "")[-2 * size :]

    def _bits(self, count: int) -> int:
        return crc32(self.ids.new().encode()) & (1 << count) - 1

    def new_phone(self, index: int) -> Phone:
        return self.phone_class(
            index=index,
            device_id=self.ids.new(),
            schema=registry.SCHEMA,
            member=self.server.member_id(index),
            household=HOUSEHOLD,
            ids=self.ids,
        )

    # Names

    @staticmethod
    def rid(name: str) -> str:
        """The id of a record from its name in the trace, so that a shorter trace keeps it."""
        return Ids.of(1 << 40 | crc32(name.encode()))

    # The network

    def deliver(self, request: Request) -> Answer:
        """Let a request reach the server; what it put in force is remembered."""
        answer = self.server.answer(request, self.now)
        if request.body is not None and answer.status == 200:
            hashes = {body["op_id"]: body for body in request.body["ops"]}
            for result in answer.body["results"]:
                if result["status"] == "applied":
                    body = hashes[result["op_id"]]
                    entry = self.truth.of(body["rid"], body["op_id"])
                    assert entry is not None
                    self.ever_applied.add(entry.hash)
        return answer

    def exchange(self, request: Request, fate: Fate, tag: str) -> Outcome | None:
        """Send a request and meet what the network has in store for it."""
        phone = self.phones[request.phone]
        if fate == "fault":
            return self.take(request, Answer(FAULT, {}))
        if fate in ("request lost", "request late"):
            if fate == "request late":
                self.late_requests[tag] = request
            phone.no_answer(request)
            return None
        answer = self.deliver(request)
        if fate == "sent twice":
            self.deliver(request)
        if fate == "reply lost":
            phone.no_answer(request)
            return None
        if fate == "reply late":  # Another tab waits for it.
            self.late_replies[tag] = (request, answer)
            phone.queue = None
            return None
        return self.take(request, answer)

    def take(self, request: Request, answer: Answer) -> Outcome | None:
        """Let an answer reach the phone, unless its storage was wiped since."""
        phone = self.phones[request.phone]
        if request.device_id != phone.device_id:
            return None
        before = dict(phone.records)
        if request.body is not None:
            outcome = phone.take_push(request, answer)
        else:
            outcome = phone.take_pull(request, answer)
            phone.ask_due = phone.ask_due or outcome == "over"
        if outcome == "over" and phone.records != before:
            self.changed_screens.append(phone.index)
        return outcome

    def sync(self, phone: Phone, limit: int) -> Outcome | None:
        """A whole round without a fault: everything that can be sent, then everything new."""
        outcome: Outcome | None = None
        for _ in range(20):
            while (request := phone.push_request()) is not None:
                outcome = self.take(request, self.deliver(request))
                if outcome in ("paused", "fault"):
                    return outcome
            outcome = self._pull_all(phone, limit)
            if outcome != "over":
                return outcome
        raise AssertionError(f"Phone {phone.index} never ends its round.")

    def _pull_all(self, phone: Phone, limit: int) -> Outcome | None:
        while True:
            request = phone.pull_request(limit)
            answer = self.deliver(request)
            outcome = self.take(request, answer)
            if outcome != "taken" or not answer.body["more"]:
                return outcome

    # What was written

    def wrote(self, op: StoredOp, shown: Mapping[str, Any], **more: Any) -> None:
        self.truth.wrote(op, shown, **more)

    def server_wrote(self, before: Mapping[str, list[str]], after_seq: int) -> None:
        """Remember the server's own entries, which had seen all that was in force."""
        for entry in Op.objects.filter(household_id=HOUSEHOLD, seq__gt=after_seq):
            op = as_stored(entry)
            every = DELETED in op.body["set"]
            self.wrote(
                op, {name: before.get(name, []) for name in (before if every else op.body["set"])}
            )
            self.ever_applied.add(op.hash)

    def note_roles(self) -> None:
        for index, roles in self.roles_had.items():
            roles.add(self.server.member(index).role)

    def values(self, entity: str, owner: str | None, value: int, bad: bool) -> dict[str, Any]:
        return values_of(entity, self.rid(owner) if owner else None, value, bad)


def upcast_1(op: dict[str, Any]) -> dict[str, Any]:
    """The second schema writes the zone differently, and nothing else."""
    return {**op, "schema": 2, "tz": "UTC"}


def as_stored(entry: Op) -> StoredOp:
    body = json.loads(entry.body)
    return StoredOp(
        str(entry.op_id), entry.n or 0, str(entry.rid), entry.entity, body, entry.hash, "applied"
    )
