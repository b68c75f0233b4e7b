"""The first look: what a new phone shows at once, and nothing that its member may not see."""

from datetime import timedelta
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from tests.household.conftest import LOT, Phone, dog_values, heads

pytestmark = pytest.mark.django_db


def look(phone: Phone) -> dict[str, dict[str, Any]]:
    response = phone.client.get(f"{phone.base}/first", headers=heads({}))
    assert response.status_code == 200, response.content
    assert response["Sync-Protocol"] == "1"
    assert response["X-Request-Id"] == response.json()["request_id"]
    return {row["rid"]: row for row in response.json()["rows"]}


def days_ago(days: int) -> dict[str, int]:
    return {"occurred_at": int((timezone.now() - timedelta(days=days)).timestamp() * 1000)}


def write(phone: Phone, entity: str, values: dict[str, Any], days: int = 0) -> str:
    op = phone.op(entity, values, **days_ago(days))
    assert phone.push(op)["results"][0]["status"] == "applied"
    return str(op["rid"])


def meal(phone: Phone, days: int) -> tuple[str, str]:
    """A meal of so many days ago, with one serving."""
    at = timezone.now() - timedelta(days=days)
    dog = write(phone, "dog", dog_values(), days)
    values = {"name": "Supper", "day": f"{at:%Y-%m-%d}", "at": f"{at:%Y-%m-%dT%H:%M:%SZ}"}
    fed = write(phone, "meal", values, days)
    what = {"food": "usda-13323"}
    serving = {"meal": fed, "dog": dog, "what": what, "offered_g": 240}
    return fed, write(phone, "serving", serving, days)


def test_rows_are_those_of_a_pull(ines: Phone) -> None:
    dog = write(ines, "dog", dog_values(), days=900)
    row = look(ines)[dog]
    assert row == ines.pull()[dog]


def test_of_meals_only_the_last_days_come_with_what_belongs_to_them(ines: Phone) -> None:
    old, new = meal(ines, days=40), meal(ines, days=1)
    rows = look(ines)
    assert set(new) <= set(rows)
    assert not set(old) & set(rows)


def test_a_ledger_comes_whole_or_not_at_all(ines: Phone) -> None:
    old, new = write(ines, "lot", LOT, days=400), write(ines, "lot", LOT, days=100)
    moved = {"what": "used", "mass_g": 100, "at": "2026-11-20T08:00:00Z"}
    of_old = write(ines, "movement", {**moved, "of": old})
    of_new = {write(ines, "movement", {**moved, "of": new}, days) for days in (0, 90)}
    rows = look(ines)
    assert of_new <= set(rows)
    assert of_old not in rows


def test_what_was_deleted_does_not_come(ines: Phone) -> None:
    dog = ines.make("dog", dog_values())
    assert dog["rid"] in look(ines)
    seen = {register: [dog["op_id"]] for register in dog["set"]}
    ines.push(ines.op("dog", {"deleted": True}, rid=dog["rid"], seen=seen))
    assert dog["rid"] not in look(ines)


def test_a_sitter_gets_no_lots(ines: Phone, sitter: Phone) -> None:
    lot = write(ines, "lot", LOT)
    entry = {"of": lot, "what": "stored", "mass_g": 100, "at": "2026-11-20T08:00:00Z"}
    movement = write(ines, "movement", entry)
    dog = write(ines, "dog", dog_values())
    assert {lot, movement, dog} <= set(look(ines))
    assert set(look(sitter)) == {dog}


def test_it_never_joins_what_the_statistics_of_a_new_household_would_misjudge(ines: Phone) -> None:
    """PostgreSQL took 11 s to join 10,000 weighings of a household that was newer than them."""
    meal(ines, days=1)
    with CaptureQueriesContext(connection) as captured:
        look(ines)
    asked = [each["sql"] for each in captured if '"sync_record"' in each["sql"]]
    assert len(asked) > 10
    assert not [sql for sql in asked if sql.count("SELECT") > 1 or " JOIN " in sql]
