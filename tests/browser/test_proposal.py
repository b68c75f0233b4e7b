"""A batch proposed from stock on a phone with no network, changed, and accepted."""

import os
import re
from pathlib import Path

from playwright.sync_api import expect

from tests.browser.api import Api
from tests.browser.conftest import Hold
from tests.browser.handset import Handset

LIVER, LAMB = "usda-05027", "usda-17013"
NAMES = ("Chicken liver", "Beef liver", "Lamb leg")


def _stock(ines: Api, food: str, *, packs: int, pack_g: int, frozen_on: str) -> str:
    lot = ines.make("lot", food=food, pack_mass_g=pack_g, place="freezer", frozen_on=frozen_on)
    ines.make("movement", of=lot, what="stored", mass_g=packs * pack_g, at="2026-10-01T10:00:00Z")
    return lot


def _shot(handset: Handset, name: str) -> None:
    if folder := os.environ.get("TRENCHER_SCREENSHOTS"):
        handset.page.screenshot(path=Path(folder) / f"{name}.png", scale="css", full_page=True)


def test_a_batch_is_proposed_changed_and_accepted_offline(
    ines: Api, morag: str, hold: Hold
) -> None:
    ines.make("weighing", dog=morag, at="2026-10-01T10:00:00Z", mass_g=16_000)
    _stock(ines, LIVER, packs=4, pack_g=250, frozen_on="2026-08-01")
    _stock(ines, "usda-13325", packs=2, pack_g=200, frozen_on="2026-09-20")
    _stock(ines, LAMB, packs=6, pack_g=500, frozen_on="2026-09-25")
    handset = hold(ines, "/plan/new")
    handset.sees_mark("Everything synced")
    handset.cut_network()

    handset.tap("Propose from stock")
    handset.sees("whole packs, oldest first")
    handset.sees("They need")
    # It was worked out off the page, whose file is on the phone.
    assert any("solver-worker" in worker.url for worker in handset.page.workers)
    _shot(handset, "plan-proposed")

    # A food that is left out leaves the batch, stays out, says why not, and comes back when let.
    lines = handset.page.get_by_label("What to pull and use").get_by_role("button")
    expect(lines.first).to_be_visible()
    before = lines.count()
    food = next(name for name in NAMES if name in lines.first.inner_text())
    of_it = lines.filter(has_text=food)
    lines.first.tap()
    handset.tap("Leave it out")
    handset.sheet_closes()
    expect(of_it).to_have_count(0)
    expect(lines).not_to_have_count(0)
    handset.sees(re.compile(f"{food}.*: left out"))
    handset.tap(re.compile(f"^Why not {food}"))
    handset.sees("of it in the batch would")
    expect(of_it).to_have_count(0)
    handset.tap(re.compile(f"^Let the proposal choose {food}"))
    expect(of_it).not_to_have_count(0)
    expect(lines).to_have_count(before)

    # What stock lacks is named with the least that mends it; once added, it is in the batch.
    handset.sees("The least that mends it")
    handset.tap("Add all of it")
    expect(handset.page.get_by_text("To buy: not in store").first).to_be_visible()
    _shot(handset, "plan-mended")

    handset.tap("Accept plan")
    handset.sees_title("Plan")
    handset.restore_network()
    handset.sees_mark("Everything synced")
    batch = next(row for row in ines.rows("batch") if row["values"]["stage"] == "planned")
    assert sum(line["mass_g"] for line in batch["values"]["plan"]) > 500


def test_what_passes_a_dogs_own_limit_is_told_of_a_plan_by_hand_and_at_the_counter(
    ines: Api, morag: str, hold: Hold
) -> None:
    ines.make("weighing", dog=morag, at="2026-10-01T10:00:00Z", mass_g=16_000)
    ines.edit(morag, caps={"liver_pct": 5}, may_not_have=[LAMB])
    plan = [{"food": LIVER, "mass_g": 300}, {"food": LAMB, "mass_g": 700}]
    batch = ines.make(
        "batch", number=1, method="chopped", stage="planned", days=2, dogs=[morag], plan=plan
    )
    handset = hold(ines, f"/plan/{batch}")
    handset.sees("It passes a limit of one dog: 30 % liver, the limit is 5 %.")
    handset.sees(re.compile("^Morag may not have Lamb leg"))

    handset.tap("Take it to the counter")
    handset.tick_all()
    handset.tap("Start weighing")
    handset.sees("Not for Morag")
    handset.sees("Liver over a dog’s limit")
    handset.tap(re.compile("Open the check"))
    handset.sees("It passes a limit of one dog: 30 % liver, the limit is 5 %.")
    handset.sees(re.compile("^Morag may not have Lamb leg"))
