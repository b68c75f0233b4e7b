"""The smallest additions: against hand-made figures, every gram tried, and properties."""

from dataclasses import replace
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nutrition.errors import InputError, UnknownKeyError
from nutrition.loading import load
from nutrition.proposal_matrices import MARGIN
from nutrition.proposal_mend import (
    BOUGHT_COUNTS,
    MOST_SHARE,
    ROOM_SHARE,
    Addition,
    Mend,
    Offer,
    care_with,
    is_weighable,
    mend,
)
from nutrition.proposal_problem import Choice, Ingredient, Problem, RatioWanted, Wanted

# Made-up foods, so that what mends them can be worked out by hand.
MEAT = Ingredient("meat", 200, {"zinc": 2, "iodine": 10}, {"zinc": 2, "iodine": 10})
OYSTER = Ingredient("oyster", 50, {"zinc": 40, "iodine": 50}, {"zinc": 40, "iodine": 50})
WEED = Ingredient("weed", 100, {"zinc": 40, "iodine": 100_000}, {"iodine": 100_000, "zinc": 40})
OIL = Ingredient("oil", 900, {}, {"zinc": 0, "iodine": 0})
BATCH = {"meat": 1000.0}


def _problem(*wanted: Wanted, **given: object) -> Problem:
    made = Problem(2000, (MEAT, OYSTER, WEED, OIL), (), wanted or (Wanted("zinc", 15),))
    return replace(made, **given)  # type: ignore[arg-type]  # fields by name, as tests vary them


def test_the_smallest_addition_is_what_arithmetic_says() -> None:
    # 2000 kcal with 20 mg of zinc; (20 + 0.4 x) / (2 + 0.0005 x) is to be 15.3.
    found = mend(_problem(), BATCH, [Offer("oyster", 500), Offer("oil", 500)])
    assert [each.food for each in found.additions] == ["oyster"]
    assert found.additions[0].mass_g == pytest.approx((2 * 15.3 - 20) / (0.4 - 15.3 * 0.0005), 1e-4)
    assert found.short == pytest.approx(0, abs=1e-6)
    assert found.missed == ()


def test_nothing_is_put_over_and_what_stays_is_named() -> None:
    wanted = (Wanted("zinc", 15), Wanted("iodine", 20, 1000))
    found = mend(_problem(*wanted), BATCH, [Offer("weed", 500)])
    weed_g = sum(each.mass_g for each in found.additions)
    assert (100 + 1000 * weed_g) / (2 + 0.001 * weed_g) <= 1000
    (missed,) = found.missed
    assert (missed.key, missed.word, missed.limit) == ("zinc", "short", 15)
    assert missed.amount == pytest.approx((20 + 0.4 * weed_g) / (2 + 0.001 * weed_g))
    assert found.short == pytest.approx(
        1000 * (1 - (20 + 0.4 * weed_g) / ((2 + 0.001 * weed_g) * 15.3)) * (2 + 0.001 * weed_g) / 2,
        rel=1e-4,
    )


def test_what_is_over_already_is_not_made_worse_nor_thinned_out() -> None:
    wanted = (Wanted("zinc", 15), Wanted("iodine", None, 40))
    found = mend(_problem(*wanted), BATCH, [Offer("oil", 500), Offer("oyster", 500)])
    assert [each.food for each in found.additions][-1] == "oyster"
    most = 40 * (1 - MARGIN) * (1 - ROOM_SHARE)
    after = 100 + sum(0.5 * each.mass_g for each in found.additions if each.food == "oyster")
    energy = 2 + sum(
        {"oil": 0.009, "oyster": 0.0005}[each.food] * each.mass_g for each in found.additions
    )
    assert after - energy * most <= 100 - 2 * most + 1e-3


def test_what_is_there_is_taken_before_what_has_to_be_bought() -> None:
    poor = replace(OYSTER, key="poor", least={"zinc": 40 / BOUGHT_COUNTS + 2})
    problem = replace(_problem(), ingredients=(MEAT, OYSTER, poor))
    found = mend(problem, BATCH, [Offer("oyster"), Offer("poor", 500)])
    assert [(each.food, each.is_bought) for each in found.additions] == [("poor", False)]
    found = mend(problem, BATCH, [Offer("oyster"), Offer("poor", 20)])
    assert [each.is_bought for each in found.additions] == [True, False]


def test_all_of_it_is_no_other_recipe() -> None:
    found = mend(_problem(Wanted("zinc", 500)), BATCH, [Offer("oyster")])
    assert sum(each.mass_g for each in found.additions) == pytest.approx(
        1000 * MOST_SHARE, rel=1e-3
    )


def test_what_may_not_or_cannot_be_added_is_left_alone() -> None:
    iodide = Ingredient("iodide", 0, {"iodine": 7e7}, {"iodine": 7e7})
    problem = replace(_problem(Wanted("iodine", 200)), ingredients=(MEAT, OYSTER, WEED, iodide))
    assert not is_weighable(problem, iodide)
    offers = [Offer("iodide"), Offer("weed", 500)]
    assert mend(problem, BATCH, offers[:1]).additions == ()
    for settled in ({"forbidden": ("weed",)}, {"choices": (Choice("weed", 0, 0),)}):
        assert mend(replace(problem, **settled), BATCH, offers).additions == ()


