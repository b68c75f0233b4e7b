"""Rotas and the days they fall on, for both languages: python -m tests.household.prep.rota_vectors.

The file is what household/prep/rota.py says; test_rota.py compares that with dateutil.
"""

import json
from datetime import date
from pathlib import Path
from typing import Any

from household.prep.rota import Repetition, turns_between

PATH = Path(__file__).parents[3] / "fixtures" / "vectors" / "rota.json"
INES, CALLUM, BETTRYS = "ines", "callum", "bettrys"
Json = dict[str, Any]


def rota(starts_on: str, **more: Any) -> Json:
    repeats = {name: more.pop(name) for name in ("every_days", "weekdays") if name in more}
    return {"starts_on": starts_on, "repeats": repeats, **more}


CASES: list[tuple[str, Json, str, str]] = [
    ("every day, nobody's", rota("2026-11-20", every_days=1), "2026-11-25", "2026-11-28"),
    ("every other day, in turns",
     rota("2026-11-20", every_days=2, turns=[INES, CALLUM]), "2026-11-23", "2026-12-02"),
    ("over the end of February in a leap year",
     rota("2028-02-27", every_days=1, turns=[INES, CALLUM, BETTRYS]), "2028-02-28", "2028-03-02"),
    ("over the change of the clocks",
     rota("2026-10-20", every_days=3, turns=[INES]), "2026-10-22", "2026-10-31"),
    ("on two days of the week, begun between them",
     rota("2026-11-25", weekdays=["sat", "tue"], turns=[INES, CALLUM]),
     "2026-11-20", "2026-12-12"),
    ("three in turns, read years later",
     rota("2019-03-06", weekdays=["mon", "wed", "fri"], turns=[INES, CALLUM, BETTRYS]),
     "2026-11-25", "2026-12-04"),
    ("from before 1970", rota("1968-12-30", weekdays=["sun"]), "1969-12-20", "1970-01-12"),
    ("ended", rota("2026-11-01", every_days=7, ends_on="2026-11-15"), "2026-11-01", "2026-12-31"),
    ("not begun yet", rota("2026-12-24", every_days=1), "2026-11-01", "2026-12-23"),
    ("over before it began",
     rota("2026-11-10", every_days=1, ends_on="2026-11-09"), "2026-11-01", "2026-11-30"),
    ("the same person twice in a row",
     rota("2026-11-02", every_days=1, turns=[INES, INES, CALLUM]), "2026-11-03", "2026-11-09"),
    ("a day named twice",
     rota("2026-11-02", weekdays=["mon", "mon", "thu"], turns=[INES, CALLUM]),
     "2026-11-09", "2026-11-26"),
]  # fmt: skip


def repetition(given: Json) -> Repetition:
    """A rota of the vectors as the Python of it."""
    ends_on = given.get("ends_on")
    return Repetition(
        starts_on=date.fromisoformat(given["starts_on"]),
        ends_on=date.fromisoformat(ends_on) if ends_on else None,
        every_days=given["repeats"].get("every_days"),
        weekdays=given["repeats"].get("weekdays", ()),
        turns=given.get("turns", ()),
    )


def rendered() -> str:
    """The exact text of the file."""
    cases = [
        {
            "name": name,
            "rota": given,
            "first": first,
            "last": last,
            "turns": [
                {"day": turn.day.isoformat(), "assignee": turn.assignee}
                for turn in turns_between(
                    repetition(given), date.fromisoformat(first), date.fromisoformat(last)
                )
            ],
        }
        for name, given, first, last in CASES
    ]
    return json.dumps({"cases": cases}, indent=1) + "\n"


if __name__ == "__main__":
    PATH.write_text(rendered(), encoding="utf-8")
