"""Targets that rise with something else in the diet: arginine with protein, vitamin E with fat.

The fat that counts for vitamin E is the polyunsaturated: the sum of the fatty acids that the
tables give, so at least so much.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache

from nutrition.composition import Totals, per_1000_kcal
from nutrition.energy_equations import check_range
from nutrition.errors import TableError
from nutrition.nutrients import load_nutrients
from nutrition.rows import PROVENANCE, Problems, Row, converted, one_of, read_rows
from nutrition.standard_tables import EDITIONS, Limits
from nutrition.standards import Targets

COMPANION_FILE = "standards/companions.csv"
POLYUNSATURATED = "polyunsaturated"
ABOVE, AT_LEAST = "above the recommended", "at least"
POLYUNSATURATED_PARTS = ("linoleic", "alpha_linolenic", "arachidonic", "epa", "dha")
# 1000 kcal of protein alone are 250 g at 4 kcal/g (Atwater), of fat 111 g: where more is said to be
# there, an energy was mistyped. The margin is a choice of this project.
MOST_G = 400  # [g/1000 kcal]


@dataclass(frozen=True, slots=True)
class Companion:
    """How much of `key` goes with each gram of `companion`, in the nutrient's own unit."""

    edition: str
    key: str
    companion: str
    rule: str
    per_g: float
    source: str
    locator: str
    verified: str
    note: str


@cache
def companions() -> tuple[Companion, ...]:
    """Return the rules.

    Raises
    ------
    TableError
        If the data file is faulty.
    """
    problems = Problems()
    columns = ("edition", "key", "companion", "rule", "value", "unit", *PROVENANCE)
    rows = read_rows(COMPANION_FILE, columns=columns, problems=problems, unique=("edition", "key"))
    made = [_companion(row, problems) for row in rows]
    if problems.found:
        raise TableError(tuple(problems.found))
    return tuple(each for each in made if each is not None)


def _companion(row: Row, problems: Problems) -> Companion | None:
    nutrients = load_nutrients()
    words = [
        one_of(row, "edition", EDITIONS, problems),
        one_of(row, "key", nutrients, problems),
        one_of(row, "companion", (*nutrients, POLYUNSATURATED), problems),
        one_of(row, "rule", (ABOVE, AT_LEAST), problems),
    ]
    if not all(words):
        return None
    unit = row["unit"].removesuffix("/g")
    amounts = Row(row.file, row.line, row.cells | {"unit": unit})
    per_g = converted(amounts, problems, to_unit=nutrients[row["key"]].unit, nutrient=row["key"])
    if per_g is None:
        return None
    return Companion(
        edition=row["edition"],
        key=row["key"],
        companion=row["companion"],
        rule=row["rule"],
        per_g=per_g,
        source=row["source"],
        locator=row["locator"],
        verified=row["verified"],
        note=row["note"],
    )


def with_companions(
    table: Targets, *, protein_g: float | None = None, polyunsaturated_g: float | None = None
) -> Targets:
    """Return the targets with what this diet's protein and fat ask beyond the table.

    Parameters
    ----------
    table : Targets
        The limits, the table's or one dog's [nutrient unit/1000 kcal].
    protein_g : float or None
        Crude protein of the diet [g/1000 kcal].
    polyunsaturated_g : float or None
        Polyunsaturated fatty acids of the diet [g/1000 kcal]; unknown parts left out.

    Returns
    -------
    Targets
        With a higher recommended amount where an edition has such a rule; never a lower one.

    Raises
    ------
    InputError
        If an amount is negative or more than 1000 kcal of food can hold.

    References
    ----------
    FEDIAF table VII-13: 0.01 g of arginine for each gram of protein above the stage's level.
    AAFCO profiles, footnote: 0.6 IU of vitamin E to each gram of polyunsaturated fat.

    Examples
    --------
    FEDIAF table VII-13, adult: at 40 % of protein 0.74 % of arginine, per 4000 kcal/kg.

    >>> from nutrition.standards import targets
    >>> meat = with_companions(targets("fediaf-2021", "adult"), protein_g=100)
    >>> round(meat.limits["arginine"].recommended, 2)
    1.85
    """
    amounts = {"protein": protein_g, POLYUNSATURATED: polyunsaturated_g}
    for name, amount in amounts.items():
        if amount is not None:
            check_range(f"{name}_g", amount, 0, MOST_G, "g per 1000 kcal")
    limits = dict(table.limits)
    for rule in companions():
        amount = amounts.get(rule.companion)
        if rule.edition == table.edition and rule.key in limits and amount is not None:
            limits[rule.key] = _raised(limits, rule, amount)
    return replace(table, limits=limits)


def for_diet(table: Targets, total: Totals) -> Targets:
    """Return the targets with what the known protein and fat of a diet ask beyond the table.

    Parameters
    ----------
    table : Targets
        The limits, the table's or one dog's [nutrient unit/1000 kcal].
    total : Totals
        The batch or intake that is judged: energy [kcal], nutrients [own unit].

    Returns
    -------
    Targets
        As with_companions. Food whose energy cannot be right keeps the table's figures.
    """
    parts = [total.known[part] for part in POLYUNSATURATED_PARTS]
    fat_g = sum(part for part in parts if part is not None) if any(parts) else None
    return with_companions(
        table,
        protein_g=_believed(total.known["protein"], total.energy_kcal),
        polyunsaturated_g=_believed(fat_g, total.energy_kcal),
    )


def _believed(amount_g: float | None, energy_kcal: float) -> float | None:
    per = per_1000_kcal(amount_g, energy_kcal=energy_kcal)
    return None if per is None or per > MOST_G else per


def _raised(limits: Mapping[str, Limits], rule: Companion, amount_g: float) -> Limits:
    row = limits[rule.key]
    base = row.recommended or 0.0
    asked = rule.per_g * amount_g
    if rule.rule == ABOVE:
        level = limits[rule.companion].recommended or 0.0
        asked = base + rule.per_g * max(0.0, amount_g - level)
    if asked <= base:
        return row
    verified = "computed" if row.verified == "read" else row.verified
    return replace(row, recommended=asked, verified=verified)
