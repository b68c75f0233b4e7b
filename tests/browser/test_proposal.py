"""A batch proposed from stock on a phone with no network, changed, and accepted."""

import os
import re
from pathlib import Path

from playwright.sync_api import expect

from tests.browser.api import Api
from tests.browser.conftest import Hold
from tests.browser.handset import Handset


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
    _stock(ines, "usda-05027", packs=4, pack_g=250, frozen_on="2026-08-01")
    _stock(ines, "usda-13325", packs=2, pack_g=200, frozen_on="2026-09-20")
    _stock(ines, "usda-17013", packs=6, pack_g=500, frozen_on="2026-09-25")
    handset = hold(ines, "/plan/new")
    handset.sees_mark("Everything synced")
    handset.cut_network()

    handset.tap("Propose from stock")
    handset.sees("whole packs, oldest first")
    handset.sees("They need")
    # It was worked out off the page, whose file is on the phone.
    assert any("solver-worker" in worker.url for worker in handset.page.workers)
    _shot(handset, "plan-proposed")

    # A food that stays in store says why; one that is taken out stays out.
    lines = handset.page.get_by_label("What to pull and use").get_by_role("button")
    expect(lines.first).to_be_visible()
    before = lines.count()
    lines.first.tap()
    handset.tap("Leave it out")
    handset.sheet_closes()
    handset.sees("left out")
    expect(lines).not_to_have_count(0)
    handset.page.get_by_role("button", name=re.compile("^Let the proposal choose")).first.tap()
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
