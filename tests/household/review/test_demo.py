"""The demo household loads through sync, on any day, and keeps to itself."""

from datetime import UTC, datetime, timedelta
from io import StringIO
from typing import Any

import pytest
from django.core.management import CommandError, call_command
from django.utils import timezone

from household.accounts.models import Household, Member, Role, User
from household.config.demo.load import DemoRefused, Loaded, load_demo
from household.dogs.models import Dog
from household.prep.models import Batch, Duty, Pull
from household.prep.pull_times import packs_to_pull
from household.review import actions
from household.review.models import Summary
from household.review.queries.weeks import latest_due, zone_of
from household.sync.models import Op

pytestmark = pytest.mark.django_db
PASSWORD = "chest freezer in the shed"
WEDNESDAY = datetime(2026, 11, 25, 10, tzinfo=UTC)


def loaded(now: datetime = WEDNESDAY, *, alongside: bool = False) -> Loaded:
    return load_demo(password=PASSWORD, alongside=alongside, now=now)


def last_week_of(household: Household, now: datetime) -> dict[str, Any]:
    """The bodies of the last whole week, by dog's name."""
    week = latest_due(now, zone_of(household.time_zone))
    actions.write_week(household, week, now=now)
    names = {dog.rid: dog.name for dog in Dog.living(household.pk)}
    found = Summary.living(household.pk).filter(week=str(week))
    return {names[summary.dog]: summary.body for summary in found}


@pytest.mark.parametrize(
    "now",
    [
        pytest.param(datetime(2026, 11, 23, 3, 0, tzinfo=UTC), id="Monday before four"),
        pytest.param(WEDNESDAY, id="Wednesday"),
        pytest.param(datetime(2026, 11, 29, 23, 30, tzinfo=UTC), id="Sunday night"),
        pytest.param(datetime(2026, 4, 3, 9, 0, tzinfo=UTC), id="just after the clocks went on"),
    ],
)
def test_the_story_comes_out_on_whatever_day_it_is_loaded(now: datetime) -> None:
    bodies = last_week_of(loaded(now).household, now)
    assert sorted(bodies) == ["Morag", "Pascoe", "Tansy"]

    morag = bodies["Morag"]
    assert morag["weight"]["sentence"].startswith("Falling")
    assert -0.6 < morag["weight"]["slope_pct_per_week"] < -0.25
    assert morag["weight"]["high"] < 0
    assert [alert["key"] for alert in morag["alerts"]] in (
        ["weight_and_appetite"],
        ["weight_loss"],  # Where the last whole week ends six days back.
    )
    assert 0.8 < morag["energy"]["share"] < 0.95

    pascoe = bodies["Pascoe"]
    assert pascoe["weight"]["sentence"].startswith("Steady")
    assert pascoe["alerts"] == []
    assert pascoe["energy"]["share"] == pytest.approx(1, abs=0.03)

    tansy = bodies["Tansy"]
    assert tansy["weight"]["sentence"].startswith("Growing")
    assert tansy["weight"]["slope_pct_per_week"] > 1
    assert tansy["adequacy"]["stage"] == "growth_late"
    assert tansy["alerts"] == []
    assert tansy["energy"]["share"] == pytest.approx(1, abs=0.03)


@pytest.mark.parametrize("hour", [0, 23])
def test_nothing_lies_in_the_future_but_what_is_planned(hour: int) -> None:
    now = WEDNESDAY.replace(hour=hour)
    household = loaded(now).household
    limit = int(now.timestamp() * 1000)
    assert not Op.objects.filter(occurred_at__gt=limit).exists()
    ahead = Duty.living(household.pk).filter(done_at=None)
    assert {"grind", "ring_vet"} <= set(ahead.values_list("what", flat=True))
    planned = Batch.living(household.pk).get(stage="planned")
    pulls = Pull.living(household.pk).filter(batch=planned.rid)
    due = [
        pull
        for member in Member.objects.filter(household=household)
        for pull in packs_to_pull(member, start=now, end=now + timedelta(days=3))
    ]
    # All of it can still be thawed in time, and is somebody's to move.
    assert {each.rid for each in due} == set(pulls.values_list("rid", flat=True)) != set()


def test_loading_again_changes_nothing() -> None:
    first = loaded()
    ops = Op.objects.count()
    again = loaded(WEDNESDAY + timedelta(days=2))
    assert (again.household, again.entries) == (first.household, 0)
    assert (Op.objects.count(), Household.objects.count(), User.objects.count()) == (ops, 1, 2)


def test_it_does_not_touch_a_database_with_other_households() -> None:
    Household.objects.create(name="Somebody's")
    with pytest.raises(DemoRefused, match="--alongside"):
        loaded()
    assert Household.objects.count() == 1
    assert not User.objects.exists()
    assert loaded(alongside=True).entries > 1000
    assert Household.objects.count() == 2


def test_it_does_not_take_over_an_account_with_its_address() -> None:
    User.objects.create_user("ines@example.invalid", "another ines here", name="Ines")
    with pytest.raises(DemoRefused, match="already an account"):
        loaded()
    assert not Household.objects.exists()


# Ten weeks of days reach back into ten whole weeks, but on a Sunday the last seven are not over and
# a tenth week would lie before the story.
@pytest.mark.parametrize(
    ("now", "weeks"),
    [
        pytest.param(WEDNESDAY, 10, id="Wednesday"),
        pytest.param(WEDNESDAY + timedelta(days=4), 9, id="Sunday"),
    ],
)
def test_the_command_says_how_to_go_on(
    monkeypatch: pytest.MonkeyPatch, now: datetime, weeks: int
) -> None:
    monkeypatch.setattr(timezone, "now", lambda: now)
    out = StringIO()
    call_command("demo", stdout=out)
    words = out.getvalue()
    password = next(line for line in words.splitlines() if line.startswith("Password")).split()[1]
    ines = User.objects.get(email="ines@example.invalid")
    assert ines.check_password(password)
    assert User.objects.get(email="callum@example.invalid").check_password(password)
    assert "manage.py serve" in words
    roles = Member.objects.order_by("user__name").values_list("user__name", "role")
    assert list(roles) == [("Callum", Role.PARTNER), ("Ines", Role.OWNER)]
    dogs = 3
    assert Summary.objects.count() == weeks * dogs
    again = StringIO()
    call_command("demo", stdout=again)
    assert "already here; nothing was changed" in again.getvalue()


@pytest.mark.parametrize("password", ["short", "12345678901234"])
def test_the_command_refuses_a_weak_password_and_loads_nothing(password: str) -> None:
    with pytest.raises(CommandError, match="password will not do"):
        call_command("demo", password=password, stdout=StringIO())
    assert not Household.objects.exists()
