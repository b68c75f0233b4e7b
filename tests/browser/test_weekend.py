"""A weekend in one kitchen: from the freezer to the bowl on two phones, one of them off the network
from the pull until after the last meal, and every gram the same on both at the end."""

import re
from collections import Counter
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from pathlib import Path
from time import monotonic
from zoneinfo import ZoneInfo

import pytest
from playwright.sync_api import expect

from tests.browser import kitchen
from tests.browser.api import ZONE, Api
from tests.browser.conftest import Hold
from tests.browser.handset import SOON_MS, Handset

HEART, BACK, LIVER = "usda-13321", "cut-chicken-back", "usda-13325"
HEART_PACK_G, BACK_PACK_G, LIVER_PACK_G = 500, 300, 120
PLAN_G = {HEART: 2000, BACK: 600, LIVER: 240}
# What the scale shows: never quite the plan.
WEIGHED_G = {HEART: 1986, BACK: 588, LIVER: 236}
PUT_IN_G = sum(WEIGHED_G.values())
YIELD_G = 2800  # 10 g stay in the grinder.
BAG_G, IN_FRIDGE, IN_FREEZER = 560, 3, 2
COUNTED_G = 4 * HEART_PACK_G + 120  # Of five packs: she finds four, and a piece.
MORAG_LEAVES_G = 30
# As Today offers them, in steps of 5 g: the same energy of either food.
OATS_G = {"Morag": 100, "Pascoe": 90}
MEAL_G = {"Morag": 270, "Pascoe": 245}
SUNDAY = datetime.now(ZoneInfo(ZONE)).date() - timedelta(days=1)
SATURDAY, FRIDAY = SUNDAY - timedelta(days=1), SUNDAY - timedelta(days=2)
USE_BY = SUNDAY  # Ground meat keeps a day in the fridge.


@dataclass(frozen=True)
class Household:
    """What is there on Friday."""

    dogs: dict[str, str]
    lots: dict[str, str]
    batch: str


@pytest.fixture
def larch_row(ines: Api) -> Household:
    dogs = {
        "Morag": _dog(ines, "Morag", "2014-03-02", 16_000),
        "Pascoe": _dog(ines, "Pascoe", "2021-05-20", 11_400),
    }
    for name, at in (("Breakfast", "07:00"), ("Supper", "17:30")):
        ines.make("mealtime", name=name, time=at, dogs=list(dogs.values()))
    lots = {
        HEART: _stored(ines, HEART, packs=5, pack_g=HEART_PACK_G),
        BACK: _stored(ines, BACK, packs=2, pack_g=BACK_PACK_G),
        LIVER: _stored(ines, LIVER, packs=2, pack_g=LIVER_PACK_G),
    }
    label = {"protein_pct": 26, "fat_pct": 15, "fibre_pct": 3, "moisture_pct": 9, "ash_pct": 7}
    ines.make("food", name="Oat biscuit", style="dry", label=label)
    batch = ines.make(
        "batch",
        number=7,
        method="ground",
        stage="planned",
        planned_for=str(SATURDAY),
        days=2,
        dogs=list(dogs.values()),
        plan=[{"food": food, "mass_g": mass_g} for food, mass_g in PLAN_G.items()],
    )
    return Household(dogs, lots, batch)


def _dog(ines: Api, name: str, born: str, mass_g: int) -> str:
    dog = ines.make("dog", name=name, born={"date": born, "estimated": False})
    ines.make("weighing", dog=dog, at=f"{FRIDAY - timedelta(days=5)}T08:00:00Z", mass_g=mass_g)
    return dog


def _stored(ines: Api, food: str, *, packs: int, pack_g: int) -> str:
    day = FRIDAY - timedelta(days=30)
    lot = ines.make(
        "lot",
        food=food,
        pack_mass_g=pack_g,
        place="freezer",
        frozen_on=str(day),
        form="flat_bag",
        thickness_mm=25,
    )
    ines.make("movement", of=lot, what="stored", mass_g=packs * pack_g, at=f"{day}T08:00:00Z")
    return lot


@dataclass
class Steps:
    """A picture of each step, for people to look at."""

    folder: Path
    taken: int = 0

    def take(self, handset: Handset, name: str) -> None:
        self.taken += 1
        handset.page.screenshot(
            path=self.folder / f"weekend-{self.taken:02}-{name}.png", scale="css"
        )


