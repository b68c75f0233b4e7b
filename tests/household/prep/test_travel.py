"""Travelling: days on which every meal offers dry food, and what else of duties a sitter sees."""

from typing import Any

import pytest

from household.prep.models import Travel
from household.sync.envelope import slot_id
from tests.household.conftest import LOT, Op, Phone, dog_values, heads

pytestmark = pytest.mark.django_db
AT = "2026-11-25T08:00:00Z"
DAYS = {"first": "2026-12-04", "last": "2026-12-06"}


@pytest.fixture
def dry(ines: Phone) -> Op:
    return ines.make("food", {"name": "Biscuit for busy days", "style": "dry"})


def test_two_phones_that_enter_a_period_each_have_both(ines: Phone, callum: Phone, dry: Op) -> None:
    ines.make("travel", {"days": DAYS, "food": dry["rid"]})
    callum.make("travel", {"days": {**DAYS, "last": "2026-12-08"}, "food": dry["rid"]})
    lasts = Travel.living(ines.member.household_id).values_list("days_last", flat=True)
    assert sorted(map(str, lasts)) == ["2026-12-06", "2026-12-08"]
    for phone in (ines, callum):
        travels = [row for row in phone.pull().values() if row["entity"] == "travel"]
        assert [row["heads"] for row in travels] == [{}, {}]  # Nobody is asked anything.


@pytest.mark.parametrize(
    ("values", "register", "words"),
    [
        ({"days": {"first": "2026-12-06", "last": "2026-12-04"}}, "days", "first day"),
        ({"days": {"first": "2026-12-06"}}, "days.last", "last day"),
        ({"days": None}, "days", "days"),
        ({"food": None}, "food", "dry food"),
    ],
)
def test_a_period_that_makes_no_sense_is_refused_with_a_reason(
    ines: Phone, dry: Op, values: dict[str, Any], register: str, words: str
) -> None:
    op = ines.op("travel", {"days": DAYS, "food": dry["rid"], **values})
    (result,) = ines.results(op)
    assert result["status"] == "rejected"
    assert words in " ".join(result["fields"][register]).lower()


def test_a_sitter_sees_what_is_fed_and_who_does_what_never(
    ines: Phone, sitter: Phone, dry: Op
) -> None:
    """Meals, and that dry food is fed for some days; no rota, duty, pull, lot or summary."""
    ines.make("dog", dog_values())
    ines.make("mealtime", {"name": "Supper", "time": "18:00"})
    ines.make("meal", {"day": "2026-11-25", "at": AT})
    made = ines.make("travel", {"days": DAYS, "food": dry["rid"]})
    rota = {"what": "grind", "starts_on": "2026-11-25", "time": "18:00"}
    weekly = ines.make("rota", {**rota, "repeats": {"every_days": 7}})
    done = str(slot_id("duty", weekly["rid"], "2026-11-25"))
    ines.make("duty", {"what": "grind", "due_at": AT}, rid=done, new=True)
    lot = ines.make("lot", LOT)
    pull = {"of": lot["rid"], "pack_mass_g": 500, "packs": 1, "needed_at": AT}
    ines.make("pull", pull)
    seen = {row["entity"] for row in sitter.pull().values()}
    assert seen == {"dog", "food", "mealtime", "meal", "travel"}
    first = sitter.client.get(f"{sitter.base}/first", headers=heads({}))
    # By the clock of the machine, so older entries may be left out.
    assert {"travel"} <= {row["entity"] for row in first.json()["rows"]} <= seen
    refused = sitter.results(
        sitter.op("travel", {"days": {**DAYS, "last": "2026-12-20"}}, rid=made["rid"], new=False),
        sitter.op("rota", {**rota, "repeats": {"every_days": 7}}),
        sitter.op("duty", {"what": "shop"}),
        sitter.op("pull", pull),
    )
    assert [each["code"] for each in refused] == ["forbidden"] * 4
    for rid in (weekly["rid"], done):
        history = sitter.client.get(f"{sitter.base}/history/{rid}", headers=heads({}))
        assert history.status_code == 404
