"""A day is the household's own: where breakfast or supper falls on another day in UTC."""

import re
from datetime import datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest

from tests.browser import kitchen
from tests.browser.api import Api
from tests.browser.conftest import Phone, Server
from tests.browser.handset import Handset


def last_time_it_was(clock: time, zone: str) -> datetime:
    now = datetime.now(ZoneInfo(zone))
    then = datetime.combine(now.date(), clock, now.tzinfo)
    return then if then <= now else then - timedelta(days=1)


@pytest.mark.parametrize(
    ("zone", "meal", "fed"),
    [
        ("Pacific/Auckland", "Breakfast", time(7, 10)),
        ("America/Los_Angeles", "Supper", time(18, 10)),
    ],
    ids=["east", "west"],
)
def test_a_meal_stands_on_the_day_of_the_household(
    server: Server, phone: Phone, zone: str, meal: str, fed: time
) -> None:
    now = last_time_it_was(fed, zone)
    assert now.date() != now.astimezone(ZoneInfo("UTC")).date()
    server.forget_attempts()
    ines = Api(server.url).sign_up("Ines", household_name="Larch Row", time_zone=zone)
    dog = ines.make("dog", name="Morag", born={"date": "2014-03-02", "estimated": False})
    ines.make("weighing", dog=dog, at="2026-01-05T08:00:00Z", mass_g=16_000)
    ines.make("mealtime", name=meal, time=f"{fed.hour:02}:00", dogs=[dog])
    label = {"protein_pct": 26, "fat_pct": 15, "fibre_pct": 3, "moisture_pct": 9, "ash_pct": 7}
    ines.make("food", name="Oat biscuit", style="dry", label=label)

    context = phone(zone=zone)
    context.clock.set_fixed_time(now)
    context.add_cookies(
        [{"name": name, "value": value, "url": ines.url} for name, value in ines.cookies]
    )
    handset = Handset(context).open("/today").ready()
    handset.cut_network()
    kitchen.serve_from(handset, "Oat biscuit")
    handset.tap("Morag fed as usual")
    shown = f"{fed.hour:02}:{fed.minute:02}"
    handset.sees(re.compile(rf"^Fed {shown}"))
    handset.crash()
    handset.reopen("/today")
    handset.sees(re.compile(rf"^Fed {shown}"))
    handset.reopen(f"/dogs/{dog}")
    handset.sees(meal)
    handset.reopen(f"/dogs/{dog}/balance")
    handset.sees(re.compile("1 meal"))
    handset.restore_network()
    handset.meet_server()
    row = ines.rows("meal")[0]["values"]
    assert row["day"] == str(now.date())
