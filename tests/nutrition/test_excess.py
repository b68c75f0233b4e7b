"""Too much: over, or may be over, against a limit whose edition is named."""

import pytest

from nutrition.composition import totals
from nutrition.excess import WATCHED, Excess, excesses, word_against
from nutrition.standards import targets
from nutrition.tables import load


def found(portions: list[tuple[str, float]], stage: str = "adult") -> dict[str, Excess]:
    total = totals([(load().food(key), mass_g) for key, mass_g in portions])
    return {each.nutrient: each for each in excesses(total, targets("nrc-2006", stage))}


@pytest.mark.parametrize(
    ("least", "most", "word"),
    [
        (21, None, "over"),
        (20, 20, "within"),
        (15, 21, "may be over"),
        (15, None, "unknown"),
        (None, None, "unknown"),
        (None, 19, "within"),
    ],
)
def test_the_word_against_a_limit(least: float | None, most: float | None, word: str) -> None:
    assert word_against(least, most, limit=20) == word


def test_new_zealand_liver_is_over_in_vitamin_a_by_the_yardstick() -> None:
    """SR28 23425: 28 318 µg per 100 g; NRC's limit is 16 000 µg per 1000 kcal."""
    vitamin_a = found([("usda-23425", 500.0), ("usda-23562", 200.0)])["vitamin_a"]
    assert (vitamin_a.word, vitamin_a.limit, vitamin_a.edition) == ("over", 16000, "nrc-2006")
    assert vitamin_a.source == "nrc-2006"


def test_cod_liver_oil_is_over_in_vitamin_d_and_wrack_in_iodine() -> None:
    """SR28 04589: 250 µg D per 100 g, limit 20 µg; Ciqual 20998: 68 200 µg iodine, limit 1000."""
    meat = ("usda-23562", 1000.0)
    assert found([meat, ("usda-04589", 100.0)])["vitamin_d"].word == "over"
    assert found([meat, ("ciqual-20998", 50.0)])["iodine"].word == "over"
    assert found([meat])["iodine"].word == "within"


def test_where_the_yardstick_is_silent_the_lowest_other_limit_is_used_and_named() -> None:
    """NRC has no ceiling on calcium for grown dogs; AAFCO and FEDIAF print 6.25 g."""
    calcium = found([("usda-23562", 1000.0), ("trencher-eggshell", 60.0)])["calcium"]
    assert (calcium.word, calcium.limit) == ("over", 6250)
    assert calcium.edition in ("aafco-2016", "fediaf-2021")
    selenium = found([("usda-23562", 1000.0)])["selenium"]
    assert (selenium.limit, selenium.edition) == (500, "aafco-2016")


def test_a_puppys_calcium_is_judged_by_the_yardstick_with_its_range() -> None:
    """NRC: 4.5 g per 1000 kcal in growth; the bone of a cut is a range."""
    calcium = found([("cut-chicken-neck", 300.0), ("usda-23562", 500.0)], "growth_late")["calcium"]
    assert (calcium.limit, calcium.edition) == (4500, "nrc-2006")
    assert calcium.least is not None
    assert calcium.most is not None
    assert calcium.least < calcium.most


def test_every_watched_nutrient_has_a_limit_somewhere() -> None:
    assert set(found([("usda-23562", 100.0)])) == set(WATCHED)
