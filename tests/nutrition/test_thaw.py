"""Thawing times against worked examples, a numerical solution and the printed rule of thumb."""

from datetime import UTC, datetime, timedelta
from math import inf

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.integrate import quad, solve_ivp

from nutrition.errors import InputError, UnknownKeyError
from nutrition.shapes import FORMS, brick, cylinder, shape_of
from nutrition.thaw import (
    Pack,
    cold_water_hours,
    in_fridge,
    is_too_warm,
    plank_fourier,
    pull_window,
    refreezing,
    refusal,
    rule_of_thumb_hours,
    thawing_hours,
)
from nutrition.thermal import (
    conductivity_w_per_mk,
    density_kg_per_m3,
    enthalpy_kj_per_kg,
    lean_meat,
    parts_of,
    specific_heat_thawed_kj_per_kgk,
)

POUND_G = 453.59237
BEEF = lean_meat()
SLAB_M = 1e4
NEEDED = datetime(2026, 11, 28, 18, tzinfo=UTC)


def plank_seconds(
    shape: tuple[float, float, float],
    *,
    density: float,
    latent: float,
    difference: float,
    h: float,
    k: float,
) -> float:
    """Plank's time [s] of a brick [m], from the dimensionless form."""
    made = brick(shape[0], width_m=shape[1], length_m=shape[2])
    biot = h * made.thickness_m / k
    # Any heat capacity will do: it cancels.
    stefan = difference / latent
    fourier = plank_fourier(made, biot=biot, stefan=stefan)
    return fourier * density * made.thickness_m**2 / k


def test_the_sphere_of_the_textbook_freezes_in_three_quarters_of_an_hour() -> None:
    # Singh and Heldman, Introduction to Food Engineering, example 7.1: 7 cm, 1000 kg/m3, -1.25 C in
    # air of -40 C, k 1.2, L 250 kJ/kg; h 50 and the answer, 2603 s, from memory. A cube has the
    # same two factors as a sphere.
    for h, seconds in ((50, 2603), (30, 3607)):
        found = plank_seconds(
            (0.07, 0.07, 0.07), density=1000, latent=250_000, difference=38.75, h=h, k=1.2
        )
        assert found == pytest.approx(seconds, rel=1e-3)


@pytest.mark.parametrize(("cardboard_m", "hours"), [(0.001, 4.1), (0.0, 2.1)])
def test_the_slab_of_the_textbook_in_a_plate_freezer(cardboard_m: float, hours: float) -> None:
    # Earle, Unit Operations in Food Processing, ch. 6: 10 cm of meat between plates of -34 C, -2 C,
    # L 256 kJ/kg, 1090 kg/m3, k 1.6, h 600, cardboard of k 0.06; inputs and answers from memory.
    h = 1 / (1 / 600 + cardboard_m / 0.06)
    found = plank_seconds(
        (0.1, SLAB_M, SLAB_M), density=1090, latent=256_000, difference=32, h=h, k=1.6
    )
    assert found / 3600 == pytest.approx(hours, abs=0.05)


@pytest.mark.parametrize(
    "sides", [(1, 1), (1, 1.5), (1.0001, 1.0001), (1.5, 2), (2.5, 4), (20, 30)]
)
def test_the_factor_of_a_brick_is_the_integral_it_stands_for(sides: tuple[float, float]) -> None:
    # Heat that melts the layer at depth x passes all layers outside it.
    b1, b2 = sides

    def area(x: float) -> float:
        a, b, c = 1 - 2 * x, b1 - 2 * x, b2 - 2 * x
        return 2 * (a * b + a * c + b * c)

    def layer(x: float) -> float:
        return float(area(x) * quad(lambda y: 1 / area(y), 0, x)[0])

    found = brick(1.0, width_m=b1, length_m=b2)
    assert found.inside == pytest.approx(quad(layer, 0, 0.5)[0], rel=1e-7)
    assert found.surface == pytest.approx(b1 * b2 / area(0), rel=1e-12)


