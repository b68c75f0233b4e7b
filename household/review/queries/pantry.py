"""What is in a serving: its foods and their grams, through bags and batches down to the tables."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from household.review.queries.records import Kitchen, Serving
from nutrition.composition import Food, totals
from nutrition.tables import load
from nutrition.windows import FoodMatrix, table_matrix


@dataclass(frozen=True)
class Make:
    """What one gram of something served is made of."""

    shares: tuple[tuple[Food, float], ...]
    # [-] The part of a gram of unknown composition: a food in no table, a batch not weighed in.
    unknown_share: float

    @cached_property
    def energy_kcal_per_g(self) -> float:
        """The energy of the known part of one gram [kcal/g]."""
        return totals(self.shares).energy_kcal or 0.0


UNKNOWN = Make((), 1.0)


class Pantry:
    """Looks servings up in one household's kitchen and in the published tables."""

    def __init__(self, kitchen: Kitchen) -> None:
        self._kitchen = kitchen
        self._foods: Mapping[str, Food] = {**load().foods, **kitchen.foods}
        self._made: dict[tuple[str, str], Make] = {}

    @cached_property
    def matrix(self) -> FoodMatrix:
        """The composition of every food there is, published and the household's own."""
        return table_matrix().joined(self._kitchen.foods.values())

    def make(self, serving: Serving) -> Make:
        """What one gram of this serving is made of."""
        if serving.food is not None:
            return self._food(serving.food)
        batch = serving.batch
        if serving.bag is not None:
            batch = self._kitchen.bag_batch.get(serving.bag)
        return self.batch(batch) if batch is not None else UNKNOWN

    def batch(self, rid: str) -> Make:
        """What one gram of a batch is made of."""
        key = ("batch", rid)
        if key not in self._made:
            self._made[key] = self._mix(rid)
        return self._made[key]

    def _food(self, key: str) -> Make:
        made = self._made.get(("food", key))
        if made is None:
            food = self._foods.get(key)
            made = UNKNOWN if food is None else Make(((food, 1.0),), 0.0)
            self._made["food", key] = made
        return made

    def _mix(self, rid: str) -> Make:
        batch = self._kitchen.batches.get(rid)
        put_in = sum(mass_g for _, mass_g in batch.parts) if batch else 0
        if batch is None or not put_in:
            return UNKNOWN
        # Cooking drives off water: a gram of the batch holds more than a gram of what went in.
        per_gram = 1 / (batch.made_g or put_in)
        known = tuple(
            (self._foods[key], mass_g * per_gram)
            for key, mass_g in batch.parts
            if key in self._foods
        )
        unknown_g = sum(mass_g for key, mass_g in batch.parts if key not in self._foods)
        return Make(known, unknown_g / put_in)
