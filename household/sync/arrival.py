"""Whether new operations may be folded onto a stored row instead of with all that came before.

A row keeps only heads. That is enough as long as every operation arrived after all those it had
seen: then none of the older ones, which the row no longer names, can have seen a new one. So each
record keeps the ids that its operations have seen and that have not arrived; should one of them
arrive after all, the record is folded from the log from then on.
"""

from collections.abc import Collection, Iterable, Mapping
from typing import Any

from household.sync.fold import FoldOp, heads_of

MOST_AWAITED = 50
"""A record that waits for more than these is folded from the log: usually it waits for none."""


def seen_by(op: FoldOp) -> set[str]:
    """All that an operation has seen, in whatever register."""
    return {op_id for ids in op.seen.values() for op_id in ids}


def heads_in(row: Mapping[str, Any]) -> set[str]:
    return {op_id for register in row["values"] for op_id in heads_of(row, register)}


def awaited_after(
    awaited: Collection[str], arrived: Iterable[str], ops: Iterable[FoldOp]
) -> set[str] | None:
    """What a record waits for after more operations, given in the order of their arrival.

    ``arrived`` are the older operations among those that the new ones have seen; more do no harm.
    None if one was awaited, so that the record must be folded from the log.
    """
    here, still = set(arrived), set(awaited)
    for op in ops:
        if op.op_id in still:
            return None
        here.add(op.op_id)
        still |= seen_by(op) - here
    return still
