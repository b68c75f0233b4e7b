"""Known slips of the sources, and ceilings and names that must not mislead."""

import pytest

from nutrition.tables import load


@pytest.mark.parametrize(
    ("food", "nutrient", "kept"),
    [
        # Known slips of the sources: left out, or replaced by the publisher's own revision.
        ("usda-23425", "manganese", None),  # prints 299 mg, a thousandfold slip
        ("usda-23425", "copper", 5.3),
        ("usda-13333", "cystine", None),  # 2.9 % of protein against 1.3 % in lamb and pork
        ("usda-15167", "threonine", None),  # a tenth of other molluscs
        ("usda-05335", "ash", None),  # prints 0 beside 88 mg of calcium
        ("usda-11233", "copper", 0.053),  # release 28 prints 1.499; SR Legacy corrects it
        ("usda-04542", "choline", None),  # imputed for a rendered fat
        ("usda-01123", "iodine", 49.1),  # Ciqual prints 21 raw and 49.7 boiled
    ],
)
def test_slips_of_the_sources_are_not_ours(food: str, nutrient: str, kept: float | None) -> None:
    assert load().food(food).values.get(nutrient) == kept


def test_the_double_counted_bone_of_a_drumstick_is_counted_once() -> None:
    """NDB 05066 prints 66 % refuse: 33 % twice. NDB 05215 and 05091 are read by their text."""
    assert load().food("cut-chicken-drumstick").bone_share == 0.33
    assert load().food("cut-turkey-back").bone_share == pytest.approx(0.50 / 0.88, abs=0.001)
    assert load().food("cut-chicken-thigh").bone_share == 0.165


def test_no_printed_figure_passes_the_ceiling_of_its_group() -> None:
    """A ceiling is the highest figure published for the group, so it holds for each food of it."""
    above = [
        (food.key, key)
        for food in load().foods.values()
        for key, amount in food.values.items()
        if amount > load().group_upper[food.group].get(key, amount) * 1.0001
        and food.bone_share is None
        and (key not in food.provenance or food.provenance[key].verified != "computed")
    ]
    assert above == []


def test_no_food_is_called_just_kelp() -> None:
    seaweeds = [food for food in load().foods.values() if food.group == "seaweed"]
    assert len(seaweeds) >= 9
    for food in seaweeds:
        assert food.values["iodine"] > 0, food.key
        assert food.name.casefold() not in ("kelp", "seaweed")


def test_vitamin_k_says_which_of_them_it_is() -> None:
    assert load().nutrients["vitamin_k"].name == "Vitamin K1 (phylloquinone)"
