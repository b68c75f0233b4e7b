"""`python -m tests.household.sync.lone_push`: pushes one batch from a process of its own, to be
killed in the middle of it.

Reads `{"user", "household", "ops"}` as JSON from standard input. A trigger of the test may call the
function `stand_still`, which says "inside" on standard output and never returns.
"""

import json
import sys
import time
from uuid import UUID

import django


def stand_still() -> None:
    print("inside", flush=True)
    time.sleep(600)


def main() -> None:
    django.setup()
    from django.db import connection

    from household.accounts.models import User
    from household.sync.actions import push

    given = json.load(sys.stdin)
    connection.ensure_connection()
    if connection.vendor == "sqlite":
        connection.connection.create_function("stand_still", 0, stand_still)
    push(
        User.objects.get(pk=given["user"]),
        UUID(given["household"]),
        raw_ops=given["ops"],
        asked=[],
        mark=None,
        received_at=time.time_ns() // 1_000_000,
    )
    print("done", flush=True)


if __name__ == "__main__":
    main()
