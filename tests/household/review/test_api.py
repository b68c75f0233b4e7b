"""Who may read the summaries, and what a wrong week is answered with."""

from collections.abc import Callable
from typing import Any

import pytest
from rest_framework.test import APIClient

from household.accounts.models import Member
from household.sync import registry
from tests.household.conftest import Phone
from tests.household.review.conftest import MONDAY, Diary, biscuit

pytestmark = pytest.mark.django_db
ClientOf = Callable[[Member | None], APIClient]


@pytest.fixture
def dog(diary: Diary, summed_up: Callable[..., dict[str, Any]]) -> str:
    """A dog of Larch Row whose week is summed up."""
    rid = diary.dog()
    diary.feed(rid, MONDAY, what={"food": diary.write("food", biscuit())}, left={"g": 0})
    diary.push()
    summed_up()
    return rid


def summaries(client: APIClient, cast: Any, **query: str) -> Any:
    return client.get(f"/api/households/{cast.household.pk}/summaries", query)


@pytest.mark.parametrize("who", ["ines", "callum"])
def test_planners_read_a_week(who: str, dog: str, cast: Any, client_of: ClientOf) -> None:
    response = summaries(client_of(getattr(cast, who)), cast, week="2026-W47")
    assert response.status_code == 200
    (summary,) = response.json()
    assert (summary["dog"], summary["week"]) == (dog, "2026-W47")
    assert summary["body"]["energy"]["eaten_kcal_per_day"] == 400


def test_without_a_week_the_newest_is_answered(dog: str, cast: Any, client_of: ClientOf) -> None:
    (summary,) = summaries(client_of(cast.ines), cast).json()
    assert summary["week"] == "2026-W47"


def test_a_week_without_summaries_is_an_empty_list(
    dog: str, cast: Any, client_of: ClientOf
) -> None:
    response = summaries(client_of(cast.ines), cast, week="2026-W30")
    assert (response.status_code, response.json()) == (200, [])


def test_a_week_that_does_not_exist_is_explained(cast: Any, client_of: ClientOf) -> None:
    response = summaries(client_of(cast.ines), cast, week="2025-W53")
    assert response.status_code == 400
    assert "such as 2026-W47" in response.json()["fields"]["week"][0]


def test_a_sitter_may_not_read_them(dog: str, cast: Any, client_of: ClientOf) -> None:
    response = summaries(client_of(cast.bettrys), cast)
    assert (response.status_code, response.json()["code"]) == (403, "forbidden")


def test_another_household_learns_nothing(dog: str, cast: Any, client_of: ClientOf) -> None:
    response = summaries(client_of(cast.odile), cast)
    assert (response.status_code, response.json()["code"]) == (404, "not_found")


def test_nobody_signed_in_learns_nothing(dog: str, cast: Any, client_of: ClientOf) -> None:
    response = summaries(client_of(None), cast)
    assert (response.status_code, response.json()["code"]) == (403, "not_authenticated")


def test_phones_of_planners_get_the_summary_and_a_sitters_does_not(
    dog: str, ines: Phone, callum: Phone, sitter: Phone
) -> None:
    for phone, expected in ((ines, [dog]), (callum, [dog]), (sitter, [])):
        rows = [row for row in phone.pull().values() if row["entity"] == "summary"]
        assert [row["values"]["dog"] for row in rows] == expected
    assert [row["made_by"] for row in ines.pull().values()] == []


@pytest.mark.parametrize("who", ["ines", "callum", "sitter"])
def test_no_member_may_write_one(who: str, dog: str, request: pytest.FixtureRequest) -> None:
    phone = request.getfixturevalue(who)
    op = phone.op("summary", {"dog": dog, "week": "2026-W48", "body": {}})
    (result,) = phone.results(op)
    assert (result["status"], result["code"]) == ("rejected", "forbidden")


def test_the_server_alone_is_named_as_writer() -> None:
    kind = registry.get("summary")
    assert kind is not None
    assert kind.write == ()
