"""Met, short, over and unknown, exactly as they are defined."""

import pytest

from nutrition.adequacy import (
    judge,
    judge_per_kg075,
    judge_window,
    not_compared,
    with_doubt,
    word_for,
)
from nutrition.composition import Food, Label, food_from_label, totals
from nutrition.errors import InputError
from nutrition.ratios import judge_ratio, judge_ratios, ratio_with_doubt
from nutrition.standards import targets
from nutrition.tables import load

ADULT = targets("nrc-2006", "adult")


@pytest.mark.parametrize(
    ("known", "best", "minimum", "maximum", "word"),
    [
        (10, 10, 10, None, "met"),
        (9.99, 9.99, 10, None, "short"),
        (9, 10, 10, None, "unknown"),
        (9, None, 10, None, "unknown"),
        (None, None, 10, None, "unknown"),
        (None, 5, 10, None, "short"),
        (21, 30, 10, 20, "over"),
        (20, 30, 10, 20, "unknown"),  # The range crosses the maximum: it may be over.
        (15, 20, 10, 20, "met"),
        (15, 20.01, 10, 20, "unknown"),
        (15, None, 10, 20, "unknown"),  # Nothing bounds it: whether it is over is not known.
        (9, 21, 10, 20, "unknown"),  # The range is wider than what is wanted, at both ends.
        (8, 9.99, 10, 20, "short"),
        (20.01, None, 10, 20, "over"),
        (None, 20, 10, 20, "unknown"),
        (5, 30, 10, 20, "unknown"),
        (5, 8, None, 20, "met"),
        (5, 25, None, 20, "unknown"),
        (5, None, None, 20, "unknown"),
        (25, None, None, 20, "over"),
        (0, 0, 0, None, "met"),
    ],
)
def test_the_word(
    known: float | None,
    best: float | None,
    minimum: float | None,
    maximum: float | None,
    word: str,
) -> None:
    assert word_for(known, best, minimum=minimum, maximum=maximum) == word


def words(portions: list[tuple[str, float]], stage: str = "adult") -> dict[str, str]:
    total = totals([(load().food(key), mass_g) for key, mass_g in portions])
    return {found.nutrient: found.word for found in judge(total, targets("nrc-2006", stage))}


def test_meat_alone_is_short_of_what_studies_find_short() -> None:
    """Dillitzer 2011, Stockman 2013: calcium, iodine, vitamins D and E, zinc, choline."""
    found = words([("usda-23567", 1000.0)])
    for nutrient in ("calcium", "iodine", "vitamin_d", "vitamin_e", "manganese"):
        assert found[nutrient] == "short", nutrient
    assert found["protein"] == "met"


def test_a_lot_of_new_zealand_liver_is_over_in_vitamin_a() -> None:
    """SR28 23425 prints 94 398 IU per 100 g; the NRC limit is 53 330 IU per 1000 kcal."""
    assert words([("usda-23425", 500.0), ("usda-23562", 200.0)])["vitamin_a"] == "over"


def test_a_little_knotted_wrack_mends_iodine_and_much_of_it_is_over() -> None:
    """Ciqual 20998: 68 200 µg per 100 g, from 25 400; NRC: 220 to 1000 µg per 1000 kcal."""
    meat = ("usda-23567", 1000.0)
    assert words([meat, ("ciqual-20998", 1.95)])["iodine"] == "met"
    assert words([meat, ("ciqual-20998", 10.0)])["iodine"] == "over"


def test_a_puppy_on_necks_alone_passes_the_calcium_ceiling() -> None:
    """SR28 necks at 36 % bone against NRC's 4.5 g per 1000 kcal for growth."""
    assert words([("cut-turkey-neck", 500.0)], "growth_late")["calcium"] == "over"


def test_food_without_energy_is_unknown_throughout() -> None:
    total = totals([(load().food("salt-calcium-carbonate"), 10)])
    assert {found.word for found in judge(total, ADULT)} == {"unknown"}


def test_an_own_food_is_never_called_short_for_what_it_does_not_print() -> None:
    own = food_from_label(Label(26, 15, moisture_pct=9), key="own", name="Own", style="dry")
    found = {each.nutrient: each for each in judge(totals([(own, 300)]), ADULT)}
    assert found["protein"].word == "met"
    assert found["zinc"].word == "unknown"
    assert found["zinc"].known is None
    assert found["zinc"].unknown_energy_share == 1


