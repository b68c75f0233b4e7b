"""Bone: wet refuse bone and no other, gelatin and no meat, and holes where nobody has measured."""

import pytest

from nutrition.amounts import FoodFiles
from nutrition.cut_tables import read_bones
from nutrition.food import Food
from nutrition.nutrients import PARTS
from nutrition.rows import DATA, Problems
from nutrition.tables import load


def bones() -> dict[str, Food]:
    tables = load()
    files = FoodFiles(
        tables.nutrients, tables.sources, tables.groups, tables.group_upper, Problems(), DATA
    )
    return read_bones(files)


CUTS = [key for key, food in load().foods.items() if food.bone_share is not None]


@pytest.mark.parametrize("key", list(bones()))
def test_a_bone_is_made_of_its_proximates(key: str) -> None:
    values = bones()[key].values
    parts = ("water", "protein", "fat", "carbohydrate", "fibre", "ash")
    assert sum(values[part] for part in parts) == pytest.approx(100, abs=3)


def test_the_parts_of_a_whole_bird_make_the_bird_that_was_analysed() -> None:
    """Dierenfeld 2002, from memory: whole chicken Ca 0.72 g, P 0.455 g per 100 g.

    A dressed bird has lost feathers and gut, so it holds up to a fifth more.
    """
    bird = load().food("cut-chicken-whole").values
    assert 720 <= bird["calcium"] <= 1.2 * 720
    assert 455 <= bird["phosphorus"] <= 1.2 * 455
    assert sum(bird[p] for p in ("water", "protein", "fat", "ash")) == pytest.approx(100, abs=1)


def test_a_whole_bird_is_neither_its_boniest_nor_its_leanest_part() -> None:
    share = {key: load().food(f"cut-chicken-{key}").bone_share or 0 for key in ("breast", "back")}
    assert share["breast"] < (load().food("cut-chicken-whole").bone_share or 0) < share["back"]


def test_the_calcium_of_a_back_is_not_that_of_cleaned_bone() -> None:
    """Cleaned poultry bone at 5.5 to 7.5 g of calcium would make it 2867 mg; it is 1107."""
    back = load().food("cut-chicken-back")
    assert back.values["calcium"] == pytest.approx(1107, rel=0.01)
    assert (back.most("calcium") or 0) < 1300


@pytest.mark.parametrize(
    ("food", "legal_pct"),
    [
        # 9 CFR 381.173: 0.235 % calcium of mature birds and turkeys stands for 1 % bone solids;
        # 319.5: 0.75 % for 3 % in livestock.
        ("usda-05301", 0.235),
        ("usda-05304", 0.235),
        ("usda-13330", 0.75),
    ],
)
def test_mechanically_separated_meat_keeps_within_the_law(food: str, legal_pct: float) -> None:
    calcium = load().food(food).values["calcium"]
    assert 0.1 * legal_pct < calcium / 1000 <= legal_pct
    bony = load().food("cut-chicken-neck").values["calcium"]
    assert calcium < bony


@pytest.mark.parametrize("key", CUTS)
def test_calcium_and_phosphorus_of_a_cut_are_ranges(key: str) -> None:
    cut = load().food(key)
    for mineral in ("calcium", "phosphorus"):
        least, most = cut.least(mineral), cut.most(mineral)
        assert least is not None
        assert most is not None
        assert least < cut.values[mineral] < most
    # A quail is printed at 10 % bone, which leaves more of the phosphorus to the meat.
    assert 0.7 <= cut.values["calcium"] / cut.values["phosphorus"] <= 2.2


@pytest.mark.parametrize("key", ["bone-poultry", "bone-turkey", "bone-mammal", "bone-rabbit"])
def test_the_protein_of_bone_is_gelatin(key: str) -> None:
    """SR28 19177: the same share of protein for each amino acid, and no tryptophan to speak of."""
    bone, gelatin = bones()[key].values, load().food("usda-19177").values
    for acid in PARTS["protein"]:
        share = gelatin[acid] / gelatin["protein"]
        assert bone[acid] / bone["protein"] == pytest.approx(share, rel=0.01, abs=1e-5)
    assert bone["tryptophan"] == 0


def test_nobody_has_measured_the_trace_elements_of_fresh_bone() -> None:
    for bone in bones().values():
        assert not {"zinc", "manganese", "iron", "copper", "selenium", "iodine"} & set(bone.values)
    neck = load().food("cut-chicken-neck")
    assert "zinc" not in neck.values
    assert neck.least("zinc") == pytest.approx(0.64 * 1.86, rel=1e-3)


@pytest.mark.parametrize("key", CUTS)
def test_the_energy_of_bone_is_a_range(key: str) -> None:
    cut = load().food(key)
    lowest, highest = cut.energy_lowest_kcal_per_100g, cut.energy_highest_kcal_per_100g
    assert lowest is not None
    assert highest is not None
    assert lowest < cut.energy_kcal_per_100g <= highest + 0.001


def test_older_bone_of_turkeys_may_hold_half_as_much_again() -> None:
    broiler, turkey = bones()["bone-poultry"], bones()["bone-turkey"]
    assert turkey.values["calcium"] == broiler.values["calcium"]
    assert (turkey.most("calcium") or 0) == pytest.approx(1.5 * (broiler.most("calcium") or 0))


def test_the_matrix_of_eggshell_is_neither_nothing_nor_meat() -> None:
    shell = load().food("trencher-eggshell")
    assert (shell.least("protein"), shell.values["protein"]) == (0, 5)
    assert "lysine" not in shell.values
    assert shell.most("lysine") == 5


def test_an_egg_with_its_shell_is_an_egg_and_not_a_cut_with_bone() -> None:
    egg = load().food("cut-egg-with-shell")
    assert (egg.group, egg.bone_share) == ("egg", None)
    assert egg.values["calcium"] == pytest.approx(0.88 * 56 + 0.12 * 37000, rel=0.01)
    assert (egg.least("calcium") or 0) < 0.1 * 36000 < (egg.most("calcium") or 0)


def test_a_day_old_chick_has_the_calcium_of_either_source() -> None:
    """SACN5 Table 71-5, p. 1242: 2.7 mg per kcal; Dierenfeld 2002, from memory: 3.7."""
    chick = load().food("prey-chick")
    per_kcal = [(chick.least("calcium") or 0), chick.values["calcium"]]
    assert per_kcal[0] / chick.energy_kcal_per_100g < 2.7
    assert per_kcal[1] / chick.energy_kcal_per_100g == pytest.approx(3.7, abs=0.1)
