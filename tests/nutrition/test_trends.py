"""Slopes, tests for trend and control charts against published worked examples."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nutrition.control import cusum, ewma
from nutrition.errors import InputError
from nutrition.ordinals import _exact_p
from nutrition.trends import mann_kendall, weight_trend, word_counts

APPETITE = ("left_it", "picked", "slow", "keen")
STOOL = ("dry_pellets", "firm", "shaped_moist", "soft_shaped", "soft_heap", "liquid")


def test_mann_kendall_of_the_agency_example() -> None:
    """US EPA QA/G-9: 5, 6, 11, 8, 10 gives S = 6, p = 0.117 (data from memory)."""
    found = mann_kendall([5, 6, 11, 8, 10])
    assert found.s == 6
    assert found.one_sided_p == pytest.approx(0.117, abs=0.0005)
    assert found.is_exact


@pytest.mark.parametrize(
    ("n", "s", "p"),
    [
        # A published table of smallest S at 0.05, one-sided: 6, 8, 11, 13, 16, 18, 21.
        (4, 6, 0.0417),
        (5, 8, 0.0417),
        (6, 11, 0.0278),
        (7, 13, 0.0345),
        (8, 16, 0.0305),
        (9, 18, 0.0376),
        (10, 21, 0.0363),
    ],
)
def test_the_table_of_critical_values(n: int, s: int, p: float) -> None:
    assert _exact_p(n, s) == pytest.approx(p, abs=5e-5)
    assert _exact_p(n, s) <= 0.05 < _exact_p(n, s - 2)


def test_ties_shrink_the_variance() -> None:
    """EPA QA/G-9S: [n(n-1)(2n+5) - sum t(t-1)(2t+5)]/18; n = 4 with one tie of two is 7.667."""
    assert mann_kendall([1, 2, 3, 4]).variance == pytest.approx(156 / 18)
    tied = mann_kendall([1, 2, 2, 4])
    assert tied.variance == pytest.approx((156 - 18) / 18)
    assert not tied.is_exact


def test_values_that_never_differ_have_no_trend() -> None:
    found = mann_kendall([3, 3, 3])
    assert (found.s, found.z, found.one_sided_p) == (0, 0, 0.5)


def test_a_trend_needs_two_values() -> None:
    with pytest.raises(InputError, match="at least two values"):
        mann_kendall([1])


def test_theil_sen_of_the_agency_example() -> None:
    """The same data: the median of the ten pairwise slopes is 1.125 (worked by hand)."""
    points = [(7.0 * i, 1000.0 * mass) for i, mass in enumerate([5, 6, 11, 8, 10])]
    found = weight_trend(points)
    assert found.slope_g_per_day == pytest.approx(1125 / 7)


def test_one_wild_weighing_does_not_move_the_slope() -> None:
    """The breakdown point of Theil-Sen is 29 %."""
    steady = [(7.0 * i, 20_000.0 + 20 * (i % 2)) for i in range(9)]
    wild = [*steady[:4], (28.0, 2_000.0), *steady[5:]]
    assert weight_trend(wild).word == "steady"


def test_a_straight_line_is_found_exactly() -> None:
    found = weight_trend([(float(day), 20_000 - 30.0 * day) for day in range(0, 29, 7)])
    assert found.slope_g_per_day == pytest.approx(-30)
    assert found.slope_low_g_per_day == pytest.approx(-30)
    assert found.percent_per_week == pytest.approx(-1.05)
    assert found.change_percent == pytest.approx(-4.2)


@pytest.mark.parametrize(
    ("g_per_day", "word", "grade"),
    [
        # Divol 2017: within 5 % counts as steady; Jergens 2003: 5 and 10 % grade a loss;
        # SACN5 p. 540: over 2 % a week is too fast.
        (0.0, "steady", None),
        (-20.0, "losing", "mild"),
        (-40.0, "losing", "moderate"),
        (-55.0, "losing", "moderate"),
        (-80.0, "losing_fast", "severe"),
        (30.0, "gaining", None),
        (70.0, "gaining_fast", None),
    ],
)
def test_the_word_of_a_trend(g_per_day: float, word: str, grade: str | None) -> None:
    points = [(7.0 * i, 20_000 + 7 * i * g_per_day) for i in range(5)]
    found = weight_trend(points)
    assert (found.word, found.grade) == (word, grade)


def test_weighings_that_contradict_one_another_are_unclear() -> None:
    points = [(0.0, 20_000.0), (7.0, 16_000.0), (14.0, 23_000.0), (21.0, 23_500.0)]
    found = weight_trend(points)
    assert found.word == "unclear"
    assert "differ too much" in found.sentence


@pytest.mark.parametrize(
    "points",
    [
        [],
        [(0.0, 20_000.0)],
        [(0.0, 20_000.0), (30.0, 19_000.0)],
        [(0.0, 20_000.0), (1.0, 19_000.0), (2.0, 19_000.0)],
        [(0.0, 20_000.0), (0.0, 19_000.0), (20.0, 19_000.0)],
    ],
)
def test_too_few_weighings_give_no_slope(points: list[tuple[float, float]]) -> None:
    found = weight_trend(points)
    assert (found.word, found.slope_g_per_day) == ("too_few", None)


def test_a_weight_must_be_over_zero() -> None:
    with pytest.raises(InputError, match="a weight is over zero"):
        weight_trend([(0.0, 0.0)])


@given(st.lists(st.tuples(st.integers(0, 60), st.floats(15_000, 25_000)), max_size=12))
def test_the_order_of_weighings_does_not_matter(points: list[tuple[int, float]]) -> None:
    forward, backward = weight_trend(points), weight_trend(points[::-1])
    assert forward.word == backward.word
    if forward.slope_g_per_day is not None:
        assert forward.slope_g_per_day == pytest.approx(backward.slope_g_per_day)


def test_words_are_counted_along_their_scale() -> None:
    found = word_counts(["keen", "keen", "slow", "picked"], scale=APPETITE)
    assert found.counts == {"left_it": 0, "picked": 1, "slow": 1, "keen": 2}
    assert (found.middle, found.total) == ("slow", 4)


def test_one_step_of_stool_is_noise_and_two_are_not() -> None:
    """Cavett 2021: observers agree to about a step (kappa 0.34 to 0.77)."""
    one = ["firm"] * 4 + ["shaped_moist"] * 4
    two = ["firm"] * 4 + ["soft_shaped"] * 4
    assert word_counts(one, scale=STOOL).drift == "none"
    assert word_counts(two, scale=STOOL).drift == "rising"
    assert word_counts(two[::-1], scale=STOOL).drift == "falling"


def test_no_words_have_no_middle() -> None:
    found = word_counts([], scale=STOOL)
    assert (found.total, found.middle, found.drift) == (0, None, "none")


def test_a_word_must_be_on_the_scale() -> None:
    with pytest.raises(InputError, match="'ravenous' is not on the scale"):
        word_counts(["ravenous"], scale=APPETITE)


NIST_EWMA = (
    (52.0, 47.0, 53.0, 49.3, 50.1, 47.0, 51.0, 50.1, 51.2, 50.5),
    (49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1),
)


def test_ewma_of_the_handbook() -> None:
    """NIST e-Handbook 6.3.2.4: lambda 0.3, mean 50, s 2.0539; limits 47.4115 and 52.5884."""
    printed = [50.60, 49.52, 50.56, 50.18, 50.16, 49.21, 49.75, 49.85, 50.26, 50.33]
    printed += [50.11, 49.36, 49.52, 50.05, 49.38, 49.92, 50.73, 51.23, 51.94, 51.99]
    values = [*NIST_EWMA[0], *NIST_EWMA[1]]
    found = ewma(values, baseline=50, deviation=2.0539, weight=0.3, width=3)
    assert [point.value for point in found] == pytest.approx(printed, abs=0.0055)
    assert found[-1].upper == pytest.approx(52.5884, abs=0.001)
    assert found[-1].lower == pytest.approx(47.4115, abs=0.001)
    assert not any(point.is_outside for point in found)


def test_ewma_of_the_textbook() -> None:
    """Montgomery: mean 10, sigma 1, lambda 0.10, L 2.7: first limit 10.27, then 10.363, 10.424."""
    found = ewma([9.45, 7.99, 9.29, 11.66], baseline=10, deviation=1, weight=0.10, width=2.7)
    values = [point.value for point in found]
    assert values == pytest.approx([9.945, 9.7495, 9.7035, 9.8992], abs=5e-5)
    uppers = [point.upper for point in found[:3]]
    assert uppers == pytest.approx([10.27, 10.363, 10.424], abs=0.001)


def test_cusum_of_the_handbook() -> None:
    """NIST e-Handbook 6.3.2.3: target 325, k 0.3175, h 4.1959; first signal at sample 14."""
    values = [324.925, 324.675, 324.725, 324.350, 325.350, 325.225, 324.125, 324.525, 325.225]
    values += [324.600, 324.625, 325.150, 328.325, 327.250, 327.829, 328.500, 326.675, 327.775]
    values += [326.875, 328.350]
    high = [0, 0, 0, 0, 0.03, 0, 0, 0, 0, 0, 0, 0, 3.01, 4.94, 7.45, 10.63, 11.99, 14.45]
    high += [16.01, 19.04]
    found = cusum(values, baseline=325, slack=0.3175, limit=4.1959)
    assert [point.above for point in found] == pytest.approx(high, abs=0.006)
    low = [0, 0.01, 0, 0.33, 0, 0, 0.56, 0.72, 0.17, 0.25, 0.31]
    assert [point.below for point in found[:11]] == pytest.approx(low, abs=0.006)
    assert [point.is_outside for point in found].index(True) == 13


@pytest.mark.parametrize(("deviation", "weight"), [(0, 0.2), (1, 0), (1, 1.1)])
def test_ewma_needs_a_deviation_and_a_weight(deviation: float, weight: float) -> None:
    with pytest.raises(InputError, match="must be over zero"):
        ewma([1.0], baseline=1, deviation=deviation, weight=weight)


@pytest.mark.parametrize(("slack", "limit"), [(-1, 4), (0, 0)])
def test_cusum_needs_a_slack_and_a_limit(slack: float, limit: float) -> None:
    with pytest.raises(InputError, match="the limit over zero"):
        cusum([1.0], baseline=1, slack=slack, limit=limit)
