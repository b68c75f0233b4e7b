"""Figures lent to a food that has a hole: by a like food, or by what its group usually holds.

A lent figure is worked out here and never typed in, always has a range, and says in its origin
who lent it and by which ratio. A food that knows or bounds a nutrient itself is never lent to.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from nutrition.amounts import HIGHEST, LOWEST, VALUE, AmountsRead, FoodFiles
from nutrition.food import significant
from nutrition.nutrients import PARTS
from nutrition.rows import PROVENANCE, Row, check_provenance, converted, number, one_of, read_rows

DONORS = "donors/trencher-1.csv"
ESTIMATES = "estimates/anses-ciqual-2020.csv"
DONOR_COLUMNS = ("food", "key", "donor", "by", "error", "unit", "basis", *PROVENANCE)
ESTIMATE_COLUMNS = (
    "group",
    "key",
    "by",
    "value",
    "lowest",
    "highest",
    "unit",
    "basis",
    *PROVENANCE,
)
SETS = {"amino acids": PARTS["protein"], "fatty acids": PARTS["fat"]}
WHOLES = ("protein", "fat")
DIGITS = 4


@dataclass(frozen=True, slots=True)
class Loan:
    """An amount with its range [nutrient unit/100 g]."""

    value: float
    lowest: float
    highest: float


def by_ratio(donor_amount: float, *, donor_whole: float, whole: float, error: float) -> Loan:
    """Return an amount scaled from a like food by protein or by fat.

    Parameters
    ----------
    donor_amount : float
        What the donor holds of the nutrient [nutrient unit/100 g].
    donor_whole, whole : float
        Protein or fat of the donor and of the food that is lent to [g/100 g]; the donor's is
        over zero.
    error : float
        Relative error of such a loan [-], 0 to 1.

    Returns
    -------
    Loan
        Amount and range [nutrient unit/100 g].

    Examples
    --------
    Choline of beef heart from the simmered heart (SR28 13322), by protein.

    >>> round(by_ratio(228.8, donor_whole=28.48, whole=17.72, error=0.25).value)
    142
    """
    value = donor_amount * whole / donor_whole
    return Loan(value, value * (1 - error), value * (1 + error))


def lend(amounts: Mapping[str, AmountsRead], files: FoodFiles) -> None:
    """Fill holes of foods from their donors, and report a loan that fills none."""
    own = {key: dict(each.values) for key, each in amounts.items()}
    rows = read_rows(
        DONORS,
        columns=DONOR_COLUMNS,
        problems=files.problems,
        unique=("food", "key"),
        root=files.root,
    )
    for row in rows:
        check_provenance(row, files.sources, files.problems)
        error = number(row, "error", files.problems)
        one_of(row, "unit", ("g/g",), files.problems)
        sound = (
            one_of(row, "food", amounts, files.problems)
            and one_of(row, "donor", amounts, files.problems)
            and one_of(row, "key", (*SETS, *files.nutrients), files.problems)
            and one_of(row, "by", WHOLES, files.problems)
        )
        if not sound or error is None:
            continue
        if not 0 <= error < 1:
            files.problems.add(row, f"error is {error}; it is a share from 0 to under 1.")
            continue
        _lend_row(row, amounts[row["food"]], own[row["donor"]], error, files)


def _lend_row(
    row: Row, taker: AmountsRead, donor: Mapping[str, float], error: float, files: FoodFiles
) -> None:
    by, given = row["by"], 0
    if not donor.get(by) or by not in taker.values:
        files.problems.add(row, f"{by} must be known of {row['food']} and {row['donor']}.")
        return
    donor_record = files.records.get(row["donor"])
    source, locator = donor_record or (row["source"], row["donor"])
    ratio = f"{locator}, by {by} {taker.values[by]:g}/{donor[by]:g}"
    for key in SETS.get(row["key"], (row["key"],)):
        if key not in donor or taker.row(key) is not None:
            continue
        loan = by_ratio(donor[key], donor_whole=donor[by], whole=taker.values[by], error=error)
        _write(taker, key, loan, row, source=source, locator=ratio)
        given += 1
    if not given:
        files.problems.add(
            row, f"{row['donor']} has nothing to lend, or {row['food']} needs none; take it out."
        )


def _write(
    taker: AmountsRead, key: str, loan: Loan, row: Row, *, source: str, locator: str
) -> None:
    cells = row.cells | {"source": source, "locator": locator, "verified": "computed"}
    for side, amount in (
        (taker.values, loan.value),
        (taker.low, loan.lowest),
        (taker.high, loan.highest),
    ):
        side |= significant({key: amount}, digits=DIGITS)
    for basis in (VALUE, LOWEST, HIGHEST):
        taker.rows[key, basis] = Row(row.file, row.line, cells)


def estimate(amounts: Mapping[str, AmountsRead], listed: Iterable[Row], files: FoodFiles) -> None:
    """Fill holes of raw foods with what raw foods of their group hold, by mass or by sodium."""
    rows = read_rows(
        ESTIMATES,
        columns=ESTIMATE_COLUMNS,
        problems=files.problems,
        unique=("group", "key"),
        root=files.root,
    )
    foods = [row for row in listed if row["style"] == "raw" and row["key"] in amounts]
    for row in rows:
        check_provenance(row, files.sources, files.problems)
        known_group = one_of(row, "group", files.groups, files.problems)
        known_key = one_of(row, "key", files.nutrients, files.problems)
        if known_group and known_key and one_of(row, "by", ("mass", "sodium"), files.problems):
            _estimate_group(row, [f for f in foods if f["group"] == row["group"]], amounts, files)


def _estimate_group(
    row: Row, foods: Iterable[Row], amounts: Mapping[str, AmountsRead], files: FoodFiles
) -> None:
    unit = files.nutrients[row["key"]].unit
    per_sodium = row["by"] == "sodium"
    figures = []
    for column in ("value", "lowest", "highest"):
        if per_sodium:
            one_of(row, "unit", (f"{unit}/mg",), files.problems)
            figures.append(number(row, column, files.problems))
        else:
            figures.append(converted(row, files.problems, to_unit=unit, column=column))
    value, lowest, highest = figures
    if value is None or lowest is None or highest is None:
        files.problems.add(row, "an estimate needs value, lowest and highest.")
        return
    if not lowest <= value <= highest:
        files.problems.add(row, "lowest, value and highest must not fall.")
        return
    for food in foods:
        taker = amounts[food["key"]]
        size = taker.values.get("sodium") if per_sodium else 1.0
        if size is None or taker.row(row["key"]) is not None:
            continue
        locator = row["locator"] + (f", {value:g} x sodium" if per_sodium else "")
        loan = Loan(value * size, lowest * size, highest * size)
        _write(taker, row["key"], loan, row, source=row["source"], locator=locator)
