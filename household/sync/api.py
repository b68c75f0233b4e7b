"""The calls of sync: push, changes, the first look and a record's history. Shapes are checked
here, meaning in actions."""

import re
from typing import Any
from uuid import UUID

from django.utils import timezone
from drf_spectacular.utils import OpenApiParameter, extend_schema
from rest_framework.renderers import JSONRenderer
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from household.accounts.models import User
from household.accounts.queries import member_for
from household.accounts.serializers import ApiErrorSerializer
from household.sync import actions, queries, registry
from household.sync.errors import Malformed, ProtocolUnknown, SchemaTooNew, TooLarge
from household.sync.first import first_look
from household.sync.instants import now_millis, to_millis
from household.sync.queries import START_TOKEN, Mark
from household.sync.serializers import (
    MAX_OPS,
    ChangesReplySerializer,
    FirstReplySerializer,
    HistoryReplySerializer,
    PushReplySerializer,
    PushSerializer,
)
from household.sync.validation import is_uuid
from household.sync.wording import shown

MAX_ASKED = 5000
MAX_BYTES = 4_000_000
MAX_ROWS = 2000
DEFAULT_ROWS = 1000
MAX_DEEDS = 500
DEFAULT_DEEDS = 100
HASH = re.compile(r"[0-9a-f]{64}")
TOKEN = re.compile(r"[0-9a-f]{1,32}|-")
REQUEST_ID = re.compile(r"[0-9A-Za-z-]{1,64}")
ERRORS = dict.fromkeys((400, 403, 404, 410, 413, 426), ApiErrorSerializer)


class SyncView(APIView):
    """Names the protocol and gives the request's id back on every answer, errors too.

    A device takes only such an answer for ours: a portal's page or a proxy's error has neither.
    """

    def initial(self, request: Request, *args: Any, **kwargs: Any) -> None:
        super().initial(request, *args, **kwargs)
        protocol = request.headers.get("Sync-Protocol")
        if protocol != str(registry.PROTOCOL):
            raise ProtocolUnknown(
                f"The header Sync-Protocol is {shown(protocol)}; "
                f"this server speaks {registry.PROTOCOL}. Update the app or the server."
            )
        schema = _whole(request.headers.get("Sync-Schema"), "Sync-Schema")
        if schema > registry.SCHEMA:
            raise SchemaTooNew(actions.too_new(schema))

    def finalize_response(
        self, request: Request, response: Any, *args: Any, **kwargs: Any
    ) -> Response:
        finished: Response = super().finalize_response(request, response, *args, **kwargs)
        finished["Sync-Protocol"] = str(registry.PROTOCOL)
        finished["X-Request-Id"] = request_id(request)
        finished["Cache-Control"] = "no-store"
        if isinstance(finished.data, dict):
            finished.data["request_id"] = request_id(request)
        return finished


class PushView(SyncView):
    @extend_schema(
        request=PushSerializer,
        responses={200: PushReplySerializer, **ERRORS},
        operation_id="sync_push",
    )
    def post(self, request: Request, household_id: UUID) -> Response:
        member_for(request.user, household_id)
        body = _body(request)
        user = request.user
        assert isinstance(user, User)
        now = now_millis()
        pushed = actions.push(
            user,
            household_id,
            raw_ops=body["ops"],
            asked=[_asked(entry) for entry in body["ask"]],
            mark=_mark_object(body.get("mark")),
            received_at=now,
        )
        return Response(
            {
                "results": pushed.results,
                "asked": pushed.asked,
                "mark": pushed.mark.as_json(),
                "server_time": now,
            }
        )


class RowsRenderer(JSONRenderer):
    """Puts the rows, which are JSON already, into the reply as they are."""

    def render(self, data: Any, *args: Any, **kwargs: Any) -> bytes:
        if "rows" not in data:  # A refusal.
            return super().render(data, *args, **kwargs)
        rows = ",".join(data["rows"]).encode()
        others = {name: value for name, value in data.items() if name != "rows"}
        return b'{"rows":[' + rows + b"]," + super().render(others, *args, **kwargs)[1:]


class ChangesView(SyncView):
    renderer_classes = [RowsRenderer]

    @extend_schema(
        parameters=[
            OpenApiParameter(
                "cursor", int, description="The seq after which rows are wanted; 0 at first"
            ),
            OpenApiParameter("mark", str, description="seq.token.role of the newest entry known"),
            OpenApiParameter("limit", int, description=f"Rows per page, 1 to {MAX_ROWS}"),
        ],
        responses={200: ChangesReplySerializer, **ERRORS},
        operation_id="sync_changes",
    )
    def get(self, request: Request, household_id: UUID) -> Response:
        asked = request.query_params
        limit = _limit(asked.get("limit", str(DEFAULT_ROWS)), MAX_ROWS)
        cursor = _whole(asked.get("cursor", "0"), "cursor")
        mark = _mark_text(asked.get("mark", ""))
        with queries.snapshot():
            member = member_for(request.user, household_id)
            page = queries.changes(member, cursor=cursor, mark=mark, limit=limit)
        return Response(
            {
                "rows": page.rows,
                "cursor": page.cursor,
                "more": page.more,
                "mark": page.mark.as_json(),
                "server_time": now_millis(),
            }
        )


