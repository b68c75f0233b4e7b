"""The stores in ounces: what is counted and taken out is kept to the gram."""

import re

import pytest
from playwright.sync_api import expect

from tests.browser import looking
from tests.browser.api import Api
from tests.browser.conftest import Hold
from tests.browser.handset import Handset

HEART = "usda-13321"
COUNT = re.compile("^Count$")  # And not the Counter, which is a place.


@pytest.fixture
def lot(ines: Api) -> str:
    """Two packs of 500 g and 140 g of a third, of a member who reads ounces."""
    ines.ask("PATCH", f"{ines.at_home}/members/{ines.member}", {"units": "us"})
    rid = ines.make("lot", food=HEART, pack_mass_g=500, place="freezer", frozen_on="2026-09-01")
    ines.make("movement", of=rid, what="stored", mass_g=1140, at="2026-10-01T10:00:00Z")
    return rid


def _fits(handset: Handset) -> None:
    """On the phone in front, and on the narrowest."""
    for width in (320, 390):
        handset.page.set_viewport_size({"width": width, "height": 844})
        looking.settle(handset.page)
        assert looking.sticking_out(handset.page, width) == []
        assert looking.small_targets(handset.page) == []
    assert looking.violations(handset.page) == []


def _counted(ines: Api) -> list[int]:
    return sorted(row["values"]["counted_g"] for row in ines.rows("count"))


def _used(ines: Api) -> list[int]:
    movements = [row["values"] for row in ines.rows("movement")]
    return sorted(each["mass_g"] for each in movements if each["what"] == "used")


def test_a_member_who_reads_ounces_counts_and_takes_out_to_the_gram(
    ines: Api, lot: str, hold: Hold
) -> None:
    # 1 oz = 28.349523125 g: a sixteenth of the international avoirdupois pound of 0.45359237 kg
    # (NIST SP 811, appendix B.8). 140 g are 4.94 oz, and the 4.9 oz shown alone would be 139 g.
    handset = hold(ines, f"/stores/{lot}")
    handset.cut_network()
    handset.tap(COUNT)
    handset.sees("2.51 lb by the book")
    loose = handset.labelled("And loose")
    expect(loose).to_have_value("4.9")
    _fits(handset)
    loose.fill("4.9")
    handset.tap("There is 2.51 lb")
    handset.sheet_closes()

    # 3.0 oz are 85.0 g.
    handset.tap(COUNT)
    handset.labelled("And loose").fill("3.0")
    handset.tap("There is 2.39 lb")
    handset.sheet_closes()

    # 4.0 oz are 113.4 g, and leave 972 g: 34.29 oz.
    handset.tap("Take out")
    expect(handset.labelled("Mass")).to_have_value("17.6")
    _fits(handset)
    handset.fill("Mass", "4.0")
    handset.tap("Take out 4.0 oz")
    handset.sheet_closes()

    handset.tap("Take out")
    handset.fill("Mass", "34.4")
    handset.sees("“34.4” does not go here. Give 0 to 34.3 ounces.")
    handset.fill("Mass", "34.3")
    handset.tap("Take out 2.14 lb")
    handset.sheet_closes()

    handset.restore_network()
    handset.sees_mark("Everything synced")
    assert _counted(ines) == [1085, 1140]
    assert _used(ines) == [113, 972]


def test_two_pounds_are_divided_into_four_packs_of_eight_ounces(
    ines: Api, lot: str, hold: Hold
) -> None:
    # 2 lb are 907.2 g, and four packs of 8 oz, 227 g each, a gram more than the 907 g kept.
    handset = hold(ines, f"/stores/{lot}")
    handset.tap("Divide")
    handset.fill("How much of it", "32")
    handset.fill("Into packs of", "8")
    handset.sees("4 packs of 8.0 oz")
    handset.misses(re.compile("over$"))
    _fits(handset)
    handset.tap("Divide 2.00 lb")
    handset.sheet_closes()
    # The page of the new packs takes the place of this one.
    handset.sees(re.compile("^Divided from"))
    handset.tap(COUNT)
    expect(handset.labelled("Whole packs of 8.0 oz")).to_have_value("4")
    expect(handset.labelled("And loose")).to_have_value("0.0")
    handset.tap("There is 2.00 lb")
    handset.sheet_closes()
    handset.sees_mark("Everything synced")
    assert _counted(ines) == [907]
    assert _used(ines) == [907]


def test_a_plate_is_entered_in_ounces_and_kept_in_grams(ines: Api, lot: str, hold: Hold) -> None:
    morag = ines.make("dog", name="Morag")
    handset = hold(ines, "/today")
    handset.tap("An extra or a treat")
    handset.tap("A plate from the table")
    handset.tap("Add a food")
    handset.fill("Find", "ox heart")
    handset.tap(re.compile("^Beef heart"))
    handset.fill("Ounces of Beef heart", "much")
    handset.sees("“much” is no number of ounces.")
    handset.fill("Ounces of Beef heart", "7.1")
    expect(handset.labelled("Each dog had")).to_have_value("7.1")
    _fits(handset)
    # What is shown as all of it is all of it.
    handset.fill("Each dog had", "7.1")
    handset.tap("Write down 7.1 oz")
    handset.sheet_closes()
    handset.sees_mark("Everything synced")
    (serving,) = [row["values"] for row in ines.rows("serving")]
    assert (serving["offered_g"], serving["dog"]) == (201, morag)
    assert [row["values"]["mass_g"] for row in ines.rows("weigh_in")] == [201]
