"""Foods of the household's own: a label, a supplement, a copy of a table food; finding foods."""

import re
from dataclasses import dataclass, field

from playwright.sync_api import expect

from tests.browser.api import Api
from tests.browser.conftest import Hold
from tests.browser.handset import Handset

# Slow on purpose: two thumbs on glass reach two to three letters a second.
SECONDS_PER_KEY = 0.5
SECONDS_PER_TAP = 1.5
READING_SECONDS = 10  # The label is read meanwhile; finding a line on it takes a while.


@dataclass
class Thumb:
    """Types with the keyboard alone, as somebody does who walks through with the next key."""

    handset: Handset
    keys: int = 0
    taps: int = 0
    said: list[str] = field(default_factory=list)

    def into(self, label: str) -> "Thumb":
        self.handset.labelled(label).tap()
        self.taps += 1
        return self

    def type(self, text: str) -> "Thumb":
        self.handset.page.keyboard.type(text)
        self.keys += len(text)
        return self

    def next(self) -> "Thumb":
        self.handset.page.keyboard.press("Enter")
        self.keys += 1
        return self

    def tap(self, name: str) -> "Thumb":
        self.handset.tap(name)
        self.taps += 1
        return self

    @property
    def seconds(self) -> float:
        return self.keys * SECONDS_PER_KEY + self.taps * SECONDS_PER_TAP + READING_SECONDS


def tap_twice(handset: Handset, name: str) -> None:
    """Both taps are there before the first is answered."""
    handset.button(name).evaluate("button => { button.click(); button.click(); }")


def food_rows(api: Api) -> list[dict[str, object]]:
    return [row["values"] for row in api.rows("food")]


def test_a_label_is_typed_in_under_a_minute(ines: Api, hold: Hold) -> None:
    handset = hold(ines, "/stores/foods/new")
    thumb = Thumb(handset).into("Name").type("Blue sack kibble").next()
    for figure in ("24", "12", "3", "10", "7"):
        thumb.type(figure).next()
    # Both equations stand there before anything is saved, and which of them is used.
    handset.sees(re.compile("NRC 2006, in four steps, in use"))
    handset.sees(re.compile("Modified Atwater"))
    handset.sees(re.compile("Carbohydrate is what is left: about 44.0 g"))
    thumb.type("3650").tap("per kg")
    handset.sees(re.compile("As printed, in use"))
    handset.sees(re.compile("The label’s own figure is used"))
    tap_twice(handset, "Save Blue sack kibble")
    thumb.taps += 2
    handset.sees_title("Your own foods")
    assert thumb.seconds < 60, f"{thumb.keys} keys, {thumb.taps} taps: {thumb.seconds:.0f} s"
    handset.meet_server()
    (food,) = food_rows(ines)
    assert food["energy_kcal_per_100g"] == 365
    assert food["label"] == {
        "protein_pct": 24,
        "fat_pct": 12,
        "fibre_pct": 3,
        "moisture_pct": 10,
        "ash_pct": 7,
        "means": "typical",
        "basis": "as_fed",
    }


def test_a_silent_label_says_what_is_assumed_and_an_impossible_one_what_is_wrong(
    ines: Api, hold: Hold
) -> None:
    handset = hold(ines, "/stores/foods/new")
    handset.fill("Name", "Red sack")
    handset.fill("Protein", "24")
    handset.fill("Fat", "12")
    handset.sees(re.compile("assumed: fibre 0 %, moisture 10 % and ash 6 %"))
    handset.choose("Its figures are", "Min and max")
    handset.fill("Protein, min", "80")
    handset.fill("Moisture, max", "20")
    handset.tap("Save Red sack")
    handset.sees(re.compile("they cannot pass 100 %"))
    handset.fill("Name", "Onion biscuits")
    handset.sees(re.compile("Onion family: never for dogs"))


def test_a_supplement_counts_by_its_form_and_its_mass(ines: Api, hold: Hold) -> None:
    handset = hold(ines, "/stores/foods/new")
    handset.choose("Written down from", "A supplement")
    handset.sees(re.compile("Supplements can harm"))
    # Of what was entered from memory its source is told with that doubt.
    expect(
        handset.page.get_by_text("not yet compared with the printed source").first
    ).to_be_attached()
    handset.fill("Name", "Zinc tablets")
    handset.fill("One tablet weighs", "0.5")
    handset.labelled("Add a line").select_option(label="Zinc")
    handset.fill("Zinc", "50")
    handset.labelled("Zinc: form").select_option(label="Zinc gluconate")
    handset.sees(re.compile(r"Zinc 7\.2 mg"))  # 50 mg of gluconate, 14.35 % zinc.
    handset.labelled("Add another line").select_option(label="Vitamin E (alpha-tocopherol)")
    handset.fill("Vitamin E (alpha-tocopherol)", "10")
    handset.tap("Save Zinc tablets")
    handset.sees(re.compile("What an IU holds depends on the form"))
    handset.labelled("Vitamin E (alpha-tocopherol): form").select_option(
        label="d-alpha-tocopheryl acetate, natural"
    )
    tap_twice(handset, "Save Zinc tablets")
    handset.sees_title("Your own foods")
    handset.tap(re.compile("Zinc tablets"))
    handset.sees(re.compile("from the label"))
    handset.sees(re.compile("Supplements can harm"))
    handset.meet_server()
    assert [food["name"] for food in food_rows(ines)] == ["Zinc tablets"]


