"""Every screen of the demo household: how it looks, fits, reads and can be reached."""

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

import pytest
from playwright.sync_api import BrowserContext, expect

from tests.browser import kitchen, looking
from tests.browser.api import PASSWORD, Api
from tests.browser.conftest import Hold, Phone, Server
from tests.browser.handset import Handset

BOWL_G = {"usda-13321": 1400, "cut-chicken-back": 400}
LEAST_KEY_PX = 64  # At the counter hands are wet.
A_BOWL = re.compile("(Morag|Pascoe|Tansy).*Change$")  # Of whichever meal the clock puts in front.


# What a screen says only after something outside of it has answered.
LATE_WORDS = {"stores-scan": "The camera does not open"}


@dataclass(frozen=True)
class Demo:
    """The demo household, and the ids of what its screens are about."""

    api: Api
    dog: str
    old: str
    growing: str
    lot: str
    bag: str
    planned: str
    made: str
    ground: str
    cooked: str
    weighing: str


@pytest.fixture(scope="module")
def demo(server: Server) -> Demo:
    server.manage("demo", "--password", PASSWORD, "--alongside")
    api = Api(server.url).sign_in("ines@example.invalid")
    batches = {row["values"]["stage"]: row["rid"] for row in api.rows("batch")}
    dogs = {row["values"]["name"]: row["rid"] for row in api.rows("dog")}
    return Demo(
        api=api,
        dog=dogs["Pascoe"],
        old=dogs["Morag"],
        growing=dogs["Tansy"],
        lot=api.rows("lot")[0]["rid"],
        bag=api.rows("bag")[0]["rid"],
        planned=batches["planned"],
        made=batches["done"],
        ground=weighed_in(api, list(dogs.values()), number=90, method="ground"),
        cooked=weighed_in(api, list(dogs.values()), number=91, method="cooked"),
        weighing=api.rows("weighing")[-1]["rid"],
    )


def weighed_in(api: Api, dogs: list[str], *, number: int, method: str) -> str:
    """A batch that is in the bowl and has not been looked at, mixed or put by."""
    plan = [{"food": food, "mass_g": mass_g} for food, mass_g in BOWL_G.items()]
    batch = api.make(
        "batch", number=number, method=method, stage="mixed", days=2, dogs=dogs, plan=plan
    )
    for line in plan:
        api.make("weigh_in", batch=batch, at=f"{datetime.now(UTC):%Y-%m-%dT%H:%M:%SZ}", **line)
    return batch


def places(demo: Demo) -> dict[str, str]:
    return {
        "today": "/today",
        "counter": "/counter",
        "counter-cautions": f"/counter/{demo.planned}",
        "counter-mix": f"/counter/{demo.ground}",
        "plan": "/plan",
        "plan-new": "/plan/new",
        "plan-batch": f"/plan/{demo.planned}",
        "plan-pulls": f"/plan/{demo.planned}/pulls",
        "duties": "/duties",
        "batch": f"/plan/{demo.made}",
        "stores": "/stores",
        "stores-lot": f"/stores/{demo.lot}",
        "stores-bag": f"/stores/{demo.bag}",
        "stores-labels": f"/stores/labels?of={demo.bag}",
        "stores-scan": "/stores/scan",
        "stores-lasting": "/stores/lasting",
        "stores-foods": "/stores/foods",
        "stores-food-new": "/stores/foods/new",
        "stores-food-table": "/stores/foods/cut-chicken-back",
        "stores-food-copy": "/stores/foods/cut-chicken-back/copy",
        "review": "/review",
        "dogs": "/dogs",
        "dog": f"/dogs/{demo.dog}",
        "dog-balance": f"/dogs/{demo.dog}/balance",
        "dog-needs": f"/dogs/{demo.dog}/needs",
        "dog-needs-old": f"/dogs/{demo.old}/needs",
        "dog-needs-growing": f"/dogs/{demo.growing}/needs",
        "waiting": "/waiting",
        "history": f"/history/{demo.weighing}",
        "history-dog": f"/history/{demo.dog}",
        "history-lot": f"/history/{demo.lot}?from=waiting",
        "household": "/household",
        "first-run": "/first-run",
    }


Step = Callable[[Handset], None]


def to_look(handset: Handset) -> None:
    handset.tick_all()
    handset.tap("Start weighing")
    handset.sees("Look and smell first")


def to_weighing(handset: Handset) -> None:
    handset.tap("All good")
    handset.sees(re.compile("to go"))


def to_supplement(handset: Handset) -> None:
    handset.choose("Written down from", "A supplement")
    handset.labelled("Add a line").select_option(label="Zinc")


