"""A household of its own and a device in it, which talks to the real addresses."""

import gzip
import json
import uuid
from collections.abc import Sequence
from time import perf_counter
from typing import Any

from django.core.management import call_command
from django.test import Client

from household.accounts.models import Household, Member, User
from tests.benchmarks.server_side.entries import Op, Writer, batches, body_of

HEADERS = {
    "Sync-Protocol": "1",
    "Sync-Schema": "1",
    "X-Request-Id": "r-1",
    "Accept-Encoding": "gzip",  # As every browser asks.
}
PAGE = 1000


def prepare_database() -> None:
    call_command("migrate", interactive=False, verbosity=0)


def new_member(household: Household, role: str = "owner") -> Member:
    user = User.objects.create(
        email=f"{uuid.uuid4().hex}@larch-row.example", name="Ines", password="!"
    )
    return Member.objects.create(household=household, user=user, role=role)


class Phone:
    """Sends batches and fetches pages in this process; every answer must be good."""

    def __init__(self) -> None:
        household = Household.objects.create(name="Larch Row")
        self.member = new_member(household)
        self.writer = Writer(str(household.pk), str(self.member.pk))
        self.client = Client(SERVER_NAME="localhost")
        self.client.force_login(self.member.user)
        self.base = f"/api/households/{household.pk}/sync"
        self.mark: dict[str, Any] | None = None

    def push(self, ops: Sequence[Op]) -> float:
        """How long the server takes for the operations, in batches [s]."""
        return sum(self._push(batch) for batch in batches(ops))

    def _push(self, ops: Sequence[Op]) -> float:
        body = body_of(self.writer, ops, self.mark)
        start = perf_counter()
        response = self.client.post(
            f"{self.base}/push", body, content_type="application/json", headers=HEADERS
        )
        spent = perf_counter() - start
        assert response.status_code == 200, response.content
        reply = read_json(response)
        refused = [each for each in reply["results"] if each["status"] != "applied"]
        assert not refused, refused[0]
        self.mark = reply["mark"]
        return spent

    def pull(self) -> tuple[float, int]:
        """How long the server takes for all pages [s], and how many rows they have."""
        cursor, more, rows, spent = 0, True, 0, 0.0
        while more:
            took, page = self.page(cursor)
            cursor, more = page["cursor"], page["more"]
            rows, spent = rows + len(page["rows"]), spent + took
        return spent, rows

    def page(self, cursor: int) -> tuple[float, Any]:
        """How long the server takes for the rows after the cursor [s], and its reply."""
        start = perf_counter()
        response = self.client.get(
            f"{self.base}/changes", {"cursor": cursor, "limit": PAGE}, headers=HEADERS
        )
        spent = perf_counter() - start
        assert response.status_code == 200, response.content
        return spent, read_json(response)


def read_json(response: Any) -> Any:
    content = response.content
    if response.headers.get("Content-Encoding") == "gzip":
        content = gzip.decompress(content)
    return json.loads(content)
