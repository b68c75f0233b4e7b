"""The file both languages run is fresh, and covers what it must."""

import copy
import json
from collections import Counter
from pathlib import Path

import pytest

from nutrition import vectors


def test_the_file_is_fresh() -> None:
    assert vectors.is_fresh(), "run python -m nutrition.vectors"


def test_a_changed_figure_key_or_type_makes_the_file_stale(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    made = json.loads(vectors.as_text())
    at = next(at for at, case in enumerate(made["cases"]) if case["function"] == "food_energy")
    key, figure = next(iter(made["cases"][at]["expected"].items()))
    monkeypatch.setattr(vectors, "PATH", tmp_path / "vectors.json")
    for wrong in (figure * (1 + 1e-11), None, str(figure)):
        stale = copy.deepcopy(made)
        stale["cases"][at]["expected"][key] = wrong
        vectors.PATH.write_text(json.dumps(stale), encoding="utf-8")
        assert not vectors.is_fresh()
    vectors.PATH.write_text(json.dumps(made), encoding="utf-8")
    assert vectors.is_fresh()


def test_the_file_covers_every_function() -> None:
    cases = json.loads(vectors.PATH.read_text(encoding="utf-8"))["cases"]
    found = Counter(case["function"] for case in cases)
    assert set(found) == set(vectors.FUNCTIONS)
    assert len(cases) >= 200
    assert sum("refused" in case for case in cases) >= 10


def test_names_tell_cases_of_a_function_apart() -> None:
    cases = json.loads(vectors.PATH.read_text(encoding="utf-8"))["cases"]
    names = [(case["function"], case["name"]) for case in cases]
    assert len(names) == len(set(names))


def test_a_stale_file_is_noticed_and_written_anew(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "vectors" / "nutrition.json"
    monkeypatch.setattr(vectors, "PATH", path)
    assert vectors.main(["--check"]) == 1
    assert vectors.main([]) == 0
    assert vectors.main(["--check"]) == 0
    assert vectors.main(["--nonsense"]) == 2
