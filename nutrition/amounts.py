"""The figures of foods from their files: amount, bounds and provenance per nutrient.

Rows "per 100 g, lowest" and "per 100 g, highest" bound a figure. `foods/ranges-1.csv` has them
for foods that a second table publishes as well (same species, part and state): USDA lists the
organs of two countries, and Anses-Ciqual most foods once more. The other figure becomes a bound

- when it is more than 25 % off the food's value,
- and the difference is more than 1 % of an adult's recommended allowance per 1000 kcal, since
  a trace that doubles is still a trace,
- and neither is more than six times the other: then one of them is more likely a slip than the
  food so variable. Selenium, which follows the soil, is the exception, and so is a printed zero
  that the other table found to be more.

Figures that a source worked out from another food itself, and zeros of the other table (often
assumed), bound nothing. Proximates and amino acids belong together and keep their record's.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from nutrition.food import Provenance
from nutrition.nutrients import SUMS, Nutrient
from nutrition.rows import (
    PROVENANCE,
    Problems,
    Row,
    check_provenance,
    converted,
    one_of,
    read_rows,
)
from nutrition.sources import Source

VALUE, LOWEST, HIGHEST = "per 100 g", "per 100 g, lowest", "per 100 g, highest"
AMOUNT_COLUMNS = ("food", "key", "value", "unit", "basis", *PROVENANCE)
# The one row that a pure compound needs for all that it does not hold.
OTHERS = "others"


@dataclass(slots=True)
class FoodFiles:
    """What the readers of the food files share."""

    nutrients: Mapping[str, Nutrient]
    sources: Mapping[str, Source]
    groups: Mapping[str, str]
    uppers: Mapping[str, Mapping[str, float]]
    problems: Problems
    root: Path
    # Source and locator of each listed food's own record.
    records: dict[str, tuple[str, str]] = field(default_factory=dict)


@dataclass(slots=True)
class AmountsRead:
    """The amounts of one food, their bounds, and the row each of them stands on."""

    values: dict[str, float] = field(default_factory=dict)
    low: dict[str, float] = field(default_factory=dict)
    high: dict[str, float] = field(default_factory=dict)
    rows: dict[tuple[str, str], Row] = field(default_factory=dict)

    def row(self, key: str) -> Row | None:
        """Return the row that gives the nutrient, or else one that bounds it."""
        found = (self.rows.get((key, basis)) for basis in (VALUE, LOWEST, HIGHEST))
        return next((row for row in found if row is not None), None)

    def provenance(
        self, bases: Iterable[str], *, source: str, locator: str
    ) -> dict[str, Provenance]:
        """Return where figures come from that are not of the food's own record.

        A figure that was read in the food's record, or worked out from it (carbohydrate by
        difference), is left out: the food itself says that already.
        """
        wanted, found = tuple(bases), {}
        for (key, basis), row in self.rows.items():
            own = row["source"] == source and row["locator"].startswith(locator)
            if basis in wanted and not own:
                found[key] = Provenance(row["source"], row["locator"], row["verified"])
        return found


def read_amounts(files: FoodFiles, names: tuple[str, ...]) -> dict[str, AmountsRead]:
    """Return the amounts by food, from files of which a later one may fill but not change."""
    found: dict[str, AmountsRead] = defaultdict(AmountsRead)
    for name in names:
        rows = read_rows(
            name,
            columns=AMOUNT_COLUMNS,
            problems=files.problems,
            unique=("food", "key", "basis"),
            root=files.root,
        )
        for row in rows:
            amount = _amount(row, files)
            if amount is None:
                continue
            if row["key"] == OTHERS:
                _fill_others(found[row["food"]], row, files)
            else:
                _put(found[row["food"]], row, amount, files.problems)
    return found


def _amount(row: Row, files: FoodFiles) -> float | None:
    check_provenance(row, files.sources, files.problems)
    one_of(row, "basis", (VALUE, LOWEST, HIGHEST), files.problems)
    if row["key"] in SUMS:
        files.problems.add(row, f"{row['key']} is a sum; give its parts.")
        return None
    if row["key"] == OTHERS:
        return 0.0
    if not one_of(row, "key", files.nutrients, files.problems):
        return None
    unit = files.nutrients[row["key"]].unit
    return converted(row, files.problems, to_unit=unit, nutrient=row["key"])


def _fill_others(amounts: AmountsRead, row: Row, files: FoodFiles) -> None:
    if row["value"] != "0" or row["basis"] != VALUE:
        files.problems.add(row, "others can only be 0, per 100 g: what a pure compound lacks.")
        return
    for key in files.nutrients:
        if key not in SUMS and amounts.row(key) is None:
            amounts.values[key] = 0.0
            amounts.rows[key, VALUE] = row


def _put(amounts: AmountsRead, row: Row, amount: float, problems: Problems) -> None:
    place = (row["key"], row["basis"])
    earlier = amounts.rows.get(place)
    if earlier is not None and row["source"] != "usda-sr-legacy":
        problems.add(
            row,
            f"{row['key']} of {row['food']} is already given by {earlier.file}, line "
            f"{earlier.line}; keep one.",
        )
        return
    amounts.rows[place] = row
    target = {VALUE: amounts.values, LOWEST: amounts.low, HIGHEST: amounts.high}
    target.get(row["basis"], {})[row["key"]] = amount


def check_ranges(row: Row, amounts: AmountsRead, problems: Problems) -> None:
    """Report a range that does not hold its value."""
    for key in amounts.low.keys() | amounts.high.keys():
        steps = [side.get(key) for side in (amounts.low, amounts.values, amounts.high)]
        known = [step for step in steps if step is not None]
        if known != sorted(known):
            bound = amounts.rows.get((key, LOWEST)) or amounts.rows.get((key, HIGHEST))
            problems.add(
                bound or row,
                f"{key} runs {known}; lowest, value and highest must not fall.",
            )
