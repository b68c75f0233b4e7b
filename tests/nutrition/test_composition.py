"""Composition: holes stay holes, bone is what published analyses make of it."""

import pytest

from nutrition.amounts import FoodFiles
from nutrition.composition import (
    Food,
    calcium_to_phosphorus,
    combined,
    cut_with_bone,
    per_1000_kcal,
    scaled,
    totals,
)
from nutrition.cut_tables import read_bones
from nutrition.errors import InputError
from nutrition.food import with_sums
from nutrition.rows import DATA, Problems
from nutrition.tables import load

AMINO_ACIDS = [
    "arginine",
    "histidine",
    "isoleucine",
    "leucine",
    "lysine",
    "methionine",
    "cystine",
    "phenylalanine",
    "tyrosine",
    "threonine",
    "tryptophan",
    "valine",
]


def a_food(key: str = "a", *, energy_kcal: float = 100.0, **values: float) -> Food:
    """A food of which only the named values are known."""
    return Food(key, key, "own", "raw", energy_kcal, "atwater", values)


def bones() -> dict[str, Food]:
    tables = load()
    files = FoodFiles(
        tables.nutrients, tables.sources, tables.groups, tables.group_upper, Problems(), DATA
    )
    return read_bones(files)


@pytest.mark.parametrize("key", list(load().foods))
def test_a_part_is_never_more_than_its_whole(key: str) -> None:
    values = load().food(key).values
    assert values.get("epa", 0) + values.get("dha", 0) <= values["fat"]
    fatty = ("linoleic", "alpha_linolenic", "arachidonic", "epa", "dha")
    assert sum(values.get(acid, 0) for acid in fatty) <= values["fat"] * 1.001
    amino_g = sum(values.get(acid, 0) for acid in AMINO_ACIDS)
    assert amino_g <= values["protein"] + 0.005


@pytest.mark.parametrize("key", list(load().foods))
def test_least_value_and_most_are_in_order(key: str) -> None:
    food = load().food(key)
    for nutrient in load().nutrients:
        ends = [food.least(nutrient), food.values.get(nutrient), food.most(nutrient)]
        known = [end for end in ends if end is not None]
        assert known == sorted(known), nutrient


def test_unknown_is_not_zero() -> None:
    found = totals([(a_food(zinc=2.0), 100), (a_food("b"), 100)])
    assert found.known["zinc"] == 2.0
    assert found.best["zinc"] is None
    assert found.unknown_energy_share["zinc"] == 0.5
    assert found.known["iodine"] is None


def test_of_nothing_everything_is_known() -> None:
    found = totals([])
    assert (found.mass_g, found.energy_kcal) == (0, 0)
    assert set(found.known.values()) == {0.0}
    assert set(found.unknown_energy_share.values()) == {0.0}


def test_a_hole_is_filled_with_the_groups_ceiling() -> None:
    marrow = load().food("usda-35021")
    found = totals([(marrow, 200)])
    assert found.known["lysine"] is None
    assert found.best["lysine"] == 2 * load().group_upper["organ"]["lysine"]


def test_without_energy_the_share_is_taken_by_mass() -> None:
    found = totals([(a_food(energy_kcal=0, zinc=1), 30), (a_food("b", energy_kcal=0), 10)])
    assert found.unknown_energy_share["zinc"] == 0.25
    assert per_1000_kcal(found.known["zinc"], energy_kcal=found.energy_kcal) is None


def test_a_printed_limit_is_an_interval_from_zero() -> None:
    """Ciqual 36017, raw chicken breast: iodine printed as below 20 µg."""
    breast = load().food("usda-05062")
    assert breast.least("iodine") == 0
    assert breast.most("iodine") == 20
    assert "iodine" not in breast.values


@pytest.mark.parametrize("mass_g", [-1, float("nan"), float("inf")])
def test_a_mass_must_be_a_mass(mass_g: float) -> None:
    with pytest.raises(InputError, match="a mass is zero or more"):
        totals([(a_food(), mass_g)])


def test_a_share_must_not_be_negative() -> None:
    with pytest.raises(InputError, match="The share is -1"):
        scaled(totals([]), share=-1)


