"""Households and records made through the API, where a journey need not begin at the door."""

import http.cookiejar
import json
import secrets
import time
import urllib.error
import urllib.request
import uuid
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

PASSWORD = "three odd words"  # Of people who do not exist.
ZONE = "Europe/London"


def uuid7() -> str:
    """A version 7 UUID: the milliseconds since 1970, then chance."""
    value = time.time_ns() // 1_000_000 << 80 | secrets.randbits(80)
    value = value & ~(0xF << 76) | 7 << 76
    return str(uuid.UUID(int=value & ~(0x3 << 62) | 0x2 << 62))


def email_of(name: str) -> str:
    """An address nobody else in the suite has."""
    return f"{name.lower()}-{secrets.token_hex(4)}@example.invalid"


class Refused(Exception):
    """The server said no."""

    def __init__(self, status: int, body: Any) -> None:
        super().__init__(f"{status}: {body}")
        self.status = status
        self.body = body


@dataclass
class Api:
    """One person at a script: cookies of their own, and the token that changes must carry."""

    url: str
    email: str = ""
    session: dict[str, Any] = field(default_factory=dict)
    jar: http.cookiejar.CookieJar = field(default_factory=http.cookiejar.CookieJar)
    device: str = field(default_factory=uuid7)
    n: int = 0

    def ask(self, method: str, path: str, body: Any = None, **headers: str) -> Any:
        data = None if body is None else json.dumps(body).encode()
        request = urllib.request.Request(self.url + path, data, method=method)
        request.add_header("Content-Type", "application/json")
        request.add_header("X-CSRFToken", self.session.get("csrf_token", ""))
        for name, value in headers.items():
            request.add_header(name.replace("_", "-"), value)
        opener = urllib.request.build_opener(urllib.request.HTTPCookieProcessor(self.jar))
        try:
            with opener.open(request, timeout=30) as reply:
                text = reply.read()
        except urllib.error.HTTPError as error:
            raise Refused(error.code, error.read().decode(errors="replace")) from None
        return json.loads(text) if text else None

    def sign_up(self, name: str, **more: str) -> "Api":
        """With `household_name` a new household, with `invitation` into one."""
        self.email = email_of(name)
        self.session = self.ask("GET", "/api/session")
        person = {"name": name, "email": self.email, "password": PASSWORD, "time_zone": ZONE}
        self.session = self.ask("POST", "/api/sign-up", {**person, **more})
        return self

    def sign_in(self, email: str) -> "Api":
        self.email = email
        self.session = self.ask("GET", "/api/session")
        given = {"email": email, "password": PASSWORD}
        self.session = self.ask("POST", "/api/sign-in", given)
        return self

    @property
    def household(self) -> str:
        return str(self.session["households"][0]["id"])

    @property
    def member(self) -> str:
        return str(self.session["households"][0]["member_id"])

    @property
    def at_home(self) -> str:
        return f"/api/households/{self.household}"

    @property
    def cookies(self) -> list[tuple[str, str]]:
        return [(cookie.name, cookie.value or "") for cookie in self.jar]

    def _sync(self, method: str, path: str, body: Any = None) -> Any:
        headers = {"Sync_Protocol": "1", "Sync_Schema": "1", "X_Request_Id": uuid7()}
        return self.ask(method, f"{self.at_home}/sync/{path}", body, **headers)

    def op(
        self,
        entity: str,
        values: Mapping[str, Any],
        *,
        rid: str | None = None,
        seen: Mapping[str, list[str]] | None = None,
    ) -> dict[str, Any]:
        """An entry as a phone would write it; a new record unless it says what it had seen."""
        self.n += 1
        return {
            "op_id": uuid7(),
            "household": self.household,
            "device_id": self.device,
            "n": self.n,
            "author": self.member,
            "schema": 1,
            "app": "script",
            "entity": entity,
            "rid": rid or uuid7(),
            "new": seen is None,
            "set": dict(values),
            "seen": dict(seen or {}),
            "occurred_at": time.time_ns() // 1_000_000,
            "tz": ZONE,
            "offset_ms": 0,
        }

    def push(self, ops: Sequence[Mapping[str, Any]]) -> None:
        body = {"mark": None, "device_id": self.device, "ops": list(ops), "ask": []}
        reply = self._sync("POST", "push", body)
        refused = [result for result in reply["results"] if result["status"] != "applied"]
        assert not refused, refused

    def make(self, entity: str, **values: Any) -> str:
        """Writes a new record; returns its id."""
        op = self.op(entity, values)
        self.push([op])
        return str(op["rid"])

    def rows(self, entity: str | None = None) -> list[dict[str, Any]]:
        """All that the household has, of one kind or of all; what was deleted is left out."""
        found: list[dict[str, Any]] = []
        cursor, more = 0, True
        while more:
            reply = self._sync("GET", f"changes?cursor={cursor}&limit=1000")
            found += reply["rows"]
            cursor, more = reply["cursor"], reply["more"]
        return [row for row in found if not row["gone"] and entity in (None, row["entity"])]

    def masses(self) -> list[int]:
        """What all weighings say, in grams."""
        return sorted(row["values"]["mass_g"] for row in self.rows("weighing"))

    def row(self, rid: str) -> dict[str, Any]:
        return next(row for row in self.rows() if row["rid"] == rid)

    def edit(self, rid: str, **values: Any) -> None:
        """Changes a record, having seen all that it says now."""
        row = self.row(rid)
        seen = {name: heads(row, name) for name in values if name in row["values"]}
        self.push([self.op(row["entity"], values, rid=rid, seen=seen)])

    def delete(self, rid: str) -> None:
        row = self.row(rid)
        seen = {name: heads(row, name) for name in row["values"]}
        self.push([self.op(row["entity"], {"deleted": True}, rid=rid, seen=seen)])


def heads(row: Mapping[str, Any], register: str) -> list[str]:
    """What an entry about this register has seen, if its author saw the row."""
    given = row["heads"].get(register)
    return [row["op"]] if given is None else [head[0] for head in given]
