"""One database that a single household fills up to a number of records. Told "go", by a line on its
input, it measures once and prints JSON; its parent lets several of them take turns.

Run by tests.benchmarks.sync_server, which gives the environment.
"""

import json
import sys
import tracemalloc
from typing import Any

from django.db import connection

from tests.benchmarks.server_side.entries import BATCH, Op
from tests.benchmarks.server_side.phone import PAGE, Phone, prepare_database


class Grown:
    """A household with so many weighings of one dog."""

    def __init__(self, records: int) -> None:
        self.phone = Phone()
        self.dogs = self.phone.writer.dogs(1)
        self.phone.push(self.dogs)
        self.last: list[Op] = []
        for _ in range(max(records // BATCH, 1)):
            self.last = self.phone.writer.weighings(self.dogs, BATCH)
            self.phone.push(self.last)
        self.seq = self.phone.mark["seq"] if self.phone.mark else 0
        with connection.cursor() as cursor:
            cursor.execute("ANALYZE")  # PostgreSQL does it by itself within a minute.

    def once(self) -> dict[str, float]:
        """Seconds for a batch of each kind, and for a page in the middle of all rows."""
        made = self.phone.writer.weighings(self.dogs, BATCH)
        spent = {"push new records": self.phone.push(made)}
        spent["push the same again"] = self.phone.push(made)
        edits = self.phone.writer.edits(made)
        spent["edit"] = self.phone.push(edits)
        spent["pull a page"] = self.phone.page(self.seq // 2)[0]
        return spent

    def page_memory(self) -> int:
        """The most bytes that Python holds for a page, beyond what it held before."""
        tracemalloc.start()
        self.phone.page(0)
        peak = tracemalloc.get_traced_memory()[1]
        tracemalloc.stop()
        return peak


def main(records: int) -> int:
    prepare_database()
    grown = Grown(records)
    grown.once()
    answer: Any = {"ready": records, "page": PAGE, "memory": grown.page_memory()}
    print(json.dumps(answer), flush=True)
    for line in sys.stdin:
        if line.strip() == "go":
            print(json.dumps(grown.once()), flush=True)
    return 0


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1])))
