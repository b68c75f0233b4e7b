"""The least that a server does for the same entries: read the JSON, keep each body in a table with
an index to fetch it by, give it back. It checks, merges and promises nothing."""

import gzip
import json
import uuid
from collections.abc import Sequence
from functools import cache
from time import perf_counter
from typing import Any

from django.db import connection, models, transaction

from tests.benchmarks.server_side.entries import Op, batches
from tests.benchmarks.server_side.phone import PAGE


@cache
def body_model() -> Any:
    """The one table; ``Any``, since the type checker knows no model made in a function."""

    class Body(models.Model):  # noqa: DJ008 - Nobody prints one.
        key = models.UUIDField(primary_key=True)
        household = models.UUIDField()
        seq = models.PositiveBigIntegerField()
        text = models.TextField()

        class Meta:
            app_label = "benchmarks"
            indexes = [models.Index(fields=["household", "seq"], name="body_by_seq")]

    with connection.schema_editor() as editor:
        editor.create_model(Body)
    return Body


class Floor:
    """A table of bodies, by operation or by record."""

    def __init__(self) -> None:
        self.household = uuid.uuid4()
        self.seq = 0

    def create(self, ops: Sequence[Op]) -> float:
        """Keep new bodies by op id [s]."""
        return sum(self._keep(_as_sent(batch), "op_id") for batch in batches(ops))

    def update(self, ops: Sequence[Op]) -> float:
        """Replace the bodies of records [s]."""
        return sum(self._keep(_as_sent(batch), "rid") for batch in batches(ops))

    def _keep(self, sent: bytes, key: str) -> float:
        start = perf_counter()
        with transaction.atomic():
            rows = []
            for op in json.loads(sent):
                self.seq += 1
                text = json.dumps(op, separators=(",", ":"), ensure_ascii=False)
                rows.append(
                    body_model()(
                        key=uuid.UUID(op[key]), household=self.household, seq=self.seq, text=text
                    )
                )
            if key == "op_id":
                body_model().objects.bulk_create(rows)
            else:
                body_model().objects.bulk_create(
                    rows,
                    update_conflicts=True,
                    unique_fields=["key"],
                    update_fields=["seq", "text"],
                )
        return perf_counter() - start

    def find(self, ops: Sequence[Op]) -> float:
        """Ask which of the bodies are there already [s]."""
        return sum(self._find(_as_sent(batch)) for batch in batches(ops))

    def _find(self, sent: bytes) -> float:
        start = perf_counter()
        ids = [uuid.UUID(op["op_id"]) for op in json.loads(sent)]
        found = body_model().objects.filter(key__in=ids).values_list("key", "seq")
        json.dumps([[str(key), seq] for key, seq in found])
        return perf_counter() - start

    def give(self) -> float:
        """All bodies in pages, read, written as JSON and compressed as ours are [s]."""
        start = perf_counter()
        cursor, more = 0, True
        while more:
            page = list(
                body_model()
                .objects.filter(household=self.household, seq__gt=cursor)
                .order_by("seq")
                .values_list("seq", "text")[:PAGE]
            )
            gzip.compress(json.dumps([json.loads(text) for _, text in page]).encode(), 6)
            more = len(page) == PAGE
            cursor = page[-1][0] if page else cursor
        return perf_counter() - start


def _as_sent(ops: Sequence[Op]) -> bytes:
    return json.dumps(ops, separators=(",", ":"), ensure_ascii=False).encode()