def test_a_copy_keeps_the_table_but_for_its_own_figures(ines: Api, hold: Hold) -> None:
    handset = hold(ines, "/stores/foods")
    handset.fill("Find any food", "chicken frames")
    handset.tap(re.compile("^Chicken back, with bone"))
    handset.sees_title("Chicken back, with bone")
    handset.tap("Make my own of this")
    handset.fill("Name", "Backs from the farm")
    handset.fill("Share of bone", "30")
    handset.labelled("Change a figure").select_option(label="Calcium")
    handset.fill("Calcium", "900")
    tap_twice(handset, "Save Backs from the farm")
    handset.sees_title("Backs from the farm")
    handset.sees(re.compile("^your own figure$"))
    handset.tap("Put it away")
    handset.sees(re.compile("Put away: it is offered no more"))
    handset.meet_server()
    (food,) = food_rows(ines)
    assert food["copied_from"] == "cut-chicken-back"
    assert (food["bone_share_pct"], food["nutrients_per_100g"]) == (30, {"calcium": 900})


def test_foods_are_found_offline_by_what_people_call_them(ines: Api, hold: Hold) -> None:
    handset = hold(ines, "/stores/foods").ready()
    handset.cut_network()
    for typed, name in (
        ("ox heart", "Beef heart"),
        ("paunch", "Beef tripe"),
        ("hambruger", "Beef, minced"),
        ("heart beef", "Beef heart"),
        ("zuchini", "Courgette"),
    ):
        handset.fill("Find any food", typed)
        expect(handset.button(re.compile(f"^{name}.*figures")).first).to_be_visible()
    handset.fill("Find any food", "leeks")
    handset.sees(re.compile("Onion family: never for dogs"))
    expect(handset.button(re.compile("figures"))).to_have_count(0)


def test_a_plate_from_the_table_is_entered_offline_as_its_foods(ines: Api, hold: Hold) -> None:
    morag = ines.make("dog", name="Morag")
    ines.make("weighing", dog=morag, at="2026-11-20T08:00:00Z", mass_g=8000)
    handset = hold(ines, "/today").ready()
    handset.cut_network()
    handset.tap("An extra or a treat")
    handset.tap("A plate from the table")
    handset.fill("What is it", "Stew with onions")
    handset.sees(re.compile("Onion family: never for dogs"))
    handset.sees(re.compile(r"For Morag, 8\.0 kg: harm is published from about 40 g on"))
    expect(handset.button("Not for dogs")).to_have_attribute("aria-disabled", "true")
    handset.fill("What is it", "Beef and potato")
    for typed, name in (("peeled potatoes", "Potato, boiled, peeled"), ("ox heart", "Beef heart")):
        handset.tap(re.compile("^Add (a|another) food"))
        handset.fill("Find", typed)
        handset.tap(re.compile(f"^{name}"))
    handset.fill("Grams of Potato, boiled, peeled", "60")
    handset.fill("Grams of Beef heart", "40")
    handset.sees(re.compile(r"Salt: (about|at least) 0\.\d g"))
    handset.fill("Each dog had", "50")
    handset.tap("Write down 50 g")
    handset.sheet_closes()
    handset.restore_network()
    handset.meet_server()
    (batch,) = [row["values"] for row in ines.rows("batch")]
    assert (batch["name"], batch["method"], batch["yield_g"]) == ("Beef and potato", "cooked", 100)
    (serving,) = [row["values"] for row in ines.rows("serving")]
    assert (serving["offered_g"], serving["dog"]) == (50, morag)
    assert len(ines.rows("weigh_in")) == 2


def test_a_tablet_is_given_as_a_tablet_and_kept_as_grams(ines: Api, hold: Hold) -> None:
    ines.make("dog", name="Morag")
    zinc = {"nutrient": "zinc", "amount": 15, "unit": "mg", "per": "serving"}
    serving = {"unit": "tablet", "mass_g": 0.6}
    ines.make("food", name="Zinc tablets", style="dry", lines=[zinc], serving=serving)
    handset = hold(ines, "/today").ready()
    handset.tap("An extra or a treat")
    handset.tap("Choose the food")
    handset.tap("Zinc tablets")
    handset.tap("Write down 1 tablet")
    handset.sheet_closes()
    handset.meet_server()
    (given,) = [row["values"] for row in ines.rows("serving")]
    assert given["offered_g"] == 0.6