def numerical_hours(half_m: float, *, h: float, fridge_c: float, bends: int) -> float:
    """A slab (0) or a long log (1) of lean beef, layer by layer, by its heat content [hour]."""
    freezing_c, layers = -1.7, 20
    grid = np.linspace(-39.9, 10.0, 4000)
    heat = np.array([enthalpy_kj_per_kg(BEEF, at_c=t, freezing_c=freezing_c) for t in grid])
    conducts = np.array([conductivity_w_per_mk(BEEF, at_c=t, freezing_c=freezing_c) for t in grid])
    density = density_kg_per_m3(BEEF, at_c=4.0, freezing_c=freezing_c)
    edges = np.linspace(0.0, half_m, layers + 1)
    step = half_m / layers
    areas = edges**bends
    volumes = (edges[1:] ** (bends + 1) - edges[:-1] ** (bends + 1)) / (bends + 1)

    def warming(_: float, state: NDArray[np.float64]) -> NDArray[np.float64]:
        at_c = np.interp(state, heat, grid)
        k = np.interp(at_c, grid, conducts)
        flow = np.zeros(layers + 1)
        flow[1:-1] = 2 * k[1:] * k[:-1] / (k[1:] + k[:-1]) * np.diff(at_c) / step
        flow[-1] = (fridge_c - at_c[-1]) / (1 / h + step / 2 / k[-1])
        gained: NDArray[np.float64] = np.diff(areas * flow) / volumes / (density * 1000)
        return gained

    def thawed(_: float, state: NDArray[np.float64]) -> float:
        return float(np.interp(state[0], heat, grid))

    thawed.terminal = True  # type: ignore[attr-defined]  # As solve_ivp wants it.
    start = np.full(layers, enthalpy_kj_per_kg(BEEF, at_c=-18.0, freezing_c=freezing_c))
    solved = solve_ivp(warming, (0, 1e6), start, method="LSODA", events=thawed, rtol=1e-4)
    assert solved.t_events is not None
    return float(solved.t_events[0][0]) / 3600


@pytest.mark.parametrize("thickness_m", [0.03, 0.06])
@pytest.mark.parametrize("h", [5.0, 10.0])
@pytest.mark.parametrize("bends", [0, 1])
def test_the_formula_agrees_with_a_numerical_solution(
    thickness_m: float, h: float, bends: int
) -> None:
    # The constants are from memory; a solution of the heat equation needs none of them. Published:
    # within 10 % of 104 measurements.
    shape = (
        brick(thickness_m, width_m=SLAB_M, length_m=SLAB_M)
        if bends == 0
        else cylinder(thickness_m, length_m=SLAB_M)
    )
    found = thawing_hours(
        shape,
        parts=BEEF,
        freezing_c=-1.7,
        freezer_c=-18.0,
        fridge_c=4.0,
        heat_transfer_w_per_m2k=h,
    )
    solved = numerical_hours(thickness_m / 2, h=h, fridge_c=4.0, bends=bends)
    assert found == pytest.approx(solved, rel=0.10)


@pytest.mark.parametrize(
    ("pounds", "days"),
    # USDA FSIS, safe thawing of a whole turkey in the refrigerator: the end of each line.
    [(12, 3), (16, 4), (20, 5), (24, 6)],
)
def test_the_rule_of_thumb_gives_the_printed_days(pounds: float, days: float) -> None:
    assert rule_of_thumb_hours(pounds * POUND_G)[1] / 24 == pytest.approx(days, rel=2e-3)


def test_a_pound_needs_a_full_day_and_an_hour_in_cold_water() -> None:
    # USDA FSIS, The Big Thaw.
    assert rule_of_thumb_hours(POUND_G) == (24, 24)
    low, high = cold_water_hours(POUND_G)
    assert low == pytest.approx(0.5, rel=0.01)
    assert high == pytest.approx(1.0, rel=0.01)
    assert 2 <= round(cold_water_hours(4 * POUND_G)[0], 2) <= 3


def test_a_thin_bag_is_planned_by_the_rule_and_a_thick_block_by_physics() -> None:
    bag = in_fridge(Pack(500, "flat_bag", 30), fridge_c=4)
    assert (bag.governed_by, bag.plan_hours) == ("rule", 24)
    block = in_fridge(Pack(2290, "block", 60), fridge_c=4)
    assert block.governed_by == "physics"
    assert block.plan_hours == block.high_hours > block.rule_high_hours
    assert not block.thickness_is_assumed
    assert block.parts_are_assumed


def test_what_nobody_measured_is_said_to_be_assumed() -> None:
    for form in FORMS:
        found = in_fridge(Pack(1000, form), fridge_c=4)
        assert found.thickness_is_assumed
        assert found.low_hours < found.high_hours


packs = st.builds(
    Pack,
    mass_g=st.floats(50, 10_000),
    form=st.sampled_from(FORMS),
    thickness_mm=st.none() | st.floats(10, 120),
)