def test_a_ratio_is_mended_too() -> None:
    bone = Ingredient("bone", 0, {"calcium": 1000, "phosphorus": 500}, {})
    lean = Ingredient("lean", 100, {"calcium": 10, "phosphorus": 100}, {})
    ratio = RatioWanted("ca_p", ("calcium",), ("phosphorus",), 1.0, 2.0)
    problem = Problem(1000, (bone, lean), (), (), (ratio,))
    found = mend(problem, {"lean": 1000.0}, [Offer("bone")])
    # 100 + 10 x = 1000 + 5 x
    assert found.additions[0].mass_g == pytest.approx(180, rel=1e-3)
    assert found.missed == ()


def test_an_empty_batch_asks_for_nothing() -> None:
    assert mend(_problem(), {}, [Offer("oyster")]) == Mend((), (), 0.0, 0.0)


def test_bad_input_is_refused() -> None:
    with pytest.raises(UnknownKeyError):
        mend(_problem(), {"moss": 10.0}, [])
    with pytest.raises(InputError, match="zero or more"):
        mend(_problem(), {"meat": -1.0}, [])


MASS = st.integers(1, 60)
FOOD = st.builds(
    lambda name, energy, a, b: Ingredient(name, energy, {"a": a, "b": b}, {"a": a, "b": b}),
    st.just("x"),
    st.integers(0, 400),
    st.integers(0, 40),
    st.integers(0, 40),
)


@settings(max_examples=60, deadline=None)
@given(FOOD, FOOD, st.integers(6, 30), st.integers(31, 120))
def test_no_whole_grams_do_better(one: Ingredient, two: Ingredient, low: int, high: int) -> None:
    """Every pair of whole grams is tried: none that keeps the limits is smaller."""
    foods = (MEAT, replace(one, key="one"), replace(two, key="two"))
    base = replace(MEAT, least={"a": 8, "b": 6}, most={"a": 8, "b": 6})
    problem = Problem(400, (base, *foods[1:]), (), (Wanted("a", low), Wanted("b", None, high)))
    found = mend(problem, {"meat": 200.0}, [Offer("one", 20), Offer("two", 20)])
    offered = [each for each in foods[1:] if is_weighable(problem, each)]
    least = None
    for x, y in product(range(21), repeat=2):
        parts = [(base, 200), *zip(foods[1:], (x, y), strict=True)]
        energy = sum(food.energy_kcal_per_100g * g for food, g in parts) / 100
        a, b = (sum(food.least[key] * g for food, g in parts) / 100 for key in "ab")
        barred = any(g > 0 and food not in offered for food, g in parts[1:])
        if barred or x + y > 40 or b * 1000 > high * energy * (1 - MARGIN) * (1 - ROOM_SHARE):
            continue
        if a * 1000 >= low * energy * (1 + MARGIN):
            least = x + y if least is None else min(least, x + y)
    if least is not None:
        assert found.short == pytest.approx(0, abs=1e-6)
        assert found.counted_g <= least + 1e-6


@settings(max_examples=30, deadline=None)
@given(st.lists(st.tuples(MASS, MASS), min_size=1, max_size=5), st.integers(10, 60))
def test_one_more_offer_never_makes_it_worse(amounts: list[tuple[int, int]], low: int) -> None:
    foods = tuple(
        Ingredient(f"f{i}", 100, {"zinc": a / 10, "iodine": b}, {})
        for i, (a, b) in enumerate(amounts)
    )
    wanted = (Wanted("zinc", low / 2), Wanted("iodine", low, 4 * low))
    problem = Problem(2000, (MEAT, *foods), (), wanted)
    offers = [Offer(food.key) for food in foods]
    before = [mend(problem, BATCH, offers[:count]).short for count in range(len(offers) + 1)]
    assert before == sorted(before, reverse=True) or before == pytest.approx(
        sorted(before, reverse=True), abs=1e-6
    )


def test_each_addition_comes_with_its_caution() -> None:
    foods = load().foods
    batch = [foods["usda-05027"]]
    keys = ("ciqual-20994", "usda-10106", "usda-13323")
    mended = Mend(tuple(Addition(key, 5.0, True) for key in keys), (), 0.0, 15.0)
    care = care_with(mended, foods, batch, method="ground")
    moments = {key: {caution.moment for caution in care[key][0]} for key in keys}
    assert moments == {keys[0]: {"seaweed"}, keys[1]: {"pork_raw"}, keys[2]: set()}
    onion = replace(foods["usda-13323"], key="own", name="Onion powder")
    hazard = care_with(
        Mend((Addition("own", 1.0, True),), (), 0.0, 1.0), {"own": onion}, batch, method="ground"
    )["own"][1]
    assert hazard is not None
    assert hazard.key == "onion"
