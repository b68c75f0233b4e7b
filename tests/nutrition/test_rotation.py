"""Where the energy of some days came from, and that no food is forgotten."""

import shutil
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nutrition.composition import Label, food_from_label
from nutrition.errors import InputError
from nutrition.loading import read_tables
from nutrition.rotation import NOT_SAID, STYLES, Fed, rotation
from nutrition.rows import DATA
from nutrition.tables import load

MONDAY, SUNDAY = date(2026, 11, 16), date(2026, 11, 22)
BEEF, NECK, LIVER = (load().food(key) for key in ("usda-23562", "cut-chicken-neck", "usda-13325"))


def test_shares_are_of_the_energy_and_days_count_from_the_last() -> None:
    fed = [
        Fed(MONDAY, "bone_in", [(NECK, 300.0)]),
        Fed(date(2026, 11, 20), "ground", [(BEEF, 400.0), (LIVER, 50.0)]),
    ]
    found = rotation(fed, first=MONDAY, last=SUNDAY)
    beef_kcal = 4.0 * BEEF.energy_kcal_per_100g + 0.5 * LIVER.energy_kcal_per_100g
    species = {turn.key: turn for turn in found.species}
    assert species["beef"].energy_kcal == pytest.approx(beef_kcal)
    assert species["beef"].share == pytest.approx(beef_kcal / found.energy_kcal)
    assert (species["beef"].days_since, species["chicken"].days_since) == (2, 6)
    assert {turn.key for turn in found.parts} == {"muscle", "liver", "with_bone"}
    assert {turn.key for turn in found.styles} == {"ground", "bone_in"}


def test_what_was_fed_before_the_window_only_tells_how_long_ago() -> None:
    fed = [Fed(date(2026, 11, 1), "ground", [(LIVER, 100.0)]), Fed(SUNDAY, "raw", [(BEEF, 100.0)])]
    liver = next(t for t in rotation(fed, first=MONDAY, last=SUNDAY).parts if t.key == "liver")
    assert (liver.energy_kcal, liver.share, liver.days_since) == (0.0, 0.0, 21)


def test_an_own_food_is_not_put_down_to_any_animal() -> None:
    own = food_from_label(Label(25, 12), key="own", name="Chicken dinner", style="dry")
    found = rotation([Fed(SUNDAY, "dry", [(own, 100.0)])], first=MONDAY, last=SUNDAY)
    assert [turn.key for turn in found.species] == [NOT_SAID]
    assert found.styles[0].share == 1


def test_without_energy_there_is_no_share() -> None:
    shell = load().food("salt-calcium-carbonate")
    found = rotation([Fed(SUNDAY, "other", [(shell, 5.0)])], first=MONDAY, last=SUNDAY)
    assert found.species[0].share is None


@given(
    st.lists(
        st.builds(
            Fed,
            st.dates(MONDAY, SUNDAY),
            st.sampled_from(STYLES),
            st.lists(
                st.tuples(st.sampled_from(tuple(load().foods.values())), st.floats(0, 5000)),
                max_size=4,
            ),
        ),
        max_size=6,
    )
)
def test_each_way_of_sharing_adds_up_to_the_whole(fed: list[Fed]) -> None:
    found = rotation(fed, first=MONDAY, last=SUNDAY)
    for turns in (found.species, found.parts, found.styles):
        assert sum(turn.energy_kcal for turn in turns) == pytest.approx(found.energy_kcal)
        shares = [turn.share for turn in turns if turn.share is not None]
        assert not shares or sum(shares) == pytest.approx(1)


def test_a_window_that_ends_before_it_begins_is_refused() -> None:
    with pytest.raises(InputError, match="its first day is not after its last"):
        rotation([], first=SUNDAY, last=MONDAY)


def test_every_food_has_an_animal_or_a_plain_word_and_a_part() -> None:
    origins = load().origins
    assert set(origins.by_food) == set(load().foods)
    for key, origin in origins.by_food.items():
        assert origin.species in origins.species, key
        assert origin.part in origins.parts, key


@pytest.mark.parametrize(
    ("key", "species", "part"),
    [
        ("usda-17202", "beef", "liver"),
        ("usda-05307", "chicken", "muscle"),
        ("usda-05015", "chicken", "skin"),
        ("usda-15164", "mussel", "shellfish"),
        ("usda-04589", "oil", "other"),
        ("usda-01106", "dairy", "other"),
        ("cut-lamb-neck", "lamb", "with_bone"),
    ],
)
def test_origins_of_some_foods(key: str, species: str, part: str) -> None:
    origin = load().origins.by_food[key]
    assert (origin.species, origin.part) == (species, part)


def test_a_food_without_a_rule_stops_the_start_and_says_what_to_add(tmp_path: Path) -> None:
    shutil.copytree(DATA, tmp_path / "data")
    rules = tmp_path / "data" / "origins" / "rules-1.csv"
    kept = [line for line in rules.read_text("utf-8").splitlines() if "word,bison" not in line]
    rules.write_text("\n".join(kept) + "\nword,unicorn,unicorn,,\nword,nothing,,,\n", "utf-8")
    _, problems = read_tables(tmp_path / "data")
    text = "\n".join(problems)
    assert "usda-17330 ('Bison, minced', group game) has no species; add a rule" in text
    assert "species is 'unicorn'; use one of" in text
    assert "the rule says nothing" in text