def to_hazard(handset: Handset) -> None:
    """A food that hurts dogs stops, with the dose for each dog of the household."""
    handset.tap("Add a food")
    handset.fill("Find", "dark chocolate")
    handset.sees("never for dogs")
    handset.sees(re.compile("Tansy, .* mg on, as in"))


def to_waiting_sheet(handset: Handset) -> None:
    """A weight written down without the network, looked at on the page of what is waiting."""
    handset.tap("Weigh")
    handset.fill("Weight", "17.3")
    handset.tap("Save 17.3 kg")
    handset.sheet_closes()
    handset.open("/waiting")
    handset.tap(re.compile(r"17\.3 kg"))
    expect(handset.sheet).to_be_visible()


def to_pull(handset: Handset) -> None:
    """The first pack of a pull is ticked, with how it thaws."""
    handset.tap("Moved, or change")
    handset.front.get_by_role("checkbox").first.tap()
    handset.choose("Where it thaws", "Counter top")
    handset.sees("Not on the counter top")


def to_new_rota(handset: Handset) -> None:
    handset.tap("Add a duty")
    handset.choose("How often", "On weekdays")
    handset.choose("On these days", "Wednesday")
    handset.choose("Who does it, in turns", "Callum")


def taps(*names: str | re.Pattern[str]) -> Step:
    def step(handset: Handset) -> None:
        for name in names:
            handset.tap(name)
        expect(handset.sheet).to_be_visible()

    return step


def sheets(demo: Demo) -> dict[str, tuple[str, Step]]:
    """What lies over a page, and how to get there."""
    return {
        # In this order: what was ticked or looked at is not asked again in the same tab.
        "counter-look": (f"/counter/{demo.planned}", to_look),
        "sheet-not-good": (f"/counter/{demo.planned}", taps("Not good")),
        "counter-weigh": (f"/counter/{demo.planned}", to_weighing),
        "sheet-swap": (f"/counter/{demo.planned}", taps("Used something else")),
        "counter-share-out": (f"/counter/{demo.ground}", kitchen.check_mix),
        "counter-pot": (f"/counter/{demo.cooked}", kitchen.check_mix),
        "sheet-serving": ("/today", taps(A_BOWL)),
        "sheet-dish": ("/today", taps("Another food")),
        "sheet-mealtimes": ("/today", taps("Mealtimes")),
        "sheet-travel": ("/today", taps("Travelling")),
        "sheet-extra": ("/today", taps("An extra or a treat")),
        "sheet-weigh": (f"/dogs/{demo.dog}", taps("Weigh")),
        "sheet-write-down": (f"/dogs/{demo.dog}", taps("Write down")),
        "sheet-dog": (f"/dogs/{demo.dog}", taps("Change what is known")),
        "sheet-yardstick": (f"/dogs/{demo.dog}/needs", taps(re.compile("^NRC 2006, recommended"))),
        "sheet-food": ("/plan/new", taps("Add a food")),
        "sheet-plate": ("/today", taps("An extra or a treat", "A plate from the table")),
        "food-supplement": ("/stores/foods/new", to_supplement),
        "sheet-hazard": ("/plan/new", to_hazard),
        "sheet-behind": (f"/dogs/{demo.dog}/balance", taps("What is behind this?")),
        "sheet-behind-batch": (f"/plan/{demo.made}", taps(re.compile("What is behind this"))),
        "sheet-settings": ("/plan/new", taps(re.compile("^Change"))),
        "sheet-pull": (f"/plan/{demo.planned}/pulls", to_pull),
        "sheet-pull-meal": ("/plan", taps("Pull for a meal", re.compile("^Batch"))),
        "sheet-duty": ("/duties", taps(re.compile("Weigh all three"))),
        "sheet-duty-new": ("/duties", to_new_rota),
        "sheet-fridge": ("/household", taps("Fridge at")),
        "sheet-calendar": ("/household", taps("Your duties in a calendar")),
        "sheet-invite": ("/household", taps("Invite")),
        "sheet-divide": (f"/stores/{demo.lot}", taps("Divide")),
        "sheet-bag": (f"/stores/{demo.bag}", taps("Move or change")),
        "sheet-put-in": ("/stores", taps("Put in store")),
        "sheet-waiting": (f"/dogs/{demo.dog}", to_waiting_sheet),
        "sheet-sign-out": ("/household", taps("Sign out on this phone")),
    }


def holder(demo: Demo, context: BrowserContext) -> Handset:
    context.add_cookies(
        [{"name": name, "value": value, "url": demo.api.url} for name, value in demo.api.cookies]
    )
    return Handset(context).open("/today").ready()