def calcium_of(food: Food, stage: str) -> tuple[str, bool, bool]:
    found = judge(totals([(food, 100)]), targets("nrc-2006", stage))
    one = next(each for each in found if each.nutrient == "calcium")
    return one.word, one.may_fall_short, one.may_exceed


def test_a_range_that_straddles_a_limit_says_which() -> None:
    """NRC: 1 g of calcium or more per 1000 kcal when grown, 3 to 4.5 g in growth."""

    def food(low: float, high: float) -> Food:
        return Food(
            "f", "F", "own", "raw", 1000, "atwater", {"calcium": low}, high={"calcium": high}
        )

    assert calcium_of(food(4000, 5000), "adult") == ("met", False, False)
    assert calcium_of(food(4000, 5000), "growth_late") == ("unknown", False, True)
    assert calcium_of(food(2000, 4000), "growth_late") == ("unknown", True, False)
    assert calcium_of(food(2000, 5000), "growth_late") == ("unknown", True, True)
    assert calcium_of(food(4600, 5000), "growth_late") == ("over", False, False)
    assert calcium_of(food(2000, 2900), "growth_late") == ("short", False, False)


def test_vitamin_k_is_not_compared_since_the_forms_differ() -> None:
    """NRC states menadione; USDA nutrient 430 is phylloquinone."""
    spinach = totals([(load().food("usda-11457"), 300)])
    assert "vitamin_k" not in {each.nutrient for each in judge(spinach, ADULT)}
    left_out = {each.nutrient: each for each in not_compared(spinach, ADULT)}
    assert set(left_out) == {"vitamin_k"}
    assert left_out["vitamin_k"].known is not None
    assert left_out["vitamin_k"].form.stated_as.startswith("menadione")
    small = judge_per_kg075(spinach, ADULT, metabolic_mass_kg075=8, days=7)
    assert "vitamin_k" not in {each.nutrient for each in small}


@pytest.mark.parametrize("edition", ["nrc-2006", "aafco-2016", "fediaf-2021"])
def test_forms_that_are_compared_say_what_is_counted(edition: str) -> None:
    limits = targets(edition, "adult").limits
    for nutrient in ("vitamin_a", "vitamin_e", "niacin", "folate"):
        form = limits[nutrient].form
        assert form is not None
        assert form.is_compared
        assert form.note


def test_food_without_a_composition_withdraws_short_and_then_met() -> None:
    meat = totals([(load().food("usda-23562"), 1000)])
    found = {each.nutrient: each for each in judge(meat, ADULT)}
    assert (found["calcium"].word, found["protein"].word) == ("short", "met")
    assert with_doubt(found["calcium"], known_share=1) is found["calcium"]
    calcium = with_doubt(found["calcium"], known_share=0.95)
    assert (calcium.word, calcium.best, calcium.may_fall_short) == ("unknown", None, True)
    assert with_doubt(found["protein"], known_share=0.95).word == "met"
    assert with_doubt(found["protein"], known_share=0.8).word == "unknown"


def test_food_without_a_composition_withdraws_the_word_of_a_ratio_too() -> None:
    food = Food("a", "A", "own", "raw", 100, "atwater", {"calcium": 120.0, "phosphorus": 100.0})
    ratio = judge_ratio(totals([(food, 100)]), ADULT)
    assert ratio.word == "met"
    assert ratio_with_doubt(ratio, known_share=0.95) is ratio
    halved = ratio_with_doubt(ratio, known_share=0.5)
    assert (halved.word, halved.known, halved.highest) == ("unknown", ratio.known, None)


def test_meals_of_a_window_make_up_for_one_another() -> None:
    bony = totals([(load().food("cut-chicken-neck"), 300)])
    boneless = totals([(load().food("usda-23562"), 500)])
    calcium = {
        name: next(each.word for each in found if each.nutrient == "calcium")
        for name, found in {
            "boneless": judge(boneless, ADULT),
            "both": judge_window([bony, boneless], ADULT),
        }.items()
    }
    assert calcium == {"boneless": "short", "both": "met"}


