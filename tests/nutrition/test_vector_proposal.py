"""The cases that the phone's solver is proved on."""

import json

import pytest

from nutrition.vector_proposal import PATH, TOLERANCE, foods, is_fresh, solved

CASES = json.loads(PATH.read_text(encoding="utf-8"))["cases"]


def test_the_cases_are_those_drawn_now_and_two_hundred_or_more() -> None:
    assert is_fresh(), "run python -m nutrition.vector_proposal"
    assert len(CASES) >= 200


@pytest.mark.parametrize("index", range(0, len(CASES), 20))
def test_a_sample_of_them_is_solved_as_kept(index: int) -> None:
    """All of them are solved when the file is written; here as many as are quick."""
    found = solved(CASES[index]["given"], foods())
    assert found == pytest.approx(CASES[index]["least"], rel=TOLERANCE, abs=TOLERANCE)
