"""The published methods side by side, each against the figure its source prints."""

import pytest

from nutrition.energy import requirement
from nutrition.energy_methods import DogFacts, Method, energy_methods
from nutrition.errors import InputError, UnknownKeyError

YEAR = 365.25


def found(dog: DogFacts) -> dict[str, Method]:
    return {each.key: each for each in energy_methods(dog)}


@pytest.mark.parametrize(
    ("mass_kg", "resting", "kcal"),
    [
        # Worked by hand: 70, 95, 105, 110, 125, 130 and 140 kcal times kg^0.75.
        (5, 234, (318, 351, 368, 418, 435, 468)),
        (10, 394, (534, 590, 619, 703, 731, 787)),
        (15, 534, (724, 800, 838, 953, 991, 1067)),
        (20, 662, (898, 993, 1040, 1182, 1229, 1324)),
        (25, 783, (1062, 1174, 1230, 1398, 1453, 1565)),
        (30, 897, (1218, 1346, 1410, 1602, 1666, 1795)),
        (40, 1113, (1511, 1670, 1750, 1988, 2068, 2227)),
    ],
)
def test_factors_times_size(mass_kg: float, resting: float, kcal: tuple[float, ...]) -> None:
    rows = {
        "nrc_inactive": DogFacts(mass_kg, activity="low"),
        "nrc_older": DogFacts(mass_kg, activity="high", age_days=9 * YEAR),
        "fediaf_moderate": DogFacts(mass_kg, activity="moderate"),
        "fediaf_high": DogFacts(mass_kg, activity="high"),
        "nrc_active": DogFacts(mass_kg, activity="high", age_days=5 * YEAR),
        "nrc_young": DogFacts(mass_kg, activity="high", age_days=2 * YEAR),
    }
    for (key, dog), expected in zip(rows.items(), kcal, strict=True):
        assert found(dog)[key].energy_kcal == pytest.approx(expected, abs=0.6)
    assert requirement(mass_kg).resting_kcal == pytest.approx(resting, abs=0.6)


@pytest.mark.parametrize(
    ("mass_kg", "adult_mass_kg", "kcal"),
    [
        # Worked by hand from the step table: 210, 175, 140 kcal times kg^0.75. At exactly half
        # the source gives both steps; 210 belongs to "up to 50 %", here the next begins.
        (3, 10, 479),
        (5.5, 35, 754),
        (10, 30, 1181),
        (20, 30, 1655),
        (30, 30, 1795),
    ],
)
def test_the_step_table(mass_kg: float, adult_mass_kg: float, kcal: float) -> None:
    dog = DogFacts(mass_kg, age_days=150.0, adult_mass_kg=adult_mass_kg)
    steps = [each for each in energy_methods(dog) if each.key.startswith("step_")]
    assert [each.energy_kcal for each in steps] == [pytest.approx(kcal, abs=0.6)]


def test_a_newborn_needs_25_kcal_per_100_g() -> None:
    dog = DogFacts(0.4, age_days=5.0, adult_mass_kg=20)
    assert found(dog)["newborn"].energy_kcal == pytest.approx(100)
    assert "step_first" not in found(dog)


@pytest.mark.parametrize(
    ("share", "low", "high"), [(0.2, 2.1, 2.5), (0.5, 1.6, 1.9), (0.9, 1.0, 1.3)]
)
def test_large_breeds_lie_between_the_printed_steps(share: float, low: float, high: float) -> None:
    """Richardson 2010: 2.5 at 15 %, 2.1 at 30 %, 1.9 at 43 %, 1.6 at 60 %, 1.3 at 80 %."""
    mass_kg = 40 * share
    dog = DogFacts(mass_kg, age_days=200.0, adult_mass_kg=40)
    (row,) = [each for each in energy_methods(dog) if each.key.startswith("large_")]
    size = 130 * mass_kg**0.75
    assert (row.low_kcal, row.high_kcal) == pytest.approx((low * size, high * size))
    small = DogFacts(12 * share, age_days=200.0, adult_mass_kg=12)
    assert not [each for each in energy_methods(small) if each.key.startswith("large_")]


def test_the_guidelines_example() -> None:
    """AAHA 2021, Box 1: a neutered dog of 4.5 kg at 1.4 needs 302 kcal."""
    row = found(DogFacts(4.5, neutered=True))["aaha_neutered"]
    assert row.low_kcal == pytest.approx(302, abs=1)


@pytest.mark.parametrize(
    ("key", "dog", "times_resting"),
    [
        # SACN5 table 33-7, p. 683.
        ("sacn5_young_pup", DogFacts(8.0, age_days=80.0), 3.0),
        ("sacn5_older_pup", DogFacts(8.0, age_days=200.0), 2.0),
        ("sacn5_neutered", DogFacts(8.0, neutered=True), 1.6),
        ("sacn5_intact", DogFacts(8.0, neutered=False), 1.8),
        # SACN5 p. 61.
        ("sacn5_one_pup", DogFacts(8.0, phase="lactation", week=2, pups=1), 3.0),
        ("sacn5_two_pups", DogFacts(8.0, phase="lactation", week=2, pups=2), 3.5),
        ("sacn5_four_pups", DogFacts(8.0, phase="lactation", week=2, pups=4), 4.0),
        # AAHA 2021, Box 1.
        ("aaha_late", DogFacts(8.0, phase="gestation_late", week=8), 3.0),
        ("aaha_young_pup", DogFacts(8.0, age_days=100.0), 3.0),
        ("aaha_older_pup", DogFacts(8.0, age_days=130.0), 2.0),
    ],
)
def test_multiples_of_resting(key: str, dog: DogFacts, times_resting: float) -> None:
    assert found(dog)[key].energy_kcal == pytest.approx(times_resting * 70 * 8**0.75)