def test_a_dog_that_eats_little_is_judged_by_its_size() -> None:
    """NRC 2006: 3.28 g of protein per kg^0.75 and day; 8 kg^0.75 for 7 days need 184 g."""
    beef = load().food("usda-23562")
    enough = totals([(beef, 184 / 0.2)])
    found = judge_per_kg075(enough, ADULT, metabolic_mass_kg075=8, days=7)
    protein = next(each for each in found if each.nutrient == "protein")
    assert (protein.word, protein.basis) == ("met", "per kg^0.75 and day")
    small = judge_per_kg075(totals([(beef, 500)]), ADULT, metabolic_mass_kg075=8, days=7)
    assert next(each.word for each in small if each.nutrient == "protein") == "short"


@pytest.mark.parametrize(("size", "days"), [(0, 7), (8, 0)])
def test_a_window_needs_a_size_and_days(size: float, days: float) -> None:
    with pytest.raises(InputError, match="both must be over zero"):
        judge_per_kg075(totals([]), ADULT, metabolic_mass_kg075=size, days=days)


@pytest.mark.parametrize(
    ("portions", "stage", "word"),
    [
        ([("usda-23562", 1000.0)], "adult", "short"),
        ([("cut-chicken-neck", 500.0)], "adult", "met"),
        ([("cut-chicken-neck", 500.0)], "growth_late", "over"),
        ([("trencher-eggshell", 50.0)], "adult", "over"),
        ([], "adult", "unknown"),
    ],
)
def test_the_ratio_word(portions: list[tuple[str, float]], stage: str, word: str) -> None:
    total = totals([(load().food(key), mass_g) for key, mass_g in portions])
    assert judge_ratio(total, targets("nrc-2006", stage)).word == word


def test_omega_6_to_omega_3_has_aafcos_limit_of_thirty() -> None:
    """AAFCO 2016: (linoleic + arachidonic) : (alpha-linolenic + EPA + DHA) is at most 30:1."""
    total = totals([(load().food("usda-04506"), 50.0), (load().food("usda-15039"), 50.0)])
    omega = next(each for each in judge_ratios(total, ADULT) if each.key == "omega6_to_omega3")
    assert (omega.maximum, omega.minimum, omega.source) == (30, None, "aafco-2016")
    known = total.known
    top = (known["linoleic"] or 0) + (known["arachidonic"] or 0)
    bottom = (known["alpha_linolenic"] or 0) + (known["epa_dha"] or 0)
    assert omega.known == pytest.approx(top / bottom)


@pytest.mark.parametrize(
    ("linoleic", "alpha_linolenic", "word"),
    [(29.0, 1.0, "met"), (31.0, 1.0, "over"), (31.0, 0.0, "over"), (0.0, 0.0, "unknown")],
)
def test_the_word_of_omega_6_to_omega_3(linoleic: float, alpha_linolenic: float, word: str) -> None:
    values = {"linoleic": linoleic, "alpha_linolenic": alpha_linolenic}
    values |= {"arachidonic": 0.0, "epa_dha": 0.0}
    food = Food("oil", "Oil", "oil", "raw", 900, "atwater", values)
    found = judge_ratios(totals([(food, 10)]), ADULT)
    assert next(each.word for each in found if each.key == "omega6_to_omega3") == word


def test_zinc_to_copper_is_shown_without_a_word() -> None:
    food = Food("a", "A", "own", "raw", 100, "atwater", {"zinc": 4.0, "copper": 0.5})
    found = judge_ratios(totals([(food, 100)]), ADULT)
    zinc = next(each for each in found if each.key == "zinc_to_copper")
    assert zinc.word is None
    assert zinc.maximum is None
    assert (zinc.lowest, zinc.known, zinc.highest) == (8.0, 8.0, 8.0)


def test_a_ratio_over_a_hole_has_no_upper_end() -> None:
    liver = Food("a", "A", "own", "raw", 100, "atwater", {"zinc": 4.0, "copper": 1.0})
    hole = Food("b", "B", "own", "raw", 100, "atwater", {"copper": 1.0})
    found = judge_ratios(totals([(liver, 100), (hole, 100)]), ADULT)
    zinc = next(each for each in found if each.key == "zinc_to_copper")
    assert (zinc.known, zinc.lowest, zinc.highest) == (2.0, 2.0, None)
