"""From mating to weaning: about nine weeks, the last five of which count as late."""

import pytest

from nutrition.reproduction import NOT_BREEDING, reproduction


@pytest.mark.parametrize(
    ("days", "phase", "week"),
    [
        (0, "gestation_early", 1),
        (27, "gestation_early", 4),
        (28, "gestation_late", 5),
        (62, "gestation_late", 9),
        (70, "gestation_late", 11),
    ],
)
def test_gestation_by_week(days: int, phase: str, week: int) -> None:
    found = reproduction(days_since_mated=days)
    assert (found.phase, found.week) == (phase, week)


def test_a_whelping_long_overdue_is_said_and_nothing_assumed() -> None:
    found = reproduction(days_since_mated=80)
    assert (found.phase, found.is_overdue) == (None, True)


def test_suckling_by_week_and_litter() -> None:
    found = reproduction(days_since_mated=80, days_since_whelped=17, pups=6)
    assert (found.phase, found.week, found.pups) == ("lactation", 3, 6)


@pytest.mark.parametrize(
    "days",
    [
        {},
        {"days_since_mated": -3},
        {"days_since_whelped": 30, "days_since_weaned": 0, "pups": 4},
        {"days_since_whelped": 60, "pups": 4},
        {"days_since_whelped": 2, "pups": 0},
    ],
)
def test_nothing_before_and_nothing_after(days: dict[str, int]) -> None:
    assert reproduction(**days) == NOT_BREEDING
