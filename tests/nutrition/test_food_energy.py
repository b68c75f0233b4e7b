"""Energy of food against printed and quoted figures."""

import pytest

from nutrition.errors import InputError
from nutrition.food_energy import (
    atwater_kcal_per_100g,
    complete_label,
    four_step_kcal_per_100g,
    modified_atwater_kcal_per_100g,
)
from nutrition.labels import Label, food_from_label


def test_modified_atwater_of_the_handbook_example() -> None:
    """SACN5 Box 1-6 Table 3, p. 16: 22 % protein, 9 % fat, 51 % carbohydrate: 3.32-3.33 kcal/g."""
    found = modified_atwater_kcal_per_100g(protein_g=22, fat_g=9, carbohydrate_g=51)
    assert found == pytest.approx(332.5, abs=1.0)


def test_carbohydrate_by_difference_of_the_handbook_example() -> None:
    """The same box: moisture 10, fibre 3, ash 5 leave 51 % of digestible carbohydrate."""
    label = complete_label(
        is_dry=True, protein_pct=22, fat_pct=9, fibre_pct=3, moisture_pct=10, ash_pct=5
    )
    assert label.carbohydrate_g == 51
    assert label.assumed == ()


def test_dry_food_without_ash_is_given_six_percent() -> None:
    """Veterinary school handout: ash 6 % for dry food, 2 % for moist food."""
    dry = complete_label(
        is_dry=True, protein_pct=22, fat_pct=9, fibre_pct=3, moisture_pct=10, ash_pct=None
    )
    moist = complete_label(
        is_dry=False, protein_pct=10, fat_pct=6, fibre_pct=1, moisture_pct=78, ash_pct=None
    )
    assert (dry.ash_g, moist.ash_g) == (6, 2)
    assert dry.assumed == ("ash_pct",)


@pytest.mark.parametrize(
    ("protein", "fat", "carbohydrate", "fibre", "water", "expected"),
    [
        # Worked by hand from the equation as FEDIAF and WikiVet quote it (no published answer).
        (22, 9, 51, 3, 10, 349.99),
        (27, 14, 41, 2, 10, 378.41),
        (16.51, 6.04, 0, 0, 75.92, 120.43),
    ],
)
def test_four_step_equation(
    protein: float, fat: float, carbohydrate: float, fibre: float, water: float, expected: float
) -> None:
    found = four_step_kcal_per_100g(
        protein_g=protein, fat_g=fat, carbohydrate_g=carbohydrate, fibre_g=fibre, water_g=water
    )
    assert found == pytest.approx(expected, abs=0.005)


def test_the_three_methods_stand_in_their_published_order() -> None:
    """FEDIAF: modified Atwater underestimates low-fibre food against the others."""
    contents = {"protein_g": 22.0, "fat_g": 9.0, "carbohydrate_g": 51.0}
    modified = modified_atwater_kcal_per_100g(**contents)
    four_step = four_step_kcal_per_100g(**contents, fibre_g=3, water_g=10)
    assert modified < four_step < atwater_kcal_per_100g(**contents)


def test_a_negative_content_is_refused() -> None:
    with pytest.raises(InputError, match="cannot be negative"):
        atwater_kcal_per_100g(protein_g=-1, fat_g=0, carbohydrate_g=0)


def test_water_alone_is_refused() -> None:
    with pytest.raises(InputError, match="moisture must be under 100"):
        four_step_kcal_per_100g(protein_g=0, fat_g=0, carbohydrate_g=0, fibre_g=0, water_g=100)


def test_very_fibrous_food_has_no_negative_energy() -> None:
    found = four_step_kcal_per_100g(protein_g=3, fat_g=1, carbohydrate_g=20, fibre_g=66, water_g=8)
    assert found == 0


def test_a_label_food_knows_only_what_is_printed() -> None:
    label = Label(protein_pct=25, fat_pct=15, nutrients_per_100g={"calcium": 1200})
    food = food_from_label(label, key="own", name="Own", style="dry")
    assert food.values == {"protein": 25, "fat": 15, "calcium": 1200}
    assert food.energy_method == "four_step"
    assert food.most("zinc") is None


def test_the_labels_own_energy_comes_first() -> None:
    label = Label(protein_pct=25, fat_pct=15, energy_kcal_per_100g=371.5)
    food = food_from_label(label, key="own", name="Own", style="raw")
    assert (food.energy_kcal_per_100g, food.energy_method) == (371.5, "label")


def test_raw_food_is_counted_by_atwater() -> None:
    label = Label(protein_pct=16, fat_pct=12, fibre_pct=0, moisture_pct=70, ash_pct=2)
    food = food_from_label(label, key="own", name="Own", style="raw")
    assert food.energy_method == "atwater"
    assert food.energy_kcal_per_100g == pytest.approx(4 * 16 + 9 * 12)


def test_moist_food_needs_its_moisture() -> None:
    with pytest.raises(InputError, match="moisture is missing") as caught:
        food_from_label(Label(16, 12), key="own", name="Own", style="raw")
    assert caught.value.fields == ("moisture_pct",)


def test_a_label_cannot_pass_a_hundred_percent() -> None:
    with pytest.raises(InputError, match=r"add up to 110\.0 %"):
        food_from_label(Label(60, 30, moisture_pct=20), key="own", name="Own", style="dry")


def test_a_style_must_be_known() -> None:
    with pytest.raises(InputError, match="use one of dry, treat, wet, cooked, raw"):
        food_from_label(Label(20, 10), key="own", name="Own", style="frozen")


def test_a_nutrient_of_a_label_must_be_known_and_not_negative() -> None:
    with pytest.raises(InputError, match="no nutrient called 'sparkle'"):
        food_from_label(
            Label(20, 10, nutrients_per_100g={"sparkle": 1}), key="o", name="Own", style="dry"
        )
    with pytest.raises(InputError, match="zero or more"):
        food_from_label(
            Label(20, 10, nutrients_per_100g={"zinc": -1}), key="o", name="Own", style="dry"
        )
