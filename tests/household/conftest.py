"""A phone in the tests: it numbers its operations, pushes them and pulls what changed."""

import itertools
import json
import uuid
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Any

import pytest
from rest_framework.test import APIClient

from household.accounts.models import Member
from household.sync.envelope import read

NOW = 1_795_608_000_000  # 2026-11-25T12:00:00Z
Op = dict[str, Any]
_ids = itertools.count(1)


def new_id() -> str:
    """A version 7 UUID that no other test has, in the order of calls."""
    return str(uuid.UUID(int=NOW << 80 | 0x7 << 76 | 0x2 << 62 | next(_ids)))


def as_op(member: Member, entity: str, values: dict[str, Any], **more: Any) -> Op:
    """An operation as a device of its own writes it; a new record unless ``rid`` is given."""
    return {
        "op_id": new_id(),
        "household": str(member.household_id),
        "device_id": more.get("device_id") or new_id(),
        "n": 1,
        "author": str(member.pk),
        "schema": 1,
        "app": "test",
        "entity": entity,
        "rid": more.get("rid") or new_id(),
        "new": "rid" not in more,
        "set": values,
        "seen": {},
        "occurred_at": NOW,
        "tz": "Europe/London",
        "offset_ms": 0,
        **more,
    }


@dataclass
class Phone:
    """One device of one member. Nothing is sent before :meth:`push`."""

    client: APIClient
    member: Member
    device_id: str = field(default_factory=new_id)
    n: int = 0
    mark: dict[str, Any] | None = None
    cursor: int = 0

    @property
    def base(self) -> str:
        return f"/api/households/{self.member.household_id}/sync"

    def op(self, entity: str, values: dict[str, Any], **more: Any) -> Op:
        """An operation as this phone writes it; a new record unless ``rid`` is given."""
        self.n += 1
        numbered = {"device_id": self.device_id, "n": self.n, **more}
        return as_op(self.member, entity, values, **numbered)

    def send(self, body: Any, **headers: str) -> Any:
        return self.client.post(
            f"{self.base}/push",
            json.dumps(body),
            content_type="application/json",
            headers=heads(headers),
        )

    def push(self, *ops: Any, ask: Sequence[Any] = (), expect: int = 200) -> Any:
        """Push and return the reply; a good one moves the mark on."""
        response = self.send(
            {"mark": self.mark, "device_id": self.device_id, "ops": list(ops), "ask": list(ask)}
        )
        assert response.status_code == expect, response.content
        reply = response.json()
        if expect == 200:
            self.mark = reply["mark"]
        return reply

    def results(self, *ops: Any) -> list[Any]:
        results: list[Any] = self.push(*ops)["results"]
        return results

    def make(self, entity: str, values: dict[str, Any], **more: Any) -> Op:
        """Push a new record that must be applied; return its op."""
        op = self.op(entity, values, **more)
        assert [each["status"] for each in self.results(op)] == ["applied"]
        return op

    def page(self, *, expect: int = 200, **query: Any) -> Any:
        mark = self.mark and "{seq}.{token}.{role}".format(**self.mark)
        asked = {"cursor": self.cursor, **({"mark": mark} if mark else {}), **query}
        response = self.client.get(f"{self.base}/changes", asked, headers=heads({}))
        assert response.status_code == expect, response.content
        return response.json()

    def pull(self, **query: Any) -> dict[str, Any]:
        """All rows after the cursor, by rid."""
        rows: dict[str, Any] = {}
        while True:
            page = self.page(**query)
            rows.update({row["rid"]: row for row in page["rows"]})
            self.cursor, self.mark = page["cursor"], page["mark"]
            if not page["more"]:
                return rows

    def forget(self) -> None:
        """Start anew, as after a full reset of the base."""
        self.cursor, self.mark = 0, None

    def row(self, rid: str) -> Any:
        """A record as a fresh device gets it."""
        return Phone(self.client, self.member).pull()[rid]

    def hash(self, op: Op) -> str:
        return read(op, self.member.household_id).hash


def heads(more: dict[str, str]) -> dict[str, str]:
    return {"Sync-Protocol": "1", "Sync-Schema": "1", "X-Request-Id": "r-1", **more}


def dog_values(**more: Any) -> dict[str, Any]:
    return {"name": "Tansy", "breed": "whippet", **more}


LOT = {"food": "usda-05027", "pack_mass_g": 500}


@pytest.fixture(autouse=True)
def _frozen_receipt(monkeypatch: pytest.MonkeyPatch) -> None:
    """The server receives everything one second after the phones wrote it."""
    monkeypatch.setattr("household.sync.api.now_millis", lambda: NOW + 1000)


@pytest.fixture
def phone_of(client_of: Callable[[Member | None], APIClient]) -> Callable[[Member], Phone]:
    """A new phone for a member of the cast."""

    def build(member: Member) -> Phone:
        return Phone(client_of(member), member)

    return build


@pytest.fixture
def ines(cast: Any, phone_of: Callable[[Member], Phone]) -> Phone:
    """The owner's phone."""
    return phone_of(cast.ines)


@pytest.fixture
def callum(cast: Any, phone_of: Callable[[Member], Phone]) -> Phone:
    """The partner's phone."""
    return phone_of(cast.callum)


@pytest.fixture
def sitter(cast: Any, phone_of: Callable[[Member], Phone]) -> Phone:
    """The phone of Bettrys, who feeds and logs and plans nothing."""
    return phone_of(cast.bettrys)
