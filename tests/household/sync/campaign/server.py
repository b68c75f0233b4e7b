"""The real server under the campaign: two ways to reach it, its members, backups and upgrades."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import cache
from typing import Any, Protocol
from uuid import UUID

import pytest
from django.db import connection, models
from django.http import Http404
from rest_framework.test import APIClient

from household.accounts.errors import NotMember, Refusal
from household.accounts.models import Household, Member, User
from household.sync import actions, guards, projection, queries, registry
from household.sync.models import Op, Record
from household.sync.queries import Mark
from tests.household.sync.campaign.ids import Ids
from tests.household.sync.campaign.syncing import NOT_FOUND, UPGRADE, Answer, Request

HOUSEHOLD = UUID(Ids.of(1 << 48))
ROLES = ("owner", "partner", "partner")


@dataclass(frozen=True)
class Person:
    """Somebody with an account and a session that is signed in."""

    user: User
    client: APIClient


class Transport(Protocol):
    """A way to reach the server as a person."""

    def prepare(self, patch: pytest.MonkeyPatch) -> None: ...

    def answer(self, person: Person, request: Request, now: int) -> Answer: ...


class Endpoints:
    """The real addresses, through Django's whole stack."""

    base = f"/api/households/{HOUSEHOLD}/sync"

    def prepare(self, patch: pytest.MonkeyPatch) -> None:
        """Nothing is changed: this is the server as it runs."""

    def answer(self, person: Person, request: Request, now: int) -> Answer:
        headers = {"Sync-Protocol": "1", "Sync-Schema": str(request.schema), "X-Request-Id": "c-1"}
        if request.body is not None:
            response = person.client.post(
                f"{self.base}/push",
                json.dumps(request.body),
                content_type="application/json",
                headers=headers,
            )
        else:
            mark = request.position.mark
            asked = {"cursor": str(request.position.cursor), "limit": str(request.limit)}
            if mark:
                asked["mark"] = "{seq}.{token}.{role}".format(**mark)
            response = person.client.get(f"{self.base}/changes", asked, headers=headers)
        return Answer(response.status_code, response.json())


class Actions:
    """The same functions behind the addresses, called directly: several times as fast.

    Only who is a member is looked up here, without joining people and household each time.
    """

    def prepare(self, patch: pytest.MonkeyPatch) -> None:
        patch.setattr("household.sync.actions.member_for", plain_member)

    def answer(self, person: Person, request: Request, now: int) -> Answer:
        if request.schema > registry.SCHEMA:
            return Answer(UPGRADE, {"code": "schema_too_new", "fields": {}})
        try:
            if request.body is not None:
                return Answer(200, self._push(person.user, request.body, now))
            return Answer(200, self._changes(person.user, request))
        except Refusal as refusal:
            return Answer(refusal.status, {"code": refusal.code, "fields": refusal.fields})
        except Http404:
            return Answer(NOT_FOUND, {"code": "not_found", "fields": {}})

    def _push(self, user: User, body: Mapping[str, Any], now: int) -> dict[str, Any]:
        pushed = actions.push(
            user,
            HOUSEHOLD,
            raw_ops=body["ops"],
            asked=[(UUID(each["op_id"]), each["hash"]) for each in body["ask"]],
            mark=_mark(body["mark"]),
            received_at=now,
        )
        mark = pushed.mark.as_json()
        return {"results": pushed.results, "asked": pushed.asked, "mark": mark}

    def _changes(self, user: User, request: Request) -> dict[str, Any]:
        at = request.position
        page = queries.changes(
            plain_member(user, HOUSEHOLD),
            cursor=at.cursor,
            mark=_mark(at.mark),
            limit=request.limit,
        )
        rows = [json.loads(row) for row in page.rows]
        found = {"rows": rows, "cursor": page.cursor, "more": page.more}
        return {**found, "mark": page.mark.as_json()}


def plain_member(user: User, household_id: UUID) -> Member:
    """As member_for, without the rows of person and household beside it."""
    member = Member.objects.filter(household_id=household_id, user=user).first()
    if member is None:
        raise Http404
    if member.is_removed:
        raise NotMember
    return member


def _mark(given: Mapping[str, Any] | None) -> Mark | None:
    return None if given is None else Mark(**given)


@dataclass(frozen=True)
class Backup:
    """Every row of the household, as a copy of the database holds it."""

    seq: int
    rows: Mapping[str, Sequence[tuple[Any, ...]]]


class Server:
    """The household at the server. Restoring brings back members and roles as well."""

    def __init__(self, people: Sequence[Person], transport: Transport) -> None:
        self.people, self.transport = people, transport
        Household.objects.create(pk=HOUSEHOLD, name="Larch Row", time_zone="Europe/London")
        for index, (person, role) in enumerate(zip(people, ROLES, strict=True)):
            Member.objects.create(
                pk=self.member_id(index), household_id=HOUSEHOLD, user=person.user, role=role
            )

    @staticmethod
    def member_id(index: int) -> str:
        return Ids.of((1 << 48) + 1 + index)

    def answer(self, request: Request, now: int) -> Answer:
        return self.transport.answer(self.people[request.phone], request, now)

    # Members

    def member(self, index: int) -> Member:
        return Member.objects.get(pk=self.member_id(index))

    def set_role(self, index: int, role: str) -> None:
        Member.objects.filter(pk=self.member_id(index)).update(role=role)

    def remove(self, index: int) -> None:
        Member.objects.filter(pk=self.member_id(index)).update(removed_at=datetime.now(UTC))

    def invite_again(self, index: int, role: str) -> None:
        """As accept_invitation does for a past member."""
        member = Member.objects.filter(pk=self.member_id(index))
        member.update(role=role, removed_at=None)

    # Backups, copied in plain SQL: it knows of no rule but the guards and the constraints.

    def backup(self) -> Backup:
        household = Household.objects.get(pk=HOUSEHOLD)
        rows = {}
        with connection.cursor() as cursor:
            for model in _tables():
                cursor.execute(f"SELECT * FROM {model._meta.db_table} WHERE {self._here}")
                rows[model._meta.db_table] = cursor.fetchall()
        return Backup(household.seq, rows)

    def restore(self, backup: Backup) -> None:
        """Put every row of the household back; the guards come last, as after any restore."""
        guards.drop(connection)
        with connection.cursor() as cursor:
            for model in reversed(_tables()):
                cursor.execute(f"DELETE FROM {model._meta.db_table} WHERE {self._here}")
            Household.objects.filter(pk=HOUSEHOLD).update(seq=backup.seq)
            for table, rows in backup.rows.items():
                if rows:
                    places = ", ".join(["%s"] * len(rows[0]))
                    cursor.executemany(f"INSERT INTO {table} VALUES ({places})", rows)
        guards.create(connection)

    @property
    def _here(self) -> str:
        key = HOUSEHOLD.hex if connection.vendor == "sqlite" else HOUSEHOLD
        return f"household_id = '{key}'"

    # The log

    def log(self) -> list[Op]:
        return list(Op.objects.filter(household_id=HOUSEHOLD).order_by("seq"))

    def rows(self) -> dict[str, dict[str, Any]]:
        """Every row state, as a member who may see everything receives it."""
        records = Record.objects.filter(household_id=HOUSEHOLD)
        return {str(record.rid): json.loads(record.as_sent()) for record in records}


@cache
def _tables() -> list[type[models.Model]]:
    """In an order in which the guards let the rows in: log, row states, typed rows."""
    entities = sorted(registry.all_kinds(), key=registry.level)
    return [Member, Op, Record, *(projection.model_of(entity) for entity in entities)]
