"""Cuts with bone: boneless part and fresh bone, mixed by a published share."""

from collections.abc import Iterable
from dataclasses import dataclass

from nutrition.errors import InputError
from nutrition.food import Food, Provenance
from nutrition.nutrients import load_nutrients

BONE_GROUP = "bone_in"


def cut_with_bone(
    *,
    key: str,
    name: str,
    boneless: Food,
    bone: Food,
    bone_share: float,
    lowest_share: float | None = None,
    highest_share: float | None = None,
    keeping_class: str | None = None,
    bone_source: str = "",
    group: str = BONE_GROUP,
    verified: str = "computed",
) -> Food:
    """Return a cut as fed: (1 - b) of its boneless part and b of fresh bone.

    Parameters
    ----------
    key, name : str
        Key and name of the cut [-].
    boneless, bone : Food
        Composition of the two parts [per 100 g].
    bone_share : float
        Share b of the weight that is bone [g/g], 0 to 1.
    lowest_share, highest_share : float or None
        Range of b where a source gives one [g/g].
    keeping_class : str or None
        Class in the cold-storage table [-].
    bone_source : str
        Where b comes from [-].
    group : str
        Group of the cut [-]; one that is not of the cuts with bone (an egg with its shell) has
        the share worked in, but is not said to hold bone.
    verified : str
        How b was come by [-]: read, memory or computed.

    Returns
    -------
    Food
        A value is known where both parts know it; where one part knows it that part is the
        least, and the other part's ceiling makes the most.

    Raises
    ------
    InputError
        If a share is outside 0 to 1 or the range does not hold it.

    Notes
    -----
    USDA refuse shares count wet bone with cartilage and clinging tissue: pair them with the
    composition of refuse bone, never with that of cleaned bone.

    The energy counts the protein and fat of bone like those of meat. Marrow fat and chewed
    collagen are digested, splinters that pass are not, and no share is published for dogs: the
    energy therefore has a range, from none of the bone's energy to all of it.
    """
    lowest = bone_share if lowest_share is None else lowest_share
    highest = bone_share if highest_share is None else highest_share
    if not 0 <= lowest <= bone_share <= highest <= 1:
        raise InputError(
            f"{name}: the bone share is {bone_share}, from {lowest} to {highest}; shares lie "
            "between 0 and 1 and the range holds the share.",
            fields=("bone_share",),
        )
    parts = _CutParts(boneless, bone, bone_share, lowest, highest)
    values, low, high, gap = parts.amounts(tuple(load_nutrients()))
    return Food(
        key=key,
        name=name,
        group=group,
        style="raw",
        energy_kcal_per_100g=parts.mix(
            boneless.energy_kcal_per_100g, bone.energy_kcal_per_100g, bone_share
        ),
        energy_method="atwater",
        values=values,
        low=low,
        high=high,
        gap=gap,
        keeping_class=keeping_class,
        source=boneless.source,
        locator=boneless.locator,
        bone_share=bone_share if group == BONE_GROUP else None,
        bone_source=bone_source,
        energy_lowest_kcal_per_100g=(1 - highest) * boneless.energy_kcal_per_100g,
        energy_highest_kcal_per_100g=max(
            parts.mix(boneless.energy_kcal_per_100g, bone.energy_kcal_per_100g, b)
            for b in (lowest, highest)
        ),
        verified=verified,
        provenance=parts.provenance(),
        range_provenance=boneless.range_provenance,
    )


@dataclass(frozen=True, slots=True)
class _CutParts:
    boneless: Food
    bone: Food
    share: float
    lowest: float
    highest: float

    @staticmethod
    def mix(meat: float, bone: float, share: float) -> float:
        return (1 - share) * meat + share * bone

    def amounts(
        self, keys: Iterable[str]
    ) -> tuple[dict[str, float], dict[str, float], dict[str, float], dict[str, float]]:
        values: dict[str, float] = {}
        low: dict[str, float] = {}
        high: dict[str, float] = {}
        gap: dict[str, float] = {}
        for key in keys:
            meat, bone = self.boneless.values.get(key), self.bone.values.get(key)
            if meat is not None and bone is not None:
                values[key] = self.mix(meat, bone, self.share)
            least, most = self._least(key), self._most(key)
            if least is not None and least != values.get(key):
                low[key] = least
            if most is not None and most != values.get(key):
                high[key] = most
            if key not in values:
                gap[key] = self._gap(meat, bone)
        return values, low, high, {key: share for key, share in gap.items() if share < 1}

    def provenance(self) -> dict[str, Provenance]:
        """Return where each figure mostly comes from, where that is not the boneless record."""
        found = dict(self.boneless.provenance)
        for key, bone in self.bone.values.items():
            meat = self.boneless.values.get(key, 0.0)
            if self.share * bone > (1 - self.share) * meat:
                found[key] = Provenance(self.bone.source, self.bone.locator, "computed")
        return found

    def _least(self, key: str) -> float | None:
        meat, bone = self.boneless.least(key), self.bone.least(key)
        if meat is None and bone is None:
            return None
        # A nutrient that meat has more of is least at the highest bone share, and vice versa.
        ends = (self.mix(meat or 0.0, bone or 0.0, b) for b in (self.lowest, self.highest))
        return min(ends)

    def _most(self, key: str) -> float | None:
        meat, bone = self.boneless.most(key), self.bone.most(key)
        if meat is None or bone is None:
            return None
        return max(self.mix(meat, bone, b) for b in (self.lowest, self.highest))

    def _gap(self, meat: float | None, bone: float | None) -> float:
        meat_kcal = (1 - self.share) * self.boneless.energy_kcal_per_100g
        bone_kcal = self.share * self.bone.energy_kcal_per_100g
        whole_kcal = meat_kcal + bone_kcal
        if whole_kcal == 0 or (meat is None and bone is None):
            return 1.0
        return (bone_kcal if bone is None else meat_kcal) / whole_kcal
