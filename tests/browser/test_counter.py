"""The counter with no network: a food that is not good, a phone that dies, and not a gram lost."""

import re

import pytest
from playwright.sync_api import expect

from tests.browser import kitchen, looking
from tests.browser.api import Api
from tests.browser.conftest import Hold
from tests.browser.handset import Handset

HEART, LIVER, KIDNEY = "usda-13321", "usda-13325", "usda-13323"
BONY = "cut-chicken-back"
LEAST_PX = 64  # Hands are wet.


@pytest.fixture
def batch(ines: Api, morag: str) -> str:
    ines.make("weighing", dog=morag, at="2026-10-01T10:00:00Z", mass_g=16_000)
    _stock(ines, HEART, packs=4, pack_g=500)
    _stock(ines, LIVER, packs=1, pack_g=100)
    _stock(ines, KIDNEY, packs=4, pack_g=250)
    plan = [{"food": HEART, "mass_g": 500}, {"food": LIVER, "mass_g": 100}]
    return ines.make(
        "batch", number=1, method="chopped", stage="planned", days=2, dogs=[morag], plan=plan
    )


def _stock(ines: Api, food: str, *, packs: int, pack_g: int) -> None:
    lot = ines.make("lot", food=food, pack_mass_g=pack_g, place="freezer", frozen_on="2026-09-01")
    ines.make("movement", of=lot, what="stored", mass_g=packs * pack_g, at="2026-10-01T10:00:00Z")


def _to_the_scale(handset: Handset) -> None:
    handset.tick_all()
    handset.tap("Start weighing")


def _put_in(handset: Handset, mass_g: int) -> None:
    handset.tap("All good")
    kitchen.press_keys(handset, mass_g)
    handset.tap(f"Put in {mass_g} g")
    expect(handset.button(f"Undo {mass_g} g")).to_be_visible()


def _ledger(ines: Api, what: str) -> list[int]:
    movements = [row["values"] for row in ines.rows("movement")]
    return sorted(each["mass_g"] for each in movements if each["what"] == what)


def _used_of(ines: Api) -> dict[str, int]:
    """Grams that the ledger says were used of each food in store."""
    foods = {row["rid"]: row["values"]["food"] for row in ines.rows("lot")}
    used: dict[str, int] = {}
    for movement in (row["values"] for row in ines.rows("movement")):
        if movement["what"] == "used":
            food = foods[movement["of"]]
            used[food] = used.get(food, 0) + movement["mass_g"]
    return used


def test_what_is_not_good_leaves_the_ledger_and_the_batch_is_solved_again(
    ines: Api, batch: str, hold: Hold
) -> None:
    handset = hold(ines, f"/counter/{batch}")
    handset.cut_network()
    _to_the_scale(handset)
    _put_in(handset, 500)

    handset.sees("Look and smell first")
    assert looking.small_targets(handset.page, LEAST_PX) == []
    handset.tap("Not good")
    handset.sees("Tick what is wrong")
    handset.front.get_by_role("checkbox", name=re.compile("foul smell")).tap()
    handset.tap("Throw away 100 g")
    handset.sees("Thrown away: 100 g")
    instead = handset.page.get_by_label("Instead")
    expect(instead).to_contain_text("planned 100 g, left out")
    expect(instead).to_contain_text("still in the freezer")
    handset.tap("Change the plan")
    handset.sheet_closes()
    handset.misses(re.compile("liver"))

    handset.restore_network()
    handset.sees_mark("Everything synced")
    assert _ledger(ines, "discarded") == [100]
    assert _ledger(ines, "used") == [500]
    plan = {line["food"]: line["mass_g"] for line in ines.row(batch)["values"]["plan"]}
    assert LIVER not in plan
    # As large as it was planned: what stands in for the liver holds about as much energy.
    assert plan[HEART] >= 500
    assert 560 <= sum(plan.values()) <= 700


def test_a_throwing_away_is_undone(ines: Api, batch: str, hold: Hold) -> None:
    handset = hold(ines, f"/counter/{batch}")
    _to_the_scale(handset)
    handset.tap("Not good")
    handset.front.get_by_role("checkbox", name=re.compile("Pack torn")).tap()
    handset.tap("Throw away 500 g")
    handset.sees("enough for the plan")
    handset.tap("Undo")
    handset.tap("Back")
    handset.sheet_closes()
    handset.sees_mark("Everything synced")
    assert _ledger(ines, "discarded") == []