def test_half_of_a_pair_is_a_lower_bound() -> None:
    values, low, high = with_sums({"methionine": 0.4}, {}, {}, {})
    assert "methionine_cystine" not in values
    assert low["methionine_cystine"] == 0.4
    assert "methionine_cystine" not in high
    _, _, high = with_sums({"methionine": 0.4}, {}, {}, {"cystine": 0.3})
    assert high["methionine_cystine"] == pytest.approx(0.7)


def test_a_cut_weighs_its_two_parts() -> None:
    cut = cut_with_bone(
        key="c",
        name="Cut",
        boneless=a_food(energy_kcal=200, calcium=10, zinc=3),
        bone=a_food("b", energy_kcal=100, calcium=2000),
        bone_share=0.25,
    )
    assert cut.energy_kcal_per_100g == 175
    assert cut.values["calcium"] == 0.75 * 10 + 0.25 * 2000
    assert "zinc" not in cut.values
    assert cut.least("zinc") == 2.25
    assert cut.most("zinc") is None
    assert cut.unknown_share("zinc") == pytest.approx(25 / 175)


@pytest.mark.parametrize(("share", "lowest", "highest"), [(1.2, None, None), (0.3, 0.4, 0.5)])
def test_a_bone_share_must_be_a_share(
    share: float, lowest: float | None, highest: float | None
) -> None:
    with pytest.raises(InputError, match="shares lie between 0 and 1"):
        cut_with_bone(
            key="c",
            name="Cut",
            boneless=a_food(),
            bone=a_food("b"),
            bone_share=share,
            lowest_share=lowest,
            highest_share=highest,
        )


@pytest.mark.parametrize(
    ("cut", "share"),
    [
        # The same bone printed in another SR28 row: 05088, 05053, 05066, 05141, 05011, 05309.
        ("cut-chicken-neck", 0.36),
        ("cut-chicken-back", 0.44),
        ("cut-chicken-drumstick", 0.33),
        ("cut-duck-whole", 0.28),
        ("cut-chicken-whole", 0.32),
        ("cut-turkey-wing", 0.38),
        ("cut-lamb-neck", 0.32),
        ("cut-pork-rib", 0.30),
    ],
)
def test_bone_shares_are_the_printed_refuse(cut: str, share: float) -> None:
    assert load().food(cut).bone_share == share


def test_a_whole_chicken_has_the_bone_a_carcass_study_found() -> None:
    """Native chicken carcass: 68.2 % meat, 31.5 % bone (dissection study, abstract read)."""
    assert load().food("cut-chicken-whole").bone_share == pytest.approx(0.315, abs=0.01)


def test_whole_rabbit_lies_between_rat_and_mouse() -> None:
    """SACN5 Table 71-5, p. 1242, mg per kcal: rat Ca 4.4, P 3.2; mouse Ca 5.0, P 3.6."""
    rabbit = load().food("cut-rabbit-whole")
    assert 4.4 <= rabbit.values["calcium"] / rabbit.energy_kcal_per_100g <= 5.0
    assert 3.2 <= rabbit.values["phosphorus"] / rabbit.energy_kcal_per_100g <= 3.6


def test_whole_chicken_has_more_calcium_than_a_chick() -> None:
    """SACN5 Table 71-5: day-old chick Ca 2.7 mg per kcal, rat 4.4: a grown bird lies between."""
    chicken = load().food("cut-chicken-whole")
    assert 2.7 <= chicken.values["calcium"] / chicken.energy_kcal_per_100g <= 4.4


@pytest.mark.parametrize("key", ["bone-poultry", "bone-mammal", "bone-rabbit"])
def test_the_calcium_of_bone_is_that_of_bone_mineral(key: str) -> None:
    """Hydroxyapatite has 2.16 of calcium to phosphorus by mass; bone is printed at 2.0 to 2.2."""
    values = bones()[key].values
    assert 2.0 <= values["calcium"] / values["phosphorus"] <= 2.2


def test_mammal_bone_has_the_ash_and_calcium_published() -> None:
    """Field 2000: 37 % of bone ash is calcium. Sci Rep 2017 Table 1: fresh bone, ash 30 %."""
    bone = bones()["bone-mammal"]
    assert bone.values["calcium"] == pytest.approx(0.37 * bone.values["ash"] * 1000)
    assert bone.high["ash"] == pytest.approx(0.609 * 49.2, rel=0.01)