def it_is(handset: Handset, day: date, at: str) -> None:
    """Sets the phone's clock, as it shows the time in winter and in summer; what runs goes on."""
    shown = datetime.combine(day, time.fromisoformat(at), ZoneInfo(ZONE))
    handset.context.clock.set_fixed_time(shown)


def pull(his: Handset, home: Household, steps: Steps) -> None:
    it_is(his, FRIDAY, "15:00")
    his.open(f"/plan/{home.batch}/pulls")
    his.sees("Beef heart, 4 packs of 500 g")
    steps.take(his, "pulls")
    his.tap("Accept 3 pulls")
    his.tap("Moved: 8 packs to the fridge")
    his.sees(re.compile("^Make the batch by"))
    steps.take(his, "pulled")


def count(hers: Handset, home: Household, steps: Steps) -> None:
    it_is(hers, FRIDAY, "20:00")
    hers.open(f"/stores/{home.lots[HEART]}")
    hers.tap(re.compile("^Count$"))
    hers.labelled(f"Whole packs of {HEART_PACK_G} g").fill(str(COUNTED_G // HEART_PACK_G))
    hers.labelled("And loose").fill(str(COUNTED_G % HEART_PACK_G))
    steps.take(hers, "count")
    hers.tap("There is 2.1 kg")
    hers.sheet_closes()


def feed(handset: Handset, day: date, at: str, dish: str | None, steps: Steps) -> None:
    """Feeds both dogs; no dish where the one that was fed before is offered by itself."""
    it_is(handset, day, at)
    handset.open("/today")
    if dish is not None:
        kitchen.serve_from(handset, dish)
    expect(handset.button("Both fed as usual")).to_be_visible()
    steps.take(handset, "feed")
    handset.tap("Both fed as usual")
    handset.sees(re.compile(rf"^Fed {at}\. Undo$"))
    steps.take(handset, "fed")


def grind(his: Handset, home: Household, steps: Steps) -> None:
    it_is(his, SATURDAY, "16:30")
    his.open(f"/counter/{home.batch}")
    his.tick_all()
    steps.take(his, "before-the-counter")
    his.tap("Start weighing")
    for minute, mass_g in enumerate(WEIGHED_G.values(), start=31):
        it_is(his, SATURDAY, f"16:{minute}")
        his.tap("All good")
        kitchen.press_keys(his, mass_g)
        steps.take(his, f"weigh-in-{mass_g}")
        his.tap(f"Put in {mass_g} g")
        expect(his.button(f"Undo {mass_g} g")).to_be_visible()
    his.tap(f"Finish with {PUT_IN_G} g")
    his.tick_all()
    steps.take(his, "grind")
    his.tap(f"Grind {PUT_IN_G} g")
    his.sees("Between the fingers")
    steps.take(his, "mix")
    kitchen.check_mix(his)


def put_by(his: Handset, steps: Steps) -> None:
    """Weighs what came out, shares it out and fills the bags."""
    it_is(his, SATURDAY, "16:50")
    his.page.get_by_label("What the finished batch weighs").fill(str(YIELD_G))
    his.sees(re.compile(f"went in, {PUT_IN_G - YIELD_G} g .*stayed behind"))
    steps.take(his, "share-out")
    kitchen.put_by(his, bag_g=BAG_G, fridge=IN_FRIDGE, freezer=IN_FREEZER)
    his.sees_title("Counter")


def labels(his: Handset, steps: Steps) -> None:
    """Makes the labels of the bags in the fridge."""
    his.open("/stores")
    his.sees(f"{IN_FRIDGE} × {BAG_G} g")
    steps.take(his, "bags")
    his.tap(re.compile("Batch 7, ground"))
    his.tap("Labels")
    expect(his.button(f"Print {IN_FRIDGE} labels")).to_be_visible()
    steps.take(his, "labels")
    label = his.page.locator(".paper .label").first.text_content() or ""
    for words in ("Batch 7, ground", f"{BAG_G} g", f"Use by {shown(USE_BY)}", "Raw: keep apart"):
        assert words in label


def shown(day: date) -> str:
    return f"{day.day} {day:%b %Y}"


def note_left(his: Handset, steps: Steps) -> None:
    """Of her last meal Morag left some."""
    kitchen.open_dish(his, "Morag")
    eaten = his.labelled("Eaten by Morag")
    eaten.fill(str(int(eaten.input_value()) - MORAG_LEAVES_G))
    his.choose("Appetite", "Slow")
    steps.take(his, "appetite")
    his.tap("Save ")
    his.sheet_closes()


def same_on_both(hers: Handset, his: Handset, path: str, *words: str) -> None:
    """The page says these words, and on both phones the same to the letter."""
    for handset in (hers, his):
        handset.open(path)
        for each in words:
            handset.sees(re.compile(each))
    # A part of a page may still be read from the store when another is there already.
    deadline = monotonic() + SOON_MS / 1000
    while said_by(hers, "Ines") != said_by(his, "Callum") and monotonic() < deadline:
        his.page.wait_for_timeout(200)
    assert said_by(hers, "Ines") == said_by(his, "Callum")


def said_by(handset: Handset, name: str) -> str:
    text = handset.page.locator("main").inner_text()  # without the notice of the clock
    return re.sub(r"\b[Yy]ou\b", name, text)


def eaten_g(ines: Api) -> dict[tuple[str, str], float]:
    """What each dog ate on each day of the weekend, by the server's book."""
    days = {row["rid"]: row["values"]["day"] for row in ines.rows("meal")}
    eaten: Counter[tuple[str, str]] = Counter()
    for serving in (row["values"] for row in ines.rows("serving")):
        left_g = (serving["left"] or {}).get("g", 0)
        eaten[serving["dog"], days[serving["meal"]]] += serving["offered_g"] - left_g
    return dict(eaten)


def test_a_weekend_from_the_freezer_to_the_bowl(
    ines: Api, callum: Api, larch_row: Household, hold: Hold, pictures: Path
) -> None:
    steps = Steps(pictures)
    hers, his = hold(ines), hold(callum)
    his.cut_network()
    pull(his, larch_row, steps)
    # She has heard nothing of it, and counts the heart.
    count(hers, larch_row, steps)
    feed(hers, SATURDAY, "07:05", "Oat biscuit", steps)
    grind(his, larch_row, steps)
    put_by(his, steps)
    labels(his, steps)
    feed(his, SATURDAY, "17:35", "Batch 7, ground", steps)
    feed(his, SUNDAY, "07:05", "Batch 7, ground", steps)
    feed(his, SUNDAY, "17:35", None, steps)
    note_left(his, steps)
    assert ines.rows("weigh_in") == ines.rows("bag") == []

    # He comes home to the network.
    his.restore_network()
    for handset in (hers, his):
        it_is(handset, SUNDAY, "19:00")
    his.meet_server()
    hers.meet_server()
    for handset in (hers, his):
        handset.sees_mark("Everything synced")

    stock_g = {lot["rid"]: lot["stock_g"] for lot in ines.ask("GET", f"{ines.at_home}/lots")}
    left_g = {HEART: COUNTED_G - WEIGHED_G[HEART], BACK: 12, LIVER: 4}
    assert stock_g == {larch_row.lots[food]: mass_g for food, mass_g in left_g.items()}
    morag, pascoe = larch_row.dogs["Morag"], larch_row.dogs["Pascoe"]
    assert eaten_g(ines) == {
        (morag, str(SATURDAY)): OATS_G["Morag"] + MEAL_G["Morag"],
        (pascoe, str(SATURDAY)): OATS_G["Pascoe"] + MEAL_G["Pascoe"],
        (morag, str(SUNDAY)): 2 * MEAL_G["Morag"] - MORAG_LEAVES_G,
        (pascoe, str(SUNDAY)): 2 * MEAL_G["Pascoe"],
    }
    in_bags_g = IN_FRIDGE * BAG_G - 3 * sum(MEAL_G.values())
    same_on_both(hers, his, "/stores", f"^{in_bags_g} g$", f"^Use by {USE_BY.day} {USE_BY:%b}$")
    same_on_both(hers, his, f"/stores/{larch_row.lots[HEART]}", f"^{left_g[HEART]} g$", "^Counted,")
    same_on_both(hers, his, "/today", f"^Left {MORAG_LEAVES_G} g of {MEAL_G['Morag']} g, slow$")
    same_on_both(hers, his, f"/today?day={SATURDAY}", "^Supper$", "^Oat biscuit$")
    for dog in (morag, pascoe):
        same_on_both(hers, his, f"/dogs/{dog}/balance", "4 meals")
    steps.take(hers, "balance")
    same_on_both(hers, his, f"/plan/{larch_row.batch}", "2.8 kg")