def test_the_meta_analysis_carries_its_spread() -> None:
    """Bermingham 2014: mean 142.8, standard deviation 55.3, 39 % of it."""
    row = found(DogFacts(16.0))["bermingham_mean"]
    assert row.energy_kcal == pytest.approx(142.8 * 8)
    assert row.low_kcal == pytest.approx((142.8 - 55.3) * 8)
    assert row.high_kcal == pytest.approx((142.8 + 55.3) * 8)


def test_the_equation_of_319_dogs_needs_an_age() -> None:
    """Divol and Priymenko 2017: 128 kg^0.740 age^-0.050."""
    assert found(DogFacts(20.0))["divol"].energy_kcal is None
    row = found(DogFacts(20.0, age_days=5 * YEAR))["divol"]
    assert row.energy_kcal == pytest.approx(128 * 20**0.740 * 5**-0.050)


def test_a_bitch_of_22_kg() -> None:
    """Worked by hand: FEDIAF's 132 form 1341 and 1913; NRC six pups weeks 1 to 4."""
    early = found(DogFacts(22.0, phase="gestation_early", week=2))
    late = found(DogFacts(22.0, phase="gestation_late", week=6))
    assert early["fediaf_early"].energy_kcal == pytest.approx(1341, abs=0.6)
    assert late["fediaf_late"].energy_kcal == pytest.approx(1913, abs=0.6)
    assert early["nrc_early"].energy_kcal == pytest.approx(130 * 22**0.75)
    for week, kcal in ((1, 3453), (2, 3981), (3, 4377), (4, 4641), (7, 4641)):
        rows = found(DogFacts(22.0, phase="lactation", week=week, pups=6))
        assert rows["nrc_lactation"].energy_kcal == pytest.approx(kcal, abs=1)
        assert rows["fediaf_lactation"].energy_kcal == rows["nrc_lactation"].energy_kcal


def test_fediaf_writes_the_further_pups_otherwise_and_means_the_same() -> None:
    """FEDIAF, five to eight pups: 145 kg^0.75 + (96 + 12 (n - 4)) kg L (from memory)."""
    rows = found(DogFacts(22.0, phase="lactation", week=3, pups=7))
    printed = 145 * 22**0.75 + (96 + 12 * 3) * 22 * 1.1
    assert rows["fediaf_lactation"].energy_kcal == pytest.approx(printed)


def test_the_pamphlets_pregnant_dogs() -> None:
    """National Academies 2006: last five weeks, 10 to 90 lb (from memory)."""
    for pounds, kcal in zip((10, 30, 50, 70, 90), (518, 1274, 1940, 2564, 3156), strict=True):
        rows = found(DogFacts(pounds * 0.45359237, phase="gestation_late", week=7))
        assert rows["nrc_late"].energy_kcal == pytest.approx(kcal, rel=0.01)


def test_what_nobody_wrote_down_is_neither_yes_nor_no() -> None:
    rows = found(DogFacts(20.0))
    assert rows["aaha_neutered"].fits is None
    assert rows["aaha_intact"].fits is None
    assert "nrc_great_dane" not in rows
    known = found(DogFacts(20.0, neutered=True, age_days=5 * YEAR, activity="low"))
    assert known["aaha_neutered"].fits is True
    assert "aaha_intact" not in known
    assert "fediaf_high" not in known


def test_breeds_that_stand_apart_are_known_by_a_word_of_their_name() -> None:
    rows = found(DogFacts(8.0, breed="Border Terrier"))
    assert rows["nrc_terrier"].energy_kcal == pytest.approx(180 * 8**0.75)
    assert "nrc_great_dane" not in rows


def test_every_figure_says_who_says_so() -> None:
    for life in (DogFacts(20.0), DogFacts(8.0, age_days=100.0)):
        for each in energy_methods(life):
            assert each.source
            assert each.locator
            assert each.verified in ("read", "memory", "computed")


def test_a_weight_no_dog_has_is_refused() -> None:
    with pytest.raises(InputError, match="mass_kg is 0"):
        energy_methods(DogFacts(0.0))


@pytest.mark.parametrize(
    ("phase", "stage"),
    [
        ("gestation_early", "adult"),
        ("gestation_late", "reproduction"),
        ("lactation", "reproduction"),
    ],
)
def test_the_requirement_of_a_bitch_lies_in_its_range(phase: str, stage: str) -> None:
    need = requirement(22, phase=phase, week=3, pups=6)
    assert need.stage == stage
    assert need.low_kcal <= need.energy_kcal <= need.high_kcal
    assert need.phase == phase
    assert need.alternatives


def test_a_litter_nobody_counted_gets_the_middle_of_a_range() -> None:
    need = requirement(22, phase="lactation", week=2)
    assert need.method == "lactation_factor"
    assert need.energy_kcal == pytest.approx(4.5 * need.resting_kcal)


def test_a_vets_figure_goes_before_suckling_too() -> None:
    need = requirement(22, phase="lactation", week=2, pups=6, vet_kcal_per_day=3000)
    assert (need.energy_kcal, need.method, need.phase) == (3000, "vet", "lactation")


def test_an_unknown_phase_is_refused() -> None:
    with pytest.raises(UnknownKeyError, match="no phase called 'courting'"):
        requirement(22, phase="courting")