@pytest.mark.parametrize(
    ("calcium_pct", "legal_bone_pct", "factor"),
    [
        # 9 CFR 381.173 and 319.5: calcium ceilings that stand for bone solids, against Field's
        # factor 4.5 to 5.0 from calcium to fresh cleaned bone.
        (0.235, 1.0, 4.5),
        (0.175, 1.0, 5.0),
        (0.75, 3.0, 4.5),
    ],
)
def test_refuse_bone_holds_less_calcium_than_cleaned_bone(
    calcium_pct: float, legal_bone_pct: float, factor: float
) -> None:
    legal_calcium_of_bone_pct = 100 * calcium_pct / legal_bone_pct
    cleaned_calcium_of_bone_pct = 100 / factor
    for bone in (each for key, each in bones().items() if key.startswith("bone")):
        most_pct = (bone.most("calcium") or 0) / 1000
        assert most_pct < cleaned_calcium_of_bone_pct
        assert most_pct < legal_calcium_of_bone_pct


def test_mechanically_separated_beef_keeps_within_the_legal_bone() -> None:
    """SR28 13330: 485 mg calcium; times 4.5 (Field 2000) is 2.2 % bone, under the legal 3 %."""
    bone_pct = 0.485 * 4.5
    assert bone_pct == pytest.approx(2.2, abs=0.05)
    meat = load().food("usda-23572")
    cleaned = a_food("bone", energy_kcal=0, calcium=100 / 4.5 * 1000)
    cut = cut_with_bone(
        key="m", name="Separated", boneless=meat, bone=cleaned, bone_share=bone_pct / 100
    )
    assert cut.values["calcium"] == pytest.approx(485, rel=0.05)


@pytest.mark.parametrize(
    ("cut", "calcium", "phosphorus"),
    [("cut-chicken-back", 1107, 613), ("cut-chicken-neck", 910, 520)],
)
def test_cuts_worked_by_hand(cut: str, calcium: float, phosphorus: float) -> None:
    """(1 - b) of SR28's boneless row and b of bone at Ca 2.5 g, P 1.25 g per 100 g."""
    found = load().food(cut).values
    assert found["calcium"] == pytest.approx(calcium, rel=0.005)
    assert found["phosphorus"] == pytest.approx(phosphorus, rel=0.005)


def test_turkey_neck_carries_both_published_bone_shares() -> None:
    """SR28 05179 prints 60 %, older releases 42 %: calcium about 1060 to 1510 mg."""
    neck = load().food("cut-turkey-neck")
    assert neck.values["calcium"] == pytest.approx(1510, rel=0.01)
    assert (neck.least("calcium") or 0) < 1060 < (neck.most("calcium") or 0)


def test_the_ratio_has_a_range_where_bone_has_one() -> None:
    ratio = calcium_to_phosphorus(totals([(load().food("cut-lamb-neck"), 100)]))
    assert ratio.lowest is not None
    assert ratio.highest is not None
    assert ratio.lowest < ratio.highest < 2.2


def test_meat_alone_has_hardly_any_calcium() -> None:
    """Dillitzer 2011: rations without bone fall below 0.6:1."""
    ratio = calcium_to_phosphorus(totals([(load().food("usda-23562"), 500)]))
    assert ratio.known is not None
    assert ratio.known < 0.1


def test_no_phosphorus_gives_no_ratio() -> None:
    ratio = calcium_to_phosphorus(totals([(a_food(calcium=10, phosphorus=0), 100)]))
    assert (ratio.known, ratio.lowest, ratio.highest) == (None, None, None)


def test_the_ratio_widens_with_a_hole() -> None:
    found = totals([(a_food(calcium=100, phosphorus=100), 100), (a_food("b", phosphorus=50), 100)])
    ratio = calcium_to_phosphorus(found)
    assert ratio.known == pytest.approx(100 / 150)
    assert ratio.highest is None


def test_a_window_is_the_sum_of_its_meals() -> None:
    beef, carrot = load().food("usda-23562"), load().food("usda-11124")
    together = totals([(beef, 300), (carrot, 100)])
    apart = combined([totals([(beef, 300)]), totals([(carrot, 100)])])
    for nutrient in load().nutrients:
        assert apart.known[nutrient] == pytest.approx(together.known[nutrient])
        assert apart.best[nutrient] == pytest.approx(together.best[nutrient])


def test_a_window_of_nothing_is_nothing() -> None:
    assert combined([]) == totals([])
    assert combined([totals([])]) == totals([])
