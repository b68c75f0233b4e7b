"""How much is in a lot or a bag, from its movements and counts alone."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

EFFECT = {"stored": 1, "used": -1, "discarded": -1, "thawed": 0, "refrozen": 0}
"""What a movement does to the stock; thawing and freezing again change the place only."""

RIVAL_COUNTS = "rival_counts"
NEGATIVE_STOCK = "negative_stock"


@dataclass(frozen=True)
class LedgerMovement:
    """A movement that is not deleted. ``mass_g`` [g] is positive whatever it does."""

    rid: UUID
    what: str
    mass_g: int


@dataclass(frozen=True)
class LedgerCount:
    """A count that is not deleted; ``knew`` are the movements and counts it took into account."""

    rid: UUID
    counted_g: int
    knew: Collection[UUID]
    at: datetime


@dataclass(frozen=True)
class Stock:
    """What is in store [g], the count it rests on, and whether people should look at it."""

    mass_g: int
    count: UUID | None
    has_rivals: bool

    @property
    def flags(self) -> set[str]:
        flags = {RIVAL_COUNTS} if self.has_rivals else set()
        return flags | {NEGATIVE_STOCK} if self.mass_g < 0 else flags


def stock_of(
    movements: Sequence[LedgerMovement], counts: Sequence[LedgerCount], *, packed_g: int = 0
) -> Stock:
    """The stock by the ledger.

    The count that no other count knew holds, plus the movements it did not know; without a count,
    all movements. Where several counts knew nothing of each other, the latest (then the greatest
    id) holds and the rest are rivals. Differences are never added up: two people counting the same
    shelf would correct it twice.

    Parameters
    ----------
    movements, counts : sequences
        All entries of one lot or bag that are not deleted, in any order.
    packed_g : int
        What bags held when they were packed [g]. A lot starts empty; bags start full, unless an
        entry says how much was stored.

    Returns
    -------
    Stock
        ``mass_g`` [g] may be negative: something was used that nobody stored.
    """
    held = _unsuperseded(counts)
    if not held:
        start_g = 0 if any(each.what == "stored" for each in movements) else packed_g
        return Stock(start_g + sum(map(_effect_g, movements)), None, False)
    count = max(held, key=lambda each: (each.at, str(each.rid)))
    unknown_g = sum(_effect_g(movement) for movement in movements if movement.rid not in count.knew)
    return Stock(count.counted_g + unknown_g, count.rid, len(held) > 1)


def _effect_g(movement: LedgerMovement) -> int:
    return EFFECT[movement.what] * movement.mass_g


def _unsuperseded(counts: Sequence[LedgerCount]) -> Sequence[LedgerCount]:
    known = {rid for count in counts for rid in count.knew if rid != count.rid}
    # Counts that claim to have known each other leave none; then none of them has the last word.
    return [count for count in counts if count.rid not in known] or counts