def test_something_else_is_used_in_two_taps_and_the_ledger_is_right(
    ines: Api, batch: str, hold: Hold
) -> None:
    handset = hold(ines, f"/counter/{batch}")
    handset.cut_network()
    _to_the_scale(handset)
    _put_in(handset, 500)

    handset.tap("Used something else")
    expect(handset.sheet).to_have_accessible_name("Used something else")
    assert looking.small_targets(handset.page, LEAST_PX) == []
    handset.tap(re.compile("kidney.*in the freezer still"))
    handset.sheet_closes()
    # The same grams, to be looked at like any other; a reload in between changes nothing.
    handset.sees("plan 100 g")
    handset.page.reload()
    handset.sees("plan 100 g")
    expect(handset.page.get_by_role("heading", level=2)).to_contain_text("kidney")
    _put_in(handset, 100)
    handset.sees("600")
    expect(handset.button("Finish with 600 g")).to_be_visible()
    # One more besides the plan: it is looked at and weighed as any other.
    handset.tap("All foods")
    handset.tap("Put in another food")
    handset.fill("Find", "beef liver")
    handset.tap(re.compile(r"Beef liver \(United States\)"))
    handset.sheet_closes()
    # Nobody read of it in the plan.
    handset.sees("Vitamin A and copper of liver differ")
    _put_in(handset, 40)
    expect(handset.button("Finish with 640 g")).to_be_visible()

    handset.restore_network()
    handset.sees_mark("Everything synced")
    plan = [(line["food"], line["mass_g"]) for line in ines.row(batch)["values"]["plan"]]
    assert plan == [(HEART, 500), (KIDNEY, 100)]
    assert _used_of(ines) == {HEART: 500, KIDNEY: 100, LIVER: 40}


def test_a_phone_that_dies_in_the_middle_loses_no_gram(ines: Api, batch: str, hold: Hold) -> None:
    handset = hold(ines, f"/counter/{batch}")
    handset.cut_network()
    _to_the_scale(handset)
    _put_in(handset, 487)
    handset.tap("All good")
    kitchen.press_keys(handset, 96)
    # A tap is over before the page has heard of it.
    expect(handset.button("Put in 96 g")).to_be_visible()

    handset.crash()
    handset.reopen(f"/counter/{batch}")
    # What was in the bowl, what was looked at and what stood on the display are all still there.
    expect(handset.button("Undo 487 g")).to_be_visible()
    handset.tap("Put in 96 g")
    expect(handset.button("Undo 96 g")).to_be_visible()
    handset.sees("583")

    handset.restore_network()
    handset.sees_mark("Everything synced")
    assert sorted(row["values"]["mass_g"] for row in ines.rows("weigh_in")) == [96, 487]
    assert _ledger(ines, "used") == [96, 487]


