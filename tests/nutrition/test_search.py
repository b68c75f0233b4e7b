"""Foods are found by what people call them, in the tables as they are."""

from pathlib import Path

import pytest

from nutrition import vector_search
from nutrition.loading import load
from nutrition.search import Entry, group_words, search, words_of


@pytest.fixture(scope="module")
def entries() -> list[Entry]:
    groups = load().groups
    return [
        Entry(food.key, food.name, food.also, group_words(food.group, groups[food.group]))
        for food in load().foods.values()
    ]


@pytest.mark.parametrize(
    ("typed", "expected"),
    [
        ("chicken frames", "back"),
        ("paunch", "tripe"),
        ("ox heart", "Beef heart"),
        ("hearts of beef", "Beef heart"),
        ("mince", "minced"),
        ("hamburger", "Beef, minced"),
        ("hambruger", "Beef, minced"),
        ("chiken neck", "neck"),
        ("zuchini", "Courgette"),
        ("sardínes", "Sardine"),
        ("offal", ""),
        ("EGG SHELL", "Eggshell"),
    ],
)
def test_a_food_is_found_by_what_people_call_it(
    entries: list[Entry], typed: str, expected: str
) -> None:
    found = search(entries, typed)
    assert found, typed
    assert expected.lower() in load().food(found[0].key).name.lower()


def test_a_slip_counts_only_while_nothing_else_is_found(entries: list[Entry]) -> None:
    # "beet" is one letter from "beef", and finds no beef.
    assert not any("Beef" in load().food(found.key).name for found in search(entries, "beet"))


def test_nonsense_finds_nothing_and_nothing_typed_finds_all(entries: list[Entry]) -> None:
    assert search(entries, "xyzzy") == []
    assert len(search(entries, "")) == len(entries)
    assert words_of("Crème, œuf, ø!") == ["creme", "oeuf", "o"]


def test_the_file_both_languages_run_is_fresh() -> None:
    assert vector_search.is_fresh(), "run python -m nutrition.vector_search"


def test_a_stale_file_is_noticed_and_written_anew(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(vector_search, "PATH", tmp_path / "search.json")
    assert vector_search.main(["--check"]) == 1
    assert vector_search.main([]) == 0
    assert vector_search.main(["--check"]) == 0
    assert vector_search.main(["--nonsense"]) == 2
