"""Pure compounds: each salt is its formula, and holds what handbooks print."""

import re
from collections import Counter

import pytest

from nutrition.tables import load

# Standard atomic weights abridged to five figures (IUPAC 2021).
WEIGHTS = {
    "H": 1.008, "C": 12.011, "N": 14.007, "O": 15.999, "Na": 22.990, "Mg": 24.305, "P": 30.974,
    "S": 32.06, "Cl": 35.45, "K": 39.098, "Ca": 40.078, "Mn": 54.938, "Cu": 63.546, "Zn": 65.38,
    "I": 126.90,
}  # fmt: skip
ELEMENTS = {
    "calcium": "Ca", "phosphorus": "P", "magnesium": "Mg", "potassium": "K", "chloride": "Cl",
    "copper": "Cu", "manganese": "Mn", "zinc": "Zn", "iodine": "I",
}  # fmt: skip
SALTS = [key for key in load().foods if key.startswith("salt-")]


def atoms(formula: str) -> Counter[str]:
    """Count the atoms of a formula such as Ca3(C6H5O7)2·4H2O."""
    found: Counter[str] = Counter()
    for part in formula.split("·"):
        times, rest = re.fullmatch(r"(\d*)(.+)", part).groups()  # type: ignore[union-attr]
        rest = re.sub(r"\(([^()]+)\)(\d+)", lambda m: m[1] * int(m[2]), rest)
        for element, count in re.findall(r"([A-Z][a-z]?)(\d*)", rest):
            found[element] += int(times or 1) * int(count or 1)
    return found


@pytest.mark.parametrize("key", SALTS)
def test_a_salt_is_its_formula(key: str) -> None:
    salt = load().food(key)
    inside = atoms(salt.locator)
    mass = sum(WEIGHTS[element] * count for element, count in inside.items())
    checked = 0
    for nutrient, element in ELEMENTS.items():
        size = 1e6 if nutrient == "iodine" else 1e3
        expected = 100 * inside[element] * WEIGHTS[element] / mass * size
        assert salt.values[nutrient] == pytest.approx(expected, rel=1e-4), nutrient
        checked += expected > 0
    assert checked or key == "salt-choline-bitartrate"
    assert salt.verified == "computed"
    assert salt.values["protein"] == salt.values["vitamin_d"] == salt.energy_kcal_per_100g == 0


@pytest.mark.parametrize(
    ("salt", "nutrient", "percent"),
    [
        # Shares as handbooks print them.
        ("salt-zinc-gluconate", "zinc", 14.35),
        ("salt-zinc-sulfate", "zinc", 36.43),
        ("salt-zinc-bisglycinate", "zinc", 30.62),
        ("salt-copper-gluconate", "copper", 14.00),
        ("salt-copper-bisglycinate", "copper", 30.02),
        ("salt-manganese-gluconate", "manganese", 11.42),
        ("salt-calcium-carbonate", "calcium", 40.04),
        ("salt-calcium-citrate", "calcium", 21.08),
        ("salt-calcium-lactate", "calcium", 13.00),
        ("salt-dicalcium-phosphate", "calcium", 23.29),
        ("salt-dicalcium-phosphate", "phosphorus", 18.00),
        ("salt-dicalcium-phosphate-anhydrous", "phosphorus", 22.77),
        ("salt-potassium-chloride", "potassium", 52.45),
        ("salt-magnesium-oxide", "magnesium", 60.30),
        ("salt-magnesium-citrate", "magnesium", 16.16),
        ("salt-choline-bitartrate", "choline", 41.13),
    ],
)
def test_salts_hold_what_handbooks_print(salt: str, nutrient: str, percent: float) -> None:
    assert load().food(salt).values[nutrient] / 1000 == pytest.approx(percent, abs=0.01)


def test_potassium_iodide_is_three_quarters_iodine() -> None:
    """One microgram too much matters here, so the unit has a test of its own."""
    assert load().food("salt-potassium-iodide").values["iodine"] / 1e6 == pytest.approx(
        76.45, abs=0.01
    )