def test_a_member_who_reads_ounces_weighs_in_ounces_and_grams_are_kept(
    ines: Api, batch: str, morag: str, hold: Hold
) -> None:
    # 1 oz = 28.349523125 g: a sixteenth of the international avoirdupois pound of 0.45359237 kg
    # (NIST SP 811, appendix B.8). 8.4 oz are 238.1 g, 17.6 oz are 499.0 g.
    ines.ask("PATCH", f"{ines.at_home}/members/{ines.member}", {"units": "us"})
    plan = [{"food": HEART, "mass_g": 500}]
    chopped = ines.make(
        "batch", number=4, method="chopped", stage="planned", days=1, dogs=[morag], plan=plan
    )
    handset = hold(ines, f"/plan/{chopped}")
    handset.tap(re.compile("heart"))
    expect(handset.front.get_by_label(re.compile("^Ounces of "))).to_have_value("17.6")
    handset.front.get_by_role("button", name=re.compile("ounces more$")).tap()
    # Two packs of 500 g.
    expect(handset.button("Plan 35.3 oz")).to_be_visible()
    handset.open(f"/counter/{chopped}")
    handset.cut_network()
    _to_the_scale(handset)
    handset.tap("All good")
    handset.sees("plan 17.6 oz")
    kitchen.press_keys(handset, "8.4", unit="Ounces")
    expect(handset.button("Put in 8.4 oz")).to_be_visible()
    handset.page.reload()
    handset.tap("Put in 8.4 oz")
    expect(handset.button("Undo 8.4 oz")).to_be_visible()
    assert looking.violations(handset.page) == []
    assert looking.sticking_out(handset.page, 390) == []
    assert looking.small_targets(handset.page, LEAST_PX) == []

    # The rest into the same bowl, on a scale that is not set to zero in between.
    handset.tap("All foods")
    handset.choose("The scale shows", "The total")
    handset.sees("It should show 8.4 oz now.")
    handset.tap("Back to weighing")
    handset.sheet_closes()
    kitchen.press_keys(handset, "17.6", unit="Ounces")
    handset.sees("9.2 oz more than the 8.4 oz before")
    handset.tap("Put in 9.2 oz")
    handset.tap("Finish with 17.6 oz")
    kitchen.check_mix(handset)

    handset.sees("17.6 oz went in, nothing was lost.")
    handset.page.get_by_label("One bag holds").fill("8.4")
    handset.page.get_by_label(re.compile("^In the fridge")).fill("1")
    handset.page.get_by_label(re.compile("^In the freezer")).fill("1")
    handset.sees("The 0.8 oz left")
    expect(handset.button("0.5 ounces more").nth(1)).to_be_visible()
    assert looking.violations(handset.page) == []
    assert looking.sticking_out(handset.page, 390) == []
    handset.tap("Put by 2 bags of 8.4 oz")
    handset.sees("Before you leave the counter")

    handset.restore_network()
    handset.sees_mark("Everything synced")
    assert sorted(row["values"]["mass_g"] for row in ines.rows("weigh_in")) == [238, 261]
    assert _used_of(ines) == {HEART: 499}
    assert ines.row(chopped)["values"]["yield_g"] == 499
    assert [row["values"]["mass_g"] for row in ines.rows("bag")] == [238, 238]


def test_after_the_grind_the_mix_is_checked_and_every_gram_has_its_place(
    ines: Api, batch: str, morag: str, hold: Hold
) -> None:
    _stock(ines, BONY, packs=2, pack_g=500)
    plan = [{"food": HEART, "mass_g": 900}, {"food": BONY, "mass_g": 600}]
    ground = ines.make(
        "batch",
        number=2,
        method="ground",
        plate_mm=8,
        stage="planned",
        days=2,
        dogs=[morag],
        plan=plan,
    )
    handset = hold(ines, f"/counter/{ground}")
    handset.cut_network()
    _to_the_scale(handset)
    _put_in(handset, 900)
    _put_in(handset, 600)
    handset.tap("Finish with 1500 g")
    handset.tick_all()
    handset.tap("Grind 1500 g")

    handset.sees("Plate it went through")
    handset.choose("All through it looks", "Even")
    handset.choose("Between the fingers", "Bits of bone")
    handset.sees("Take the bits out, or grind it again")
    assert looking.small_targets(handset.page, LEAST_PX) == []
    assert looking.violations(handset.page) == []
    handset.tap("Ground again")
    kitchen.check_mix(handset)

    handset.page.get_by_label("What the finished batch weighs").fill("1460")
    handset.sees(re.compile("40 g .3 %. stayed behind"))
    portions = handset.page.get_by_role("list", name=re.compile("each day|^Today"))
    expect(portions.first).to_contain_text("Morag")
    handset.sees(re.compile(r"2 days: \d+ g of 1460 g, \d+ g over"))
    handset.page.get_by_label("One bag holds").fill("500")
    handset.page.get_by_label(re.compile("^In the fridge")).fill("1")
    handset.page.get_by_label(re.compile("^In the freezer")).fill("1")
    handset.choose("The 460 g left", "Freezer")
    assert looking.violations(handset.page) == []
    assert looking.sticking_out(handset.page, 390) == []
    assert looking.small_targets(handset.page, LEAST_PX) == []
    handset.tap("Put by 3 bags")
    handset.sees("Before you leave the counter")

    handset.restore_network()
    handset.sees_mark("Everything synced")
    made = ines.row(ground)["values"]
    assert (made["yield_g"], made["plate_mm"], made["stage"]) == (1460, 8, "done")
    assert (made["mix"]["even"], made["mix"]["bone"]) == (True, "none")
    bags = [row["values"] for row in ines.rows("bag")]
    assert sorted((bag["place"], bag["count"] * bag["mass_g"]) for bag in bags) == [
        ("freezer", 460),
        ("freezer", 500),
        ("fridge", 500),
    ]
    assert all(bag["use_by"] for bag in bags)