def each_screen(demo: Demo, handset: Handset, look: Callable[[str], list[str]]) -> list[str]:
    """Opens screen after screen and collects what `look` finds wrong with each.

    Offline, so that nothing done on the way reaches the household that other tests look at.
    """
    found: list[str] = []

    def see(name: str) -> None:
        looking.settle(handset.page)
        found.extend(f"{name}: {words}" for words in look(name))

    handset.cut_network()
    for name, path in places(demo).items():
        handset.open(path)
        expect(handset.mark).to_be_visible()
        if name in LATE_WORDS:
            handset.sees(LATE_WORDS[name])
        see(name)
    for name, (path, step) in sheets(demo).items():
        handset.open(path)
        step(handset)
        see(name)
    return found


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_every_screen_can_be_seen_heard_and_touched(
    demo: Demo, phone: Phone, pictures: Path, theme: str
) -> None:
    handset = holder(demo, phone(dark=theme == "dark"))

    def look(name: str) -> list[str]:
        handset.page.screenshot(path=pictures / f"{name}-{theme}.png", scale="css")
        least_px = LEAST_KEY_PX if name == "counter-weigh" else looking.LEAST_TARGET_PX
        keys = handset.page.get_by_role("group", name="Grams on the scale").get_by_role("button")
        low = [
            box for key in keys.all() if (box := key.bounding_box()) and box["height"] < least_px
        ]
        return [
            *looking.violations(handset.page),
            *looking.small_targets(handset.page),
            *(f"a key {box['width']}x{box['height']}" for box in low),
            *looking.sticking_out(handset.page, 390),
        ]

    found = each_screen(demo, handset, look)
    assert not found, "\n".join(found)
    # The browser may complain of the missing network; of nothing else.
    assert [words for words in handset.complaints if "ERR_INTERNET" not in words] == []


@dataclass(frozen=True)
class Size:
    name: str
    width: int
    height: int
    text_px: int = 16


# What comes last is also how the way to the next screen is gone.
SIZES = (
    Size("narrow", 320, 640),
    Size("landscape", 844, 390),
    # As in the settings of a browser.
    Size("large-text", 390, 844, text_px=32),
)


def test_no_screen_scrolls_sideways(demo: Demo, phone: Phone, pictures: Path) -> None:
    handset = holder(demo, phone())
    page = handset.page
    settings = handset.context.new_cdp_session(page)

    def look(name: str) -> list[str]:
        found: list[str] = []
        for size in SIZES:
            page.set_viewport_size({"width": size.width, "height": size.height})
            fixed_px = round(size.text_px * 13 / 16)
            settings.send(
                "Page.setFontSizes",
                {"fontSizes": {"standard": size.text_px, "fixed": fixed_px}},
            )
            looking.settle(page)
            assert looking.text_px(page) == size.text_px
            page.screenshot(path=pictures / f"{name}-{size.name}.png", scale="css")
            found += [f"{size.name}: {each}" for each in looking.sticking_out(page, size.width)]
        return found

    found = each_screen(demo, handset, look)
    assert not found, "\n".join(found)


def test_every_screen_is_quiet_on_the_console(demo: Demo, phone: Phone) -> None:
    handset = holder(demo, phone())
    for path in places(demo).values():
        handset.open(path)
        handset.sees_mark("Everything synced")
        looking.settle(handset.page)
    assert handset.complaints == []


def test_the_tab_key_goes_through_today_from_the_mark_to_the_places(
    demo: Demo, phone: Phone
) -> None:
    handset = holder(demo, phone())
    expect(handset.button(A_BOWL).first).to_be_visible()
    order = looking.tab_order(handset.page)
    assert order[0] == "Everything synced"
    assert order[-5:] == ["Today", "Counter", "Plan", "Stores", "Review"]
    assert "" not in order


def test_a_sheet_takes_the_focus_and_gives_it_back(demo: Demo, phone: Phone) -> None:
    handset = holder(demo, phone())
    opener = handset.button(A_BOWL).first
    opener.focus()
    handset.page.keyboard.press("Enter")
    expect(handset.sheet).to_have_accessible_name(re.compile("Morag|Pascoe|Tansy"))
    handset.page.keyboard.press("Tab")
    expect(handset.sheet.locator(":focus")).to_have_count(1)
    handset.page.keyboard.press("Escape")
    handset.sheet_closes()
    expect(opener).to_be_focused()


def test_the_mark_is_a_link_with_its_words_and_says_changes_aloud(ines: Api, hold: Hold) -> None:
    ines.make("dog", name="Morag")
    handset = hold(ines, "/waiting")
    link = handset.page.get_by_role("banner").get_by_role("link", name="Everything synced")
    expect(link).to_have_attribute("href", "/waiting")
    expect(link.get_by_role("status")).to_be_visible()
    handset.cut_network()
    expect(
        handset.page.get_by_role("banner").get_by_role("link", name="Saved on this phone")
    ).to_be_visible()
