"""One database: what pushes and pulls cost beside the floor, in turns. Prints JSON.

Run by tests.benchmarks.sync_server, which gives the environment.
"""

import json
import sys
from collections import defaultdict
from collections.abc import Callable

from tests.benchmarks.server_side.entries import Op
from tests.benchmarks.server_side.floor import Floor, body_model
from tests.benchmarks.server_side.phone import Phone, prepare_database

DOGS, LOTS = 4, 50
Times = dict[str, list[tuple[float, float]]]


def once(count: int, times: Times) -> None:
    """Every scenario once in a fresh household, the floor right after it."""

    def measure(name: str, ours: float, floor: float) -> None:
        times[name].append((ours, floor))

    phone, floor, by_record = Phone(), Floor(), Floor()
    dogs = phone.writer.dogs(DOGS)
    phone.push(dogs)
    made = phone.writer.weighings(dogs, count)
    measure("push new records", phone.push(made), floor.create(made))
    measure("push the same again", phone.push(made), floor.find(made))
    spent, rows = phone.pull()
    assert rows == count + DOGS, rows
    measure("pull all rows", spent, floor.give())
    by_record.update(made)  # What the edits and the deletes replace.
    edited, deleted = made[: count // 2], [*made[count // 2 :], *dogs]
    pairs: list[tuple[str, Callable[[], list[Op]]]] = [
        ("edit half of the records", lambda: phone.writer.edits(edited)),
        ("delete the other half", lambda: phone.writer.deletes(deleted)),
    ]
    for name, write in pairs:
        ops = write()
        measure(name, phone.push(ops), by_record.update(ops))
    lots = phone.writer.lots(LOTS)
    phone.push(lots)
    ledger = list(phone.writer.ledger(lots, count))
    measure("push movements and counts", phone.push(ledger), floor.create(ledger))


def main(count: int, repeats: int) -> int:
    prepare_database()
    body_model()
    once(min(count, 1000), defaultdict(list))  # Warms caches up.
    times: Times = defaultdict(list)
    for _ in range(repeats):
        once(count, times)
    print(json.dumps(times))
    return 0


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]), int(sys.argv[2])))
