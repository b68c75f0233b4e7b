"""The data files as they are, and every fault the loader must name with file and line."""

import csv
import shutil
from collections import Counter
from pathlib import Path

import pytest
from django.core.management import call_command
from django.core.management.base import SystemCheckError

from nutrition.apps import check_tables
from nutrition.errors import TableError, UnknownKeyError
from nutrition.rows import DATA
from nutrition.tables import load, read_tables


def test_the_data_is_without_fault() -> None:
    _, problems = read_tables()
    assert problems == ()


def test_table_shapes() -> None:
    tables = load()
    assert len(tables.nutrients) == 51
    assert len(tables.foods) == 403
    assert sum(food.bone_share is not None for food in tables.foods.values()) == 35
    assert len(tables.hazards) == 21
    assert len(tables.cautions) == 44


def test_every_group_of_foods_is_there() -> None:
    found = Counter(food.group for food in load().foods.values())
    assert set(found) | {"bone", "own"} == set(load().groups)


def test_every_source_is_used_and_every_used_one_is_known() -> None:
    used = set()
    for path in DATA.rglob("*.csv"):
        with path.open(encoding="utf-8", newline="") as handle:
            used |= {row["source"] for row in csv.DictReader(handle) if "source" in row}
    # Sources that notes and the code cite, beside those the rows name.
    cited = {"bermingham-2014", "klein-2019", "divol-2017", "jergens-2003", "cavett-2021"}
    assert used <= set(load().sources)
    assert set(load().sources) - used <= cited


@pytest.mark.parametrize(
    ("food", "nutrient", "printed"),
    [
        # SR28 records read one by one (NDB number in the key); vitamin A as retinol in µg.
        ("usda-13325", "copper", 9.755),
        ("usda-13323", "selenium", 141),
        ("usda-05175", "protein", 16.7),
        ("usda-05027", "lysine", 1.332),
        ("usda-05027", "methionine", 0.432),
        ("usda-05027", "arachidonic", 0.326),
        ("usda-13325", "arginine", 1.241),
        ("usda-13333", "tryptophan", 0.19),
        ("usda-05062", "lysine", 2.163),
        ("usda-15088", "epa", 0.473),
        ("usda-15088", "calcium", 382),
        ("usda-12220", "alpha_linolenic", 22.813),
        ("usda-01123", "choline", 293.8),
        ("usda-05143", "iron", 30.53),
        ("usda-04589", "vitamin_a", 30000),
        ("usda-05025", "lysine", 1.303),
        ("usda-05175", "methionine", 0.421),
        ("usda-05173", "tryptophan", 0.208),
        ("usda-10103", "arginine", 1.16),
        ("usda-17191", "valine", 0.819),
        ("usda-09050", "manganese", 0.336),
        ("usda-23445", "manganese", 4.055),
        ("usda-13341", "manganese", 0.085),
        # Ciqual 2020, raw sardine.
        ("ciqual-26065", "iodine", 26.8),
        ("ciqual-26065", "vitamin_d", 14),
    ],
)
def test_single_figures_as_printed(food: str, nutrient: str, printed: float) -> None:
    assert load().food(food).values[nutrient] == pytest.approx(printed, rel=1e-9)


def test_what_no_table_gives_stays_unknown() -> None:
    marrow = load().food("usda-35021")
    assert "lysine" not in marrow.values
    assert "zinc" not in marrow.values
    assert "zinc" not in load().food("trencher-eggshell").values


def test_every_food_has_other_names_to_be_found_by() -> None:
    foods = load().foods.values()
    assert [food.key for food in foods if not food.also] == []
    assert sum(len(food.also) for food in foods) >= 600


@pytest.mark.parametrize(
    ("word", "food"),
    [
        ("chicken frames", "cut-chicken-back"),
        ("paunch", "usda-23445"),
        ("ox heart", "usda-13321"),
        ("melt", "usda-13333"),
        ("lights", "usda-13328"),
        ("mince", "usda-23567"),
        ("trotters", "cut-pork-foot"),
        ("coley", "usda-15065"),
    ],
)
def test_a_kitchen_word_leads_to_its_food(word: str, food: str) -> None:
    assert word in load().food(food).also


def test_a_food_that_is_not_there_is_named() -> None:
    with pytest.raises(UnknownKeyError, match="no food called 'usda-99999'"):
        load().food("usda-99999")


@pytest.fixture
def data(tmp_path: Path) -> Path:
    """A copy of the data files that a test may spoil."""
    copy = tmp_path / "data"
    shutil.copytree(DATA, copy)
    return copy


def _spoil(path: Path, old: str, new: str) -> int:
    """Replace the first `old` of a file, and return the number of the line it stood on."""
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")
    return text[: text.index(old)].count("\n") + 1