@given(packs, st.floats(1, 9), st.floats(0.2, 1))
def test_a_warmer_fridge_is_faster_and_a_heavier_pack_slower(
    pack: Pack, fridge_c: float, more: float
) -> None:
    found = in_fridge(pack, fridge_c=fridge_c)
    assert in_fridge(pack, fridge_c=fridge_c + more).high_hours < found.high_hours
    heavier = Pack(pack.mass_g * (1 + more), pack.form, pack.thickness_mm)
    assert in_fridge(heavier, fridge_c=fridge_c).plan_hours >= found.plan_hours * (1 - 1e-9)
    assert 0 < found.low_hours < found.high_hours <= found.plan_hours


@given(st.floats(5, 60), st.floats(1, 40))
def test_a_thicker_pack_of_the_same_mass_takes_longer(thickness_mm: float, more_mm: float) -> None:
    thin = in_fridge(Pack(1500, "flat_bag", thickness_mm), fridge_c=4)
    thick = in_fridge(Pack(1500, "flat_bag", min(100, thickness_mm + more_mm)), fridge_c=4)
    assert thick.high_hours >= thin.high_hours


def test_fat_meat_holds_less_heat_and_thaws_sooner() -> None:
    fat = parts_of({"water": 45, "protein": 14, "fat": 40, "ash": 1})
    lean = in_fridge(Pack(1000, "flat_bag", 40, BEEF), fridge_c=4)
    assert in_fridge(Pack(1000, "flat_bag", 40, fat), fridge_c=4).high_hours < lean.high_hours


def test_the_window_opens_when_it_would_still_be_good_and_closes_when_it_would_be_frozen() -> None:
    time = in_fridge(Pack(500, "flat_bag", 30), fridge_c=4)
    window = pull_window(NEEDED, time, keeps_days=1)
    assert window.latest == NEEDED - timedelta(hours=24)
    assert window.earliest == NEEDED - timedelta(days=1, hours=time.low_hours)
    assert not window.is_too_thick
    assert pull_window(NEEDED, time).earliest is None


def test_a_pack_too_thick_to_thaw_and_still_be_good_is_told() -> None:
    time = in_fridge(Pack(9000, "block", 150), fridge_c=2)
    assert pull_window(NEEDED, time, keeps_days=1).is_too_thick


def test_only_above_four_degrees_a_fridge_is_too_warm() -> None:
    # FoodSafety.gov: 40 F (4 C) or below.
    assert (is_too_warm(4.0), is_too_warm(4.1)) == (False, True)
    assert in_fridge(Pack(500, "tray"), fridge_c=6).fridge_is_too_warm


def test_the_counter_is_refused_with_the_reason() -> None:
    assert (refusal("fridge"), refusal("cold_water")) == (None, None)
    assert "2 hours" in (refusal("counter") or "")


@pytest.mark.parametrize(
    ("way", "good", "cooked", "allowed"),
    # USDA FSIS, The Big Thaw.
    [
        ("fridge", True, False, True),
        ("fridge", False, False, False),
        ("cold_water", True, False, False),
        ("cold_water", True, True, True),
        ("counter", True, True, False),
    ],
)
def test_what_may_be_frozen_again(way: str, good: bool, cooked: bool, allowed: bool) -> None:
    reason = refreezing(way=way, is_still_good=good, is_cooked_since=cooked)
    assert (reason is None) == allowed


@pytest.mark.parametrize(
    ("pack", "fridge_c", "field"),
    [
        (Pack(0, "block"), 4, "mass"),
        (Pack(inf, "block"), 4, "mass"),
        (Pack(500, "block", 0), 4, "thickness"),
        (Pack(500, "block"), 0, "fridge temperature"),
        (Pack(500, "block"), 20, "fridge temperature"),
    ],
)
def test_a_value_out_of_range_is_named(pack: Pack, fridge_c: float, field: str) -> None:
    with pytest.raises(InputError) as caught:
        in_fridge(pack, fridge_c=fridge_c)
    assert caught.value.fields == (field,)


def test_an_unknown_form_or_way_is_named() -> None:
    with pytest.raises(UnknownKeyError, match="flat_bag"):
        shape_of("heap", volume_m3=0.001, thickness_mm=None)
    with pytest.raises(UnknownKeyError, match="cold_water"):
        refusal("microwave")


def test_thawed_lean_beef_takes_three_and_a_half_kilojoules_a_degree() -> None:
    # ASHRAE Handbook - Refrigeration, beef sirloin and round: 0.84 Btu/lb F.
    assert specific_heat_thawed_kj_per_kgk(BEEF) == pytest.approx(3.52, rel=0.01)
