"""The file of thawing times that both languages run is fresh, and covers what it must."""

import json
from pathlib import Path

import pytest

from nutrition import vector_thaw


def test_the_file_is_fresh() -> None:
    assert vector_thaw.is_fresh(), "run python -m nutrition.vector_thaw"


def test_the_file_covers_every_function() -> None:
    cases = json.loads(vector_thaw.PATH.read_text(encoding="utf-8"))["cases"]
    assert {case["function"] for case in cases} == set(vector_thaw.FUNCTIONS)
    assert sum("refused" in case for case in cases) >= 6


def test_a_stale_file_is_noticed_and_written_anew(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(vector_thaw, "PATH", tmp_path / "thaw.json")
    assert vector_thaw.main(["--check"]) == 1
    assert vector_thaw.main([]) == 0
    assert vector_thaw.main(["--check"]) == 0
    assert vector_thaw.main(["--nonsense"]) == 2