def test_what_is_cooked_has_no_yield_until_it_is_weighed(
    ines: Api, batch: str, morag: str, hold: Hold
) -> None:
    _stock(ines, BONY, packs=1, pack_g=500)
    plan = [{"food": HEART, "mass_g": 800}, {"food": BONY, "mass_g": 200}]
    stew = ines.make(
        "batch", number=3, method="cooked", stage="planned", days=2, dogs=[morag], plan=plan
    )
    handset = hold(ines, f"/counter/{stew}")
    handset.sees("Never feed cooked bones")
    _to_the_scale(handset)
    _put_in(handset, 800)
    _put_in(handset, 200)
    handset.tap("Finish with 1000 g")
    handset.misses("Plate it went through")
    kitchen.check_mix(handset)
    handset.sees("Weigh what came out of the pot")
    handset.page.get_by_label("What it weighs cooked").fill("750")
    handset.sees("75 % of it is left")
    handset.page.reload()
    handset.sees("75 % of it is left")
    # The same energy in three quarters of the mass.
    words = handset.page.get_by_text(re.compile(r"kcal in 100 g raw")).inner_text()
    found = re.search(r"(\d+) kcal in 100 g raw, (\d+) in 100 g cooked", words)
    assert found is not None, words
    raw, cooked = int(found[1]), int(found[2])
    assert abs(cooked / raw - 1000 / 750) < 0.02
    handset.tap(re.compile("^(Put by|Finish with)"))
    handset.sees("Before you leave the counter")
    handset.sees_mark("Everything synced")
    assert ines.row(stew)["values"]["yield_g"] == 750


def test_a_favourite_is_made_again_twice_as_large_from_what_is_in_store_now(
    ines: Api, batch: str, morag: str, hold: Hold
) -> None:
    plan = [{"food": HEART, "mass_g": 700}, {"food": LIVER, "mass_g": 100}]
    first = ines.make(
        "batch",
        number=7,
        method="chopped",
        stage="done",
        days=2,
        dogs=[morag],
        plan=plan,
        yield_g=790,
        made_at="2026-10-02T10:00:00Z",
    )
    handset = hold(ines, f"/plan/{first}")
    handset.cut_network()
    handset.tap("Mark as favourite")
    expect(handset.button("No favourite any more")).to_be_visible()

    handset.open("/counter")
    handset.tap(re.compile("Batch 7"))
    handset.page.get_by_label("What goes in, in all").fill("1600")
    # 2000 g of heart are there in packs of 500 g, and a single pack of liver.
    handset.sees("To open: 3 packs of 500 g")
    handset.sees("To open: 1 pack of 100 g. 100 g missing")
    handset.sees(re.compile("^Not all in store: 100 g .*liver"))
    assert looking.violations(handset.page) == []
    assert looking.sticking_out(handset.page, 390) == []
    handset.choose("How much", "For dogs and days")
    handset.sees("For how many days")
    expect(handset.button("Plan 1600 g")).to_have_count(0)
    handset.sees(re.compile("^Plan [0-9]+ g$"))
    handset.choose("How much", "By weight")
    handset.tap("Plan 1600 g")
    handset.sees_title(re.compile("^Batch 8"))

    handset.restore_network()
    handset.sees_mark("Everything synced")
    rows = [row["values"] for row in ines.rows("batch")]
    (again,) = [values for values in rows if values.get("number") == 8]
    assert again["plan"] == [{"food": HEART, "mass_g": 1400}, {"food": LIVER, "mass_g": 200}]
    assert (again["stage"], again["method"], again["days"]) == ("planned", "chopped", 2)
    assert [values["number"] for values in rows if values.get("favourite")] == [7]
