"""The data files as frozen tables: loaded once and checked line by line."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from nutrition.amounts import FoodFiles
from nutrition.chemical_forms import read_forms
from nutrition.coefficients import Coefficients, load_energy, load_thresholds
from nutrition.cut_tables import read_bones, read_cuts
from nutrition.errors import TableError, UnknownKeyError
from nutrition.food import Food
from nutrition.food_checks import check_foods
from nutrition.food_tables import read_foods, read_uppers
from nutrition.nutrients import Nutrient, read_nutrients
from nutrition.origins import Origins, read_origins
from nutrition.ratio_tables import OtherRatio, read_other_ratios
from nutrition.rows import DATA, Problems
from nutrition.rule_tables import (
    Caution,
    Hazard,
    Keeping,
    read_cautions,
    read_hazards,
    read_keeping,
)
from nutrition.sources import Source, read_groups, read_sources
from nutrition.standard_rules import (
    AssumedIntake,
    RatioLimits,
    Variant,
    read_intakes,
    read_ratios,
    read_variants,
)
from nutrition.standard_tables import EDITIONS, EditionLimits, read_standards, with_forms
from nutrition.synonyms import with_synonyms


@dataclass(frozen=True, slots=True)
class Tables:
    """Everything that is published, by key."""

    nutrients: Mapping[str, Nutrient]
    sources: Mapping[str, Source]
    groups: Mapping[str, str]
    foods: Mapping[str, Food]
    origins: Origins
    group_upper: Mapping[str, Mapping[str, float]]
    standards: Mapping[str, EditionLimits]
    variants: Mapping[str, tuple[Variant, ...]]
    intakes: Mapping[str, Mapping[str, AssumedIntake]]
    ratios: Mapping[str, Mapping[tuple[str, str], RatioLimits]]
    other_ratios: Mapping[str, OtherRatio]
    energy: Coefficients
    thresholds: Coefficients
    keeping: tuple[Keeping, ...]
    hazards: tuple[Hazard, ...]
    cautions: tuple[Caution, ...]

    def food(self, key: str) -> Food:
        """Return one food.

        Raises
        ------
        UnknownKeyError
            If there is no such food.
        """
        try:
            return self.foods[key]
        except KeyError:
            raise UnknownKeyError("food", key, tuple(self.foods)) from None


def read_tables(root: Path = DATA) -> tuple[Tables, tuple[str, ...]]:
    """Return the tables under `root` and every fault found in them."""
    problems = Problems()
    nutrients = read_nutrients(problems, root=root)
    sources = read_sources(problems, root=root)
    groups = read_groups(problems, root=root)
    uppers = read_uppers(nutrients, groups, sources, problems, root=root)
    files = FoodFiles(nutrients, sources, groups, uppers, problems, root)
    foods = read_foods(files)
    foods |= read_cuts(files, foods, read_bones(files))
    foods = with_synonyms(foods, problems, root=root)
    check_foods(foods, problems, root=root)
    tables = Tables(
        nutrients=nutrients,
        sources=sources,
        groups=groups,
        foods=foods,
        origins=read_origins(foods.values(), problems, root=root),
        group_upper=uppers,
        standards=with_forms(
            read_standards(nutrients, sources, problems, root=root),
            read_forms(EDITIONS, nutrients, sources, problems, root=root),
        ),
        variants=read_variants(sources, problems, root=root),
        intakes=read_intakes(nutrients, sources, problems, root=root),
        ratios=read_ratios(sources, problems, root=root),
        other_ratios=read_other_ratios(nutrients, sources, problems, root=root),
        energy=load_energy(),
        thresholds=load_thresholds(),
        keeping=read_keeping(sources, problems, root=root),
        hazards=read_hazards(sources, problems, root=root),
        cautions=read_cautions(sources, problems, root=root),
    )
    return tables, tuple(problems.found)


@cache
def load() -> Tables:
    """Return the tables of this release.

    Raises
    ------
    TableError
        If a data file is faulty; its message has one line per fault, with file and line.
    """
    tables, problems = read_tables()
    if problems:
        raise TableError(problems)
    return tables
