"""The story's freezer: packs bought when they run out, thawed, used, and counted once."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any
from uuid import UUID

from household.config.demo.book import Book, iso

PACKS_AHEAD = 2  # [-] Shopping buys this many times what the next use needs.
BOUGHT_DAYS_BEFORE = 3
MISSING_PACKS = 1  # [-] What the one count of the story finds gone.


@dataclass
class Lot:
    rid: UUID
    food: str
    pack_g: int
    left_g: int
    movements: list[UUID] = field(default_factory=list)


class Larder:
    """Keeps lots in step with the ledger it writes, so that stock never goes below nothing."""

    def __init__(self, book: Book, packs: Mapping[str, Mapping[str, Any]], currency: str) -> None:
        self._book = book
        self._packs = packs
        self._currency = currency
        self.lots: dict[str, list[Lot]] = {}

    def whole_packs_g(self, food: str, mass_g: float) -> int:
        """The mass nearest to one asked for that whole packs give [g]; any mass for loose food."""
        pack = self._packs.get(food)
        if pack is None:
            return max(1, round(mass_g) if mass_g < 50 else 5 * round(mass_g / 5))
        pack_g = int(pack["mass_g"])
        return pack_g * max(1, round(mass_g / pack_g))

    def stock(self, food: str, mass_g: int, *, day: int, by: str) -> Lot | None:
        """The lot to take from, bought before that day if need be; None for loose food."""
        pack = self._packs.get(food)
        if pack is None:
            return None
        for lot in self.lots.get(food, []):
            if lot.left_g >= mass_g:
                return lot
        return self._buy(food, pack, mass_g, day=day, by=by)

    def _buy(self, food: str, pack: Mapping[str, Any], mass_g: int, *, day: int, by: str) -> Lot:
        pack_g = int(pack["mass_g"])
        count = PACKS_AHEAD * -(-mass_g // pack_g)
        bought = day - BOUGHT_DAYS_BEFORE
        at = self._book.at(bought, "17:30")
        rid = self._book.create(
            "lot",
            {
                "food": food,
                "pack_mass_g": pack_g,
                "place": "freezer",
                "place_name": "Chest in the shed",
                "bought_on": self._book.day(bought).isoformat(),
                "frozen_on": self._book.day(bought).isoformat(),
                "price": {"minor": count * pack["price_minor"], "currency": self._currency},
                "seller": pack["seller"],
            },
            by=by,
            at=at,
        )
        lot = Lot(rid, food, pack_g, 0)
        self.lots.setdefault(food, []).append(lot)
        self.move(lot, "stored", count * pack_g, by=by, at=at + timedelta(minutes=1))
        return lot

    def move(
        self,
        lot: Lot,
        what: str,
        mass_g: int,
        *,
        by: str,
        at: datetime,
        batch: UUID | None = None,
        note: str | None = None,
    ) -> None:
        """Enter one movement of a lot."""
        if not self._book.has_happened(at):
            return
        rid = self._book.create(
            "movement",
            {
                "of": str(lot.rid),
                "what": what,
                "mass_g": mass_g,
                "at": iso(at),
                "batch": str(batch) if batch else None,
                "note": note,
            },
            by=by,
            at=at,
        )
        lot.movements.append(rid)
        lot.left_g += {"stored": mass_g, "thawed": 0}.get(what, -mass_g)

    def count(self, food: str, *, by: str, at: datetime) -> None:
        """Somebody counts the newest lot of a food and finds a pack less than the ledger says."""
        lot = self.lots[food][-1]
        lot.left_g = max(0, lot.left_g - MISSING_PACKS * lot.pack_g)
        self._book.create(
            "count",
            {
                "of": str(lot.rid),
                "counted_g": lot.left_g,
                "knew": [str(rid) for rid in lot.movements],
                "at": iso(at),
            },
            by=by,
            at=at,
        )