FOODS = "foods/usda-sr28-organs.csv"
FISH = "foods/usda-sr28-fish.csv"
LENT = "donors/trencher-1.csv"
USUAL = "estimates/anses-ciqual-2020.csv"
WORDS = "synonyms/trencher-1.csv"
LIVER_ZINC = "usda-05027,zinc,2.67,mg,per 100 g,usda-sr28"


@pytest.mark.parametrize(
    ("file", "old", "new", "said"),
    [
        (FOODS, LIVER_ZINC, LIVER_ZINC.replace("2.67", "-1"), "it must be zero or more"),
        (FOODS, LIVER_ZINC, LIVER_ZINC.replace("2.67", "some"), "write a plain number"),
        (FOODS, LIVER_ZINC, LIVER_ZINC.replace("2.67", "nan"), "it must be zero or more"),
        (FOODS, LIVER_ZINC, LIVER_ZINC.replace(",mg,", ",cup,"), "'cup' cannot be turned into"),
        (FOODS, LIVER_ZINC, LIVER_ZINC.replace(",mg,", ",kcal,"), "cannot be turned into 'mg'"),
        (FOODS, LIVER_ZINC, LIVER_ZINC.replace("zinc", "zink"), "key is 'zink'; use one of"),
        (FOODS, LIVER_ZINC, LIVER_ZINC.replace("zinc", "epa_dha"), "is a sum; give its parts"),
        (FOODS, LIVER_ZINC, LIVER_ZINC.replace("per 100 g", "per cup"), "basis is 'per cup'"),
        (FOODS, LIVER_ZINC, LIVER_ZINC.replace("usda-sr28", "hearsay"), "not in sources.csv"),
        (FOODS, LIVER_ZINC, LIVER_ZINC + ",one,two", "are needed"),
        (FOODS, LIVER_ZINC, LIVER_ZINC.replace("zinc", "copper"), "keep one"),
        ("foods/list-1.csv", ",liver,raw,", ",liverish,raw,", "group is 'liverish'"),
        ("foods/list-1.csv", ",liver,raw,", ",liver,boiled,", "style is 'boiled'"),
        ("foods/list-1.csv", "usda-05027", "usda-05026", "its energy cannot be worked out"),
        ("foods/list-1.csv", "Chicken liver,", "Chicken heart,", "is called 'Chicken heart' like"),
        ("foods/list-1.csv", "119,usda-sr28", "140,usda-sr28", "the source lists 140"),
        (FOODS, "usda-05027,zinc,2.67", "usda-99999,zinc,2.67", "is not in foods/list-1.csv"),
        ("foods/other-1.csv", "salt-zinc-gluconate,others,0", "salt-zinc-gluconate,others,1", "0"),
        ("foods/explained-1.csv", "usda-05335,proximates", "usda-05335,ashes", "check is 'ashes'"),
        ("foods/explained-1.csv", "usda-05335,prox", "usda-05332,prox", "take the explanation out"),
        ("foods/ranges-1.csv", "usda-12078,selenium,3,", "usda-12078,selenium,3000,", "not fall"),
        (LENT, "usda-05173,protein,0.2", "usda-05173,protein,2", "from 0 to under 1"),
        (LENT, "usda-05173,protein,0.2", "usda-05173,water,0.2", "by is 'water'"),
        (LENT, "usda-05023,amino acids", "usda-05027,amino acids", "needs none; take it out"),
        (USUAL, "sodium,1.5,1.1", "sodium,1.5,1.6", "must not fall"),
        (USUAL, "sodium,1.5,1.1", "colour,1.5,1.1", "by is 'colour'"),
        ("cuts/trencher-1.csv", "0.36,,,", "1.36,,,", "shares lie between 0 and 1"),
        ("cuts/trencher-1.csv", "usda-05084", "usda-00000", "boneless is 'usda-00000'"),
        ("standards/nrc-2006.csv", "adult,protein,25", "adult,protein,2", "is above recommended"),
        ("standards/nrc-2006.csv", "adult,protein,25", "elder,protein,25", "stage is 'elder'"),
        ("standards/intakes.csv", ",proportional,", ",by feel,", "rule is 'by feel'"),
        ("standards/intakes.csv", ",5.5,35,", ",,,", "needs mass_kg and adult_mass_kg"),
        ("standards/intakes.csv", ",fat,", ",fatt,", "'fatt', which is no nutrient"),
        ("standards/intakes.csv", ",adult,130,", ",adult,,", "an assumed intake needs one"),
        ("ratios/calcium-1.csv", "adult,calcium", "elder,calcium", "stage is 'elder'"),
        ("standards/variants.csv", ",growth_early,", ",puppy,", "stage is 'puppy'"),
        ("keeping/foodsafety-gov-undated.csv", ",fridge,", ",larder,", "place is 'larder'"),
        ("hazards/dogs-1.csv", ",stop,", ",maybe,", "severity is 'maybe'"),
        ("cautions/trencher-1.csv", ",raw,", ",sometimes,", "moment is 'sometimes'"),
        ("uppers/usda-sr28.csv", "egg,", "eggs,", "group is 'eggs'"),
        ("nutrients/list-1.csv", "zinc,Zinc,mg,", "zinc,Zinc,stone,", "unit is 'stone'"),
        ("nutrients/list-1.csv", "zinc,Zinc,mg,1", "zinc,Zinc,mg,9", "decimals is '9'"),
        ("bone/trencher-1.csv", "bone-poultry,calcium,2500", "bone-poultry,kalk,2500", "'kalk'"),
        ("sources.csv", ",2015,", ",last year,", "year is 'last year'"),
        (WORDS, "usda-13333,melt", "usda-00000,melt", "food is 'usda-00000'"),
        (WORDS, "usda-13333,milt", "usda-13333,Melt", "is already called 'Melt'"),
        (WORDS, "usda-13333,milt", "usda-13333,beef spleen", "is already called 'beef spleen'"),
        (WORDS, "usda-13333,milt", "usda-13333,", "is empty"),
    ],
)
def test_a_fault_is_named_with_its_file_and_line(
    data: Path, file: str, old: str, new: str, said: str
) -> None:
    line = _spoil(data / file, old, new)
    _, problems = read_tables(data)
    assert any(said in problem for problem in problems), problems
    assert any(problem.startswith(f"{file}, line ") for problem in problems)
    # A contradiction between figures is told at the food's line of the list.
    elsewhere = ("worked out", "is above", "like", "take the explanation out")
    if not any(word in said for word in elsewhere):
        assert any(problem.startswith(f"{file}, line {line}: ") for problem in problems), problems


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("usda-05027,water,76.46", "usda-05027,water,66.46", "water to ash add up to 90.0 g"),
        ("usda-05027,leucine,1.512", "usda-05027,leucine,15.12", "the parts of protein add up"),
        ("usda-05027,protein,16.92", "usda-05027,protein,1.692", "the source lists 119"),
        ("usda-05027,dha,0", "usda-05027,dha,5", "the parts of fat add up to"),
    ],
)
def test_figures_that_contradict_are_told_at_the_line_of_their_food(
    data: Path, old: str, new: str, said: str
) -> None:
    _spoil(data / FOODS, old, new)
    line = _spoil(data / "foods" / "list-1.csv", "usda-05027", "usda-05027")
    _, problems = read_tables(data)
    assert any(
        problem.startswith(f"foods/list-1.csv, line {line}: usda-05027: ") and said in problem
        for problem in problems
    ), problems


