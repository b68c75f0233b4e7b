"""The file of own foods that both languages run is fresh, and covers what it must."""

import json
from collections import Counter
from pathlib import Path

import pytest

from nutrition import vector_labels


def test_the_file_is_fresh() -> None:
    assert vector_labels.is_fresh(), "run python -m nutrition.vector_labels"


def test_the_file_covers_every_function() -> None:
    cases = json.loads(vector_labels.PATH.read_text(encoding="utf-8"))["cases"]
    assert set(Counter(case["function"] for case in cases)) == set(vector_labels.FUNCTIONS)
    assert sum("refused" in case for case in cases) >= 12


def test_a_stale_file_is_noticed_and_written_anew(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(vector_labels, "PATH", tmp_path / "labels.json")
    assert vector_labels.main(["--check"]) == 1
    assert vector_labels.main([]) == 0
    assert vector_labels.main(["--check"]) == 0
    assert vector_labels.main(["--nonsense"]) == 2
