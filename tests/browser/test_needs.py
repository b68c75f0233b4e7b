"""What a dog needs: followed offline, and the same on both phones afterwards."""

import re
from datetime import UTC, datetime, timedelta

from playwright.sync_api import expect

from tests.browser.api import Api
from tests.browser.conftest import Hold

NOW = datetime.now(UTC)
DATE = "%Y-%m-%d"


def weighed(api: Api, mass_g: int, **dog: object) -> str:
    """A dog of this household that was weighed yesterday; its id."""
    rid = api.make("dog", **dog)
    at = (NOW - timedelta(days=1)).strftime("%Y-%m-%dT%H:%M:%SZ")
    api.make("weighing", dog=rid, at=at, mass_g=mass_g)
    return rid


def test_a_yardstick_chosen_offline_reaches_the_other_phone(
    ines: Api, callum: Api, hold: Hold
) -> None:
    """Per 1000 kcal an adult needs 25 g of protein by NRC 2006 and 45 g by AAFCO 2016."""
    morag = weighed(ines, 16_000, name="Morag", activity="moderate", neutered=True)
    hers = hold(ines, f"/dogs/{morag}/needs")
    his = hold(callum, f"/dogs/{morag}/needs")
    for phone in (hers, his):
        phone.sees(re.compile("NRC 2006, recommended allowance"))
    hers.cut_network()
    hers.tap(re.compile("^NRC 2006, recommended"))
    hers.tap(re.compile("^AAFCO 2016"))
    hers.sheet_closes()
    hers.sees("AAFCO 2016")
    hers.sees(re.compile("prints no correction"))
    protein = hers.page.get_by_role("listitem").filter(has_text=re.compile("^.{0,12}Protein"))
    expect(protein).to_contain_text("45.0 g per 1000 kcal")
    hers.open("/household")
    expect(hers.button(re.compile("^AAFCO 2016"))).to_have_attribute("aria-pressed", "true")
    hers.restore_network()
    hers.sees_mark("Everything synced")
    his.meet_server()
    his.open(f"/dogs/{morag}/needs")
    his.sees("AAFCO 2016")


def test_a_mating_written_down_offline_changes_the_need(ines: Api, hold: Hold) -> None:
    """NRC 2006: 130 kg^0.75, and 26 kcal per kg more in the last five weeks (from memory)."""
    born = {"date": (NOW - timedelta(days=1500)).strftime(DATE)}
    fern = weighed(ines, 22_000, name="Fern", sex="female", neutered=False, born=born)
    phone = hold(ines, f"/dogs/{fern}")
    phone.cut_network()
    phone.tap("Change what is known")
    phone.labelled("Mated on").fill((NOW - timedelta(days=45)).strftime(DATE))
    phone.tap("Save Fern")
    phone.sheet_closes()
    phone.tap(re.compile("^What Fern needs"))
    phone.sees("1893 kcal a day")
    phone.sees(re.compile("FEDIAF 2021: last five weeks"))
    phone.restore_network()
    phone.sees_mark("Everything synced")
    assert ines.row(fern)["values"]["reproduction"]["mated_on"]