def test_a_missing_file_is_named(data: Path) -> None:
    (data / "standards" / "nrc-2006.csv").unlink()
    _, problems = read_tables(data)
    assert any("standards/nrc-2006.csv, line 1: the file cannot be read" in p for p in problems)


def test_a_wrong_header_is_named(data: Path) -> None:
    _spoil(data / "sources.csv", "publisher", "printer")
    _, problems = read_tables(data)
    assert any("sources.csv, line 1: the columns are id, title, printer" in p for p in problems)


def test_a_range_that_falls_is_named(data: Path) -> None:
    shell = "trencher-eggshell,calcium,36000"
    _spoil(data / "foods" / "other-1.csv", shell, "trencher-eggshell,calcium,39000")
    _, problems = read_tables(data)
    assert any("must not fall" in problem for problem in problems)


def test_django_reports_each_fault(monkeypatch: pytest.MonkeyPatch) -> None:
    def spoilt() -> None:
        raise TableError(("foods/list-1.csv, line 3: spoilt.", "sources.csv, line 9: spoilt."))

    assert check_tables() == []
    monkeypatch.setattr("nutrition.apps.load", spoilt)
    found = check_tables()
    assert [error.id for error in found] == ["nutrition.E001", "nutrition.E001"]
    assert "line 3" in found[0].msg


def test_a_later_file_may_fill_a_hole_but_change_nothing(data: Path) -> None:
    cod = "usda-15015,taurine,31,mg"
    line = _spoil(data / "foods" / "spitze-2003.csv", cod, "usda-15015,zinc,31,mg")
    _, problems = read_tables(data)
    assert len(problems) == 1
    assert problems[0].startswith(
        f"foods/spitze-2003.csv, line {line}: zinc of usda-15015 is already given by {FISH}, line "
    )


def test_faulty_tables_are_never_loaded(data: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    _spoil(data / FOODS, LIVER_ZINC, LIVER_ZINC.replace("2.67", "-1"))
    spoilt = read_tables(data)
    monkeypatch.setattr("nutrition.loading.read_tables", lambda: spoilt)
    load.cache_clear()
    try:
        with pytest.raises(TableError, match=r"usda-sr28-organs\.csv, line \d+: value is -1"):
            load()
        # The check that `manage.py check` and every start of the server run.
        with pytest.raises(SystemCheckError, match=r"usda-sr28-organs\.csv, line \d+: value is -1"):
            call_command("check")
    finally:
        monkeypatch.undo()
        load.cache_clear()
