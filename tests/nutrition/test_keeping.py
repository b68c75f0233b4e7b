"""Use-by days against the published cold-storage chart."""

from datetime import date

import pytest

from nutrition.errors import UnknownKeyError
from nutrition.keeping import Component, class_as_made, find, use_by
from nutrition.tables import load

DAY = date(2026, 11, 25)
BEEF = Component("Beef chuck", "red_meat_pieces")
NECK = Component("Chicken neck", "poultry_pieces")
LIVER = Component("Liver", "organs")
CARROT = Component("Carrot", None)


@pytest.mark.parametrize(
    ("food_class", "place", "days"),
    [
        # FoodSafety.gov cold food storage chart; a month of its freezer column is 30 days here.
        ("ground_meat", "fridge", (1, 2)),
        ("ground_meat", "freezer", (90, 120)),
        ("poultry_pieces", "fridge", (1, 2)),
        ("poultry_pieces", "freezer", (270, 270)),
        ("poultry_whole", "freezer", (360, 360)),
        ("organs", "fridge", (1, 2)),
        ("red_meat_pieces", "fridge", (3, 5)),
        ("fish_oily", "freezer", (60, 90)),
        ("cooked", "fridge", (3, 4)),
        ("cooked", "freezer", (60, 180)),
        ("egg_shelled", "fridge", (2, 4)),
        # FSIS, after thawing in the refrigerator.
        ("ground_meat", "thawed", (1, 2)),
        ("red_meat_pieces", "thawed", (3, 5)),
    ],
)
def test_the_chart(food_class: str, place: str, days: tuple[int, int]) -> None:
    kept = find(food_class, place)
    assert kept is not None
    assert (kept.days_min, kept.days_max) == days


def test_whole_red_meat_keeps_three_to_five_days() -> None:
    found = use_by([BEEF], since=DAY, place="fridge")
    assert (found.use_by, found.at_latest) == (date(2026, 11, 28), date(2026, 11, 30))


def test_grinding_shortens_it() -> None:
    found = use_by([BEEF], since=DAY, place="fridge", method="ground")
    assert (found.use_by, found.at_latest) == (date(2026, 11, 26), date(2026, 11, 27))


def test_the_earliest_component_wins() -> None:
    found = use_by([BEEF, LIVER, CARROT], since=DAY, place="fridge")
    assert found.decided_by == "Liver"
    assert found.use_by == date(2026, 11, 26)
    assert found.no_figure == ("Carrot",)


def test_cooking_makes_everything_cooked() -> None:
    found = use_by([BEEF, LIVER], since=DAY, place="fridge", method="cooked")
    assert found.use_by == date(2026, 11, 28)


def test_a_components_own_deadline_counts() -> None:
    thawed = Component("Neck", "poultry_pieces", deadline=date(2026, 11, 25))
    found = use_by([BEEF, thawed], since=DAY, place="fridge")
    assert (found.use_by, found.at_latest) == (date(2026, 11, 25), date(2026, 11, 25))


def test_without_any_figure_no_day_is_made_up() -> None:
    found = use_by([CARROT], since=DAY, place="fridge")
    assert (found.use_by, found.at_latest) == (None, None)
    assert use_by([], since=DAY, place="fridge").use_by is None


def test_every_class_of_the_foods_has_a_figure_for_fridge_freezer_and_thawed() -> None:
    classes = {food.keeping_class for food in load().foods.values()} - {None}
    for food_class in classes:
        assert food_class is not None
        for place in ("fridge", "freezer", "thawed"):
            assert find(food_class, place) is not None, (food_class, place)


def test_fish_and_organs_stay_what_they_are_when_ground() -> None:
    assert class_as_made("organs", "ground") == "organs"
    assert class_as_made("fish_oily", "ground") == "fish_oily"
    assert class_as_made("poultry_whole", "ground") == "ground_meat"
    assert class_as_made("red_meat_pieces", "chopped") == "stew_meat"


def test_dry_food_that_is_wet_keeps_as_leftovers_and_what_is_raw_as_it_was() -> None:
    assert class_as_made(None, "dry_mix") == "cooked"
    assert class_as_made("organs", "dry_mix") == "organs"
    assert class_as_made(None, "chopped") is None


def test_unknown_places_and_methods_are_refused() -> None:
    with pytest.raises(UnknownKeyError, match="fridge, freezer, thawed"):
        use_by([BEEF], since=DAY, place="counter")
    with pytest.raises(UnknownKeyError, match="ground, chopped, cooked, bone_in, dry_mix"):
        use_by([BEEF], since=DAY, place="fridge", method="smoked")
    with pytest.raises(UnknownKeyError, match="place"):
        find("organs", "counter")
