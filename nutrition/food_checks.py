"""What must hold for the figures of every food, and what is known to break it and why."""

from collections.abc import Callable, Mapping
from pathlib import Path

from nutrition.cut_tables import CUT_COLUMNS, CUTS
from nutrition.food import Food
from nutrition.food_tables import FOOD_LIST, LIST_COLUMNS
from nutrition.nutrients import PARTS, PROXIMATES
from nutrition.rows import Problems, Row, number, one_of, read_rows

EXPLAINED = "foods/explained-1.csv"
# Each proximate is rounded and carbohydrate is by difference, so a whole food adds up closely.
MOST_OFF_G = 3.0
MOST_ENERGY_OFF = 0.08
LEAST_ENERGY_KCAL = 5.0


def _energy(food: Food, listed_kcal: float | None) -> str | None:
    if listed_kcal is None:
        return None
    ours = food.energy_kcal_per_100g
    # Tables for people count fibre as carbohydrate; for a dog it is none.
    with_fibre = ours + 4 * food.values.get("fibre", 0.0)
    lowest = min(ours * (1 - MOST_ENERGY_OFF), ours - LEAST_ENERGY_KCAL)
    highest = max(with_fibre * (1 + MOST_ENERGY_OFF), with_fibre + LEAST_ENERGY_KCAL)
    if lowest <= listed_kcal <= highest:
        return None
    return f"protein, fat and carbohydrate give {ours:.0f} kcal, the source lists {listed_kcal:g}"


def _proximates(food: Food) -> str | None:
    missing = [part for part in PROXIMATES if part not in food.values]
    if missing:
        return f"{', '.join(missing)} is unknown"
    total = sum(food.values[part] for part in PROXIMATES)
    if abs(total - 100) > MOST_OFF_G:
        return f"water to ash add up to {total:.1f} g, not 100"
    return None


def _parts(food: Food) -> str | None:
    for whole, parts in PARTS.items():
        total = sum(food.values.get(part, 0.0) for part in parts)
        if total > food.values[whole] * 1.005:
            return f"the parts of {whole} add up to {total:.2f} g of {food.values[whole]:.2f}"
    return None


CHECKS: Mapping[str, Callable[[Food, float | None], str | None]] = {
    "proximates": lambda food, _: _proximates(food),
    "parts": lambda food, _: _parts(food),
    "energy": _energy,
}


def check_foods(foods: Mapping[str, Food], problems: Problems, *, root: Path) -> None:
    """Report foods whose figures contradict each other, unless the data explains why.

    Water, protein, fat, carbohydrate, fibre and ash make 100 g, give or take 3. Amino acids are
    no more than the protein, fatty acids no more than the fat, no two foods share a name, and
    the energy is within 8 % (or 5 kcal) of what the source lists, with fibre counted or not.
    An explanation of what is not so is a fault as well: it would hide the next one.
    """
    explained = _read_explained(foods, problems, root=root)
    places = _places(root)
    names: dict[str, str] = {}
    for key, food in foods.items():
        row = places.get(key, Row(FOOD_LIST, 1, {}))
        other = names.setdefault(food.name.casefold(), key)
        if other != key:
            problems.add(row, f"{key} is called {food.name!r} like {other}; call it otherwise.")
        listed = number(row, "listed_kcal", problems) if "listed_kcal" in row.cells else None
        for check, look in CHECKS.items():
            fault, excuse = look(food, listed), explained.pop((key, check), None)
            if fault and not excuse:
                problems.add(row, f"{key}: {fault}. Correct it, or explain it in {EXPLAINED}.")
            if excuse and not fault:
                problems.add(excuse, f"{key} passes {check}; take the explanation out.")


def _places(root: Path) -> dict[str, Row]:
    """Return the line each food is listed on; faults of the files themselves are told elsewhere."""
    unheard = Problems()
    rows = read_rows(FOOD_LIST, columns=LIST_COLUMNS, problems=unheard, root=root)
    rows += read_rows(CUTS, columns=CUT_COLUMNS, problems=unheard, root=root)
    return {row["key"]: row for row in rows}


def _read_explained(
    foods: Mapping[str, Food], problems: Problems, *, root: Path
) -> dict[tuple[str, str], Row]:
    rows = read_rows(
        EXPLAINED,
        columns=("food", "check", "reason"),
        problems=problems,
        unique=("food", "check"),
        root=root,
    )
    found = {}
    for row in rows:
        known = one_of(row, "food", foods, problems) and one_of(row, "check", CHECKS, problems)
        if known and not row["reason"]:
            problems.add(row, "the reason is empty; say why the figures do not add up.")
        elif known:
            found[row["food"], row["check"]] = row
    return found
