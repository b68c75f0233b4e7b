"""Handlers as RxDB's documentation describes them, with bulk reads and writes for all comers.

There is no log, no validation and no membership here, which ours has: the comparison favours the
peer.
"""

import json
import time
from uuid import UUID

from django.db import transaction
from django.db.models import Q
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.views.decorators.csrf import csrf_exempt

from tests.benchmarks.sync.peer_server.models import Row


def blank(request: HttpRequest) -> HttpResponse:
    """A page to run in."""
    return HttpResponse("<!doctype html><title>blank</title>")


@csrf_exempt
@transaction.atomic
def push(request: HttpRequest, household: str) -> JsonResponse:
    """Store what was based on the current state; answer with the state of all others."""
    sent = {change["newDocumentState"]["id"]: change for change in json.loads(request.body)}
    known = {
        str(row.pk): row.document
        for row in Row.objects.filter(household=household, pk__in=list(sent))
    }
    conflicts = [
        known[rid]
        for rid, change in sent.items()
        if rid in known and known[rid] != change.get("assumedMasterState")
    ]
    refused = {document["id"] for document in conflicts}
    now = time.time_ns() // 1_000_000
    rows = [
        Row(id=UUID(rid), household=household, updated_at=now, document=change["newDocumentState"])
        for rid, change in sent.items()
        if rid not in refused
    ]
    Row.objects.bulk_create(
        rows,
        update_conflicts=True,
        unique_fields=["id"],
        update_fields=["updated_at", "document"],
    )
    return JsonResponse(conflicts, safe=False)


def pull(request: HttpRequest, household: str) -> JsonResponse:
    """The documents after a checkpoint, oldest change first."""
    asked = request.GET
    rows = Row.objects.filter(household=household).order_by("updated_at", "id")
    if "id" in asked:
        moment, last = int(asked["updated_at"]), UUID(asked["id"])
        rows = rows.filter(Q(updated_at__gt=moment) | Q(updated_at=moment, id__gt=last))
    page = list(rows[: int(asked["limit"])])
    checkpoint = {"updated_at": page[-1].updated_at, "id": str(page[-1].pk)} if page else None
    documents = [{**row.document, "_deleted": False} for row in page]
    return JsonResponse({"documents": documents, "checkpoint": checkpoint})


def count(request: HttpRequest, household: str) -> JsonResponse:
    return JsonResponse({"count": Row.objects.filter(household=household).count()})
