"""The cases that the phone's additions are proved on."""

import json

import pytest

from nutrition.vector_mend import ADDED, PATH, is_fresh, solved
from nutrition.vector_proposal import GROUPS, TOLERANCE, foods

CASES = json.loads(PATH.read_text(encoding="utf-8"))["cases"]


def test_the_cases_are_those_drawn_now_and_many_mend_something() -> None:
    assert is_fresh(), "run python -m nutrition.vector_mend"
    assert sum(case["least"]["counted_g"] > 0 for case in CASES) >= 60


def test_they_are_solved_as_kept() -> None:
    table = foods((*GROUPS, *ADDED))
    for case in CASES:
        found = solved(case["given"], table)
        assert found == pytest.approx(case["least"], rel=TOLERANCE, abs=TOLERANCE)