class HistoryView(SyncView):
    """What was done to one record, the newest first: who, when, and from what to what."""

    @extend_schema(
        parameters=[
            OpenApiParameter("before", int, description="The seq below which to go on; none first"),
            OpenApiParameter("limit", int, description=f"Operations per page, 1 to {MAX_DEEDS}"),
        ],
        responses={200: HistoryReplySerializer, **ERRORS},
        operation_id="sync_history",
    )
    def get(self, request: Request, household_id: UUID, rid: UUID) -> Response:
        asked = request.query_params
        limit = _limit(asked.get("limit", str(DEFAULT_DEEDS)), MAX_DEEDS)
        before = _whole(asked["before"], "before") if "before" in asked else None
        with queries.snapshot():
            member = member_for(request.user, household_id)
            page = queries.history(member, rid, before=before, limit=limit)
        return Response(
            {
                "rid": str(rid),
                "entity": page.entity,
                "deeds": page.deeds,
                "more": page.more,
                "server_time": now_millis(),
            }
        )


class FirstView(SyncView):
    renderer_classes = [RowsRenderer]

    @extend_schema(responses={200: FirstReplySerializer, **ERRORS}, operation_id="sync_first")
    def get(self, request: Request, household_id: UUID) -> Response:
        now = timezone.now()
        with queries.snapshot():
            rows = first_look(member_for(request.user, household_id), now=now)
        return Response({"rows": rows, "server_time": to_millis(now)})


def request_id(request: Request) -> str:
    given = request.headers.get("X-Request-Id", "")
    return given if REQUEST_ID.fullmatch(given) else ""


def _body(request: Request) -> dict[str, Any]:
    size = int(request.META.get("CONTENT_LENGTH") or 0)
    if size > MAX_BYTES:
        raise TooLarge(f"The request has {size} bytes; allowed: {MAX_BYTES}. Send fewer entries.")
    body = request.data
    if not isinstance(body, dict):
        raise Malformed("The body must be an object with mark, device_id, ops and ask.")
    ops, ask = body.setdefault("ops", []), body.setdefault("ask", [])
    if not isinstance(ops, list) or not isinstance(ask, list):
        raise Malformed("ops and ask must be lists.")
    if not is_uuid(body.get("device_id")):
        raise Malformed(f"device_id must be a UUID; {shown(body.get('device_id'))} was given.")
    if not ops and not ask:
        raise Malformed("Nothing was sent: give at least one op, or one to ask about.")
    for name, given, most in (("ops", ops, MAX_OPS), ("ask", ask, MAX_ASKED)):
        if len(given) > most:
            raise TooLarge(f"{name} has {len(given)} entries; allowed: {most}. Send fewer at once.")
    return body


def _asked(entry: Any) -> tuple[UUID, str]:
    if isinstance(entry, dict):
        op_id, digest = entry.get("op_id"), entry.get("hash")
        if is_uuid(op_id) and isinstance(digest, str) and HASH.fullmatch(digest):
            return UUID(op_id), digest
    raise Malformed(f"An entry of ask needs op_id and hash; {shown(entry)} was given.")


def _mark_object(given: Any) -> Mark | None:
    if given is None:
        return None
    if not isinstance(given, dict):
        raise Malformed(f"mark must be null or an object; {shown(given)} was given.")
    return _mark(given.get("seq"), given.get("token"), given.get("role"), given)


def _mark_text(given: str) -> Mark | None:
    if not given:
        return None
    seq, _, rest = given.partition(".")
    token, _, role = rest.partition(".")
    return _mark(int(seq) if seq.isdecimal() and len(seq) < 20 else None, token, role, given)


def _mark(seq: Any, token: Any, role: Any, given: Any) -> Mark:
    sound = (
        isinstance(seq, int)
        and not isinstance(seq, bool)
        and 0 <= seq < 2**63
        and isinstance(token, str)
        and TOKEN.fullmatch(token)
        and isinstance(role, str)
    )
    if not sound:
        raise Malformed(
            f"mark {shown(given)} cannot be read. Give back the one of the last reply "
            f"(seq.token.role in an address; the token of an empty log is {START_TOKEN})."
        )
    return Mark(seq, token, role)


def _limit(given: str, most: int) -> int:
    limit = _whole(given, "limit")
    if not 1 <= limit <= most:
        raise Malformed(f"limit is {limit}; allowed: 1 to {most}.")
    return limit


def _whole(given: str | None, name: str) -> int:
    if given is None or not given.isdecimal() or len(given) > 18:
        raise Malformed(f"{name} must be a whole number from 0; {shown(given)} was given.")
    return int(given)
