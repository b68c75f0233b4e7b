"""From plan to fridge: pulls accepted, packs moved offline on two phones, one exact ledger."""

import re
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

from playwright.sync_api import expect

from tests.browser.api import ZONE, Api
from tests.browser.conftest import Hold

NOW = datetime.now(UTC)
DATE = "%Y-%m-%d"
HEART = "usda-13321"  # Beef heart.
PACK_G = 640
STORED_G = 4 * PACK_G


def planned(ines: Api) -> tuple[str, str]:
    """A lot in the freezer and a batch, four days off, that needs two packs of it."""
    frozen_on = (NOW - timedelta(days=30)).strftime(DATE)
    lot = ines.make(
        "lot",
        food=HEART,
        pack_mass_g=PACK_G,
        place="freezer",
        frozen_on=frozen_on,
        form="flat_bag",
        thickness_mm=30,
    )
    ines.make("movement", of=lot, what="stored", mass_g=STORED_G, at=f"{frozen_on}T08:00:00Z")
    batch = ines.make(
        "batch",
        number=42,
        method="ground",
        stage="planned",
        planned_for=(NOW + timedelta(days=4)).strftime(DATE),
        plan=[{"food": HEART, "mass_g": 1000}],
    )
    return lot, batch


def test_packs_moved_offline_on_two_phones_are_in_the_ledger_once(
    ines: Api, callum: Api, hold: Hold
) -> None:
    """He moves both packs, she has moved the first of them: two packs, not three."""
    lot, batch = planned(ines)
    hers = hold(ines, f"/plan/{batch}")
    hers.tap("Pulls from the freezer")
    hers.sees_title("Pulls for batch 42")
    hers.sees("Beef heart, 2 packs of 640 g")
    hers.tap("Accept 1 pull")
    expect(hers.button("Moved: 2 packs to the fridge")).to_be_visible()
    hers.sees_mark("Everything synced")
    his = hold(callum, f"/plan/{batch}/pulls")
    for phone in (hers, his):
        phone.cut_network()
    hers.tap("Moved, or change")
    hers.front.get_by_role("checkbox", name=re.compile("^Pack 1")).tap()
    hers.choose("Where it thaws", "Counter top")
    hers.sees("Not on the counter top")
    hers.choose("Where it thaws", "In the fridge")
    # She notes it late: in one and the same second the two would agree.
    # Counted in UTC: on the day that the clocks go forward some minutes never were.
    moved = (datetime.now(UTC) - timedelta(minutes=20)).astimezone(ZoneInfo(ZONE))
    hers.tap("Another time")
    hers.fill("Day", moved.strftime(DATE))
    hers.fill("Time", moved.strftime("%H:%M"))
    hers.tap("Moved: 1 pack, 640 g")
    hers.sheet_closes()
    hers.sees(re.compile(f"^Moved .* {moved:%H:%M} .*by you"))
    hers.waits_with(1)
    his.tap("Moved: 2 packs to the fridge")
    his.sees(re.compile("^Make the batch by .*: Beef heart keeps least"))
    his.waits_with(2)
    for phone in (hers, his):
        phone.restore_network()
        phone.meet_server()
    hers.meet_server()
    moves = [row for row in ines.rows("movement") if row["values"]["what"] == "thawed"]
    assert [row["values"]["mass_g"] for row in moves] == [PACK_G, PACK_G]
    (found,) = ines.ask("GET", f"{ines.at_home}/lots")
    assert found["rid"] == lot
    assert found["stock_g"] == STORED_G
    # They differ over when the first pack went in, and a person says which it was.
    for phone in (hers, his):
        phone.sees_mark("Needs you")
        phone.open("/stores")
        fridge = phone.page.get_by_role("listitem").filter(has_text="Thawed by")
        expect(fridge.filter(has_text="Beef heart").first).to_be_visible()
        masses = [
            int(count or 1) * PACK_G
            for count in re.findall(r"(?:(\d) × )?640 g", " ".join(fridge.all_inner_texts()))
        ]
        assert sum(masses) == 2 * PACK_G


def test_packs_of_a_batch_moved_in_one_tap_are_taken_back_in_one(ines: Api, hold: Hold) -> None:
    _, batch = planned(ines)
    phone = hold(ines, f"/plan/{batch}/pulls")
    phone.tap("Accept 1 pull")
    phone.tap("Moved: 2 packs to the fridge")
    phone.sees("To the fridge: 2 packs")
    phone.tap("Undo")
    expect(phone.button("Moved: 2 packs to the fridge")).to_be_visible()
    expect(phone.page.get_by_text("To the fridge: 2 packs")).to_have_count(0)


def test_a_pull_for_a_meal_is_undone_and_stands_on_today(ines: Api, hold: Hold) -> None:
    lot, _ = planned(ines)
    phone = hold(ines, "/plan")
    phone.cut_network()
    phone.tap("Pull for a meal")
    phone.tap("Beef heart")
    day = datetime.now(UTC) + timedelta(days=1)
    phone.fill("Day it is fed", day.strftime(DATE))
    phone.fill("Time", "23:30")
    phone.tap("Pull 1 pack")
    phone.sheet_closes()
    phone.open("/today")
    phone.tap("Moved: Beef heart, 640 g")
    phone.sees("To the fridge: Beef heart, 640 g")
    phone.sees("In the fridge")
    phone.tap("Undo")
    expect(phone.button("Moved: Beef heart, 640 g")).to_be_visible()
    phone.restore_network()
    phone.sees_mark("Everything synced")
    assert [row["values"]["what"] for row in ines.rows("movement")] == ["stored"]
    (pull,) = ines.rows("pull")
    assert (pull["values"]["of"], pull["values"]["packs"]) == (lot, 1)
