"""In which chemical form an edition states a nutrient, and which one the food tables give.

Where the two are different substances an amount of the one says nothing about the other: such a
nutrient is not judged, and the reason is shown in place of a word.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from nutrition.nutrients import Nutrient
from nutrition.rows import PROVENANCE, Problems, check_provenance, one_of, read_rows
from nutrition.sources import Source

FILE = "standards/forms-1.csv"


@dataclass(frozen=True, slots=True)
class Form:
    """What an edition states, what the food tables count, and whether the two are compared."""

    stated_as: str
    counted_as: str
    is_compared: bool
    note: str
    source: str
    locator: str
    verified: str


def read_forms(
    editions: Mapping[str, str],
    nutrients: Mapping[str, Nutrient],
    sources: Mapping[str, Source],
    problems: Problems,
    *,
    root: Path,
) -> dict[str, dict[str, Form]]:
    """Return the forms that need a word, by edition and nutrient."""
    rows = read_rows(
        FILE,
        columns=("edition", "key", "stated_as", "counted_as", "compared", *PROVENANCE),
        problems=problems,
        unique=("edition", "key"),
        root=root,
    )
    found: dict[str, dict[str, Form]] = {edition: {} for edition in editions}
    for row in rows:
        check_provenance(row, sources, problems)
        words = [
            one_of(row, "edition", editions, problems),
            one_of(row, "key", nutrients, problems),
            one_of(row, "compared", ("yes", "no"), problems),
        ]
        if not row["note"]:
            problems.add(row, "note is empty; say what is counted, and why or why not.")
        if all(words):
            found[row["edition"]][row["key"]] = Form(
                row["stated_as"],
                row["counted_as"],
                row["compared"] == "yes",
                row["note"],
                row["source"],
                row["locator"],
                row["verified"],
            )
    return found
