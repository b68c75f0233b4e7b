"""Foods that hurt dogs are found by any name, and cautions are shown where the risk is."""

import pytest

from nutrition import cautions, hazards
from nutrition.composition import totals
from nutrition.errors import InputError, UnknownKeyError
from nutrition.rule_tables import Hazard
from nutrition.tables import load


@pytest.mark.parametrize(
    ("name", "key"),
    [
        ("onion", "onion"),
        ("Red ONION, chopped", "onion"),
        ("leeks", "onion"),
        ("garlic powder", "garlic"),
        ("raisins", "grape"),
        ("Sultanas (dried)", "grape"),
        ("birch sugar", "xylitol"),
        ("E967 sweetener", "xylitol"),
        ("dark chocolate", "chocolate"),
        ("cocoa powder", "chocolate"),
        ("macadamia nuts", "macadamia"),
        ("cooked bones", "cooked-bone"),
        ("raw carp", "thiaminase"),
        ("Beef gullet", "thyroid"),
        ("Salmon, sockeye", "pacific-salmon"),
    ],
)
def test_a_hazard_is_found_by_its_names(name: str, key: str) -> None:
    found = hazards.find(name)
    assert found is not None
    assert found.key == key


@pytest.mark.parametrize(
    "name",
    [
        "grape seed oil",
        "blackcurrants",
        "grapefruit",
        "salmon oil",
        "avocado oil",
        "bone broth",
        "chicken",
        "",
        "?!",
    ],
)
def test_harmless_names_are_left_alone(name: str) -> None:
    assert hazards.find(name) is None


def test_the_gravest_hazard_comes_first() -> None:
    found = hazards.find("avocado and onion salad")
    assert found is not None
    assert found.severity == "stop"
    assert len(hazards.find_all("avocado and onion salad")) == 2


@pytest.mark.parametrize(
    ("key", "amount", "unit"),
    [
        # Cortinovis and Caloni 2016; the onion figure is the stricter of two sources.
        ("onion", 5, "g/kg"),
        ("grape", 2.8, "g/kg"),
        ("xylitol", 75, "mg/kg"),
        ("chocolate", 20, "mg/kg"),
    ],
)
def test_published_doses(key: str, amount: float, unit: str) -> None:
    hazard = next(each for each in load().hazards if each.key == key)
    assert (hazard.amount, hazard.unit) == (amount, unit)


def test_no_food_of_the_tables_is_one_to_stop() -> None:
    for food in load().foods.values():
        found = hazards.find(food.name)
        assert found is None or found.severity == "warn", food.name


def keys(names: list[str], method: str) -> set[str]:
    foods = [load().food(name) for name in names]
    return {caution.key for caution in cautions.for_batch(foods, method=method)}


def test_raw_meat_bone_and_grinder_bring_their_cautions() -> None:
    found = keys(["cut-chicken-neck", "usda-23562"], "ground")
    assert {"raw-meat", "no-rinse", "clean-up", "bone-fed", "bone-cooked"} <= found
    assert {"grinder-on", "grinder-off", "grinder-bone", "h5n1"} <= found


def test_whole_prey_is_raw_meat_with_bone() -> None:
    found = keys(["prey-quail"], "ground")
    assert {"raw-meat", "bone-fed", "bone-cooked", "grinder-bone"} <= found


@pytest.mark.parametrize(
    "food", ["salt-potassium-iodide", "trencher-vitamin-e-acetate", "usda-18375"]
)
def test_pure_compounds_bring_the_caution_of_supplements(food: str) -> None:
    assert "supplement" in keys([food], "cooked")


def test_no_other_name_of_a_food_is_one_to_stop() -> None:
    for food in load().foods.values():
        for word in food.also:
            found = hazards.find(word)
            assert found is None or found.severity == "warn", word


def test_cooked_food_brings_no_raw_cautions() -> None:
    found = keys(["usda-05064", "usda-20445"], "cooked")
    assert found == set()


def test_fish_liver_seaweed_and_supplements_bring_theirs() -> None:
    found = keys(["usda-15039", "usda-13325", "ciqual-20998", "usda-04589"], "chopped")
    assert {"fish-freezing", "liver", "seaweed", "supplement"} <= found
    assert "grinder-on" not in found


def test_a_very_fatty_batch_says_so() -> None:
    fat = [(load().food("usda-04542"), 200.0), (load().food("usda-23562"), 200.0)]
    found = cautions.for_batch([food for food, _ in fat], method="chopped", total=totals(fat))
    assert "fat" in {caution.key for caution in found}


def test_age_brings_its_caution() -> None:
    assert [each.key for each in cautions.for_dog(age_band="senior")] == ["old-dog"]
    assert [each.key for each in cautions.for_dog(age_band="puppy")] == ["puppy"]
    assert cautions.for_dog(age_band="adult") == ()
    first = cautions.for_dog(age_band="adult", is_first_raw=True)
    assert [each.key for each in first] == ["raw-advice"]


def test_every_caution_names_a_source_and_is_short() -> None:
    for caution in load().cautions:
        assert caution.source in load().sources
        assert len(caution.text) <= 260, caution.key


def test_a_moment_is_known_or_refused() -> None:
    assert [each.key for each in cautions.at("pull")] == ["thaw-fridge"]
    with pytest.raises(UnknownKeyError, match="no moment called 'teatime'"):
        cautions.at("teatime")


def hazard(key: str) -> Hazard:
    return next(each for each in load().hazards if each.key == key)


def test_the_dose_is_told_for_the_weight_of_the_dog() -> None:
    """Cortinovis and Caloni 2016: onion from 5 g per kg; chocolate from 20 mg per kg."""
    onion = hazards.dose_for(hazard("onion"), 11.4)
    assert onion is not None
    assert onion.amount == pytest.approx(57)
    assert onion.unit == "g"
    chocolate = hazards.dose_for(hazard("chocolate"), 11.4)
    assert chocolate is not None
    assert chocolate.amount == pytest.approx(228)
    assert chocolate.unit == "mg"
    assert dict(chocolate.products)["dark chocolate"] == pytest.approx(40, abs=0.01)


def test_without_a_published_dose_none_is_made_up() -> None:
    assert hazards.dose_for(hazard("alcohol"), 20) is None
    with pytest.raises(InputError, match="mass_kg is 0"):
        hazards.dose_for(hazard("onion"), 0)


def test_raw_pork_egg_and_game_bring_their_cautions() -> None:
    found = keys(["usda-10219", "usda-01123", "usda-17164"], "ground")
    assert {"pork-raw", "egg-white", "game", "game-lead"} <= found
    cooked = keys(["usda-01129"], "cooked")
    assert "egg-white" not in cooked
    assert "pork-raw" not in keys(["usda-23562"], "ground")


def test_every_hazard_of_raw_food_that_was_asked_for_is_there() -> None:
    for name in ("raw egg white", "raw herring", "sockeye", "wild boar"):
        assert hazards.find(name) is not None, name
