"""Dogs as scripts read them, and what they need."""

from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest

from household.accounts.models import Member
from household.dogs.queries import preference_id, yardstick
from tests.household.conftest import Op, Phone, dog_values

pytestmark = pytest.mark.django_db
TODAY = date(2026, 11, 25)


def dogs(phone: Phone, *more: str, **query: str) -> Any:
    parts = ["/api/households", str(phone.member.household_id), "dogs", *more]
    response = phone.client.get("/".join(parts), query)
    assert response.status_code == 200, response.content
    return response.json()


def weigh(phone: Phone, dog: Op, day: str, mass_g: float) -> Op:
    at = f"{day}T08:00:00Z"
    return phone.make("weighing", {"dog": dog["rid"], "at": at, "mass_g": mass_g})


def test_dogs_come_by_name_with_their_latest_weight(ines: Phone) -> None:
    tansy = ines.make("dog", dog_values())
    ines.make("dog", dog_values(name="Morag", breed="standard schnauzer"))
    weigh(ines, tansy, "2026-11-20", 11_800)
    weigh(ines, tansy, "2026-11-24", 12_000)
    weigh(ines, tansy, "2026-11-22", 11_900)
    found = dogs(ines)
    assert [each["dog"]["name"] for each in found] == ["Morag", "Tansy"]
    assert found[0]["weighing"] is None
    assert found[1]["weighing"]["mass_g"] == 12_000


def test_a_deleted_weighing_does_not_count(ines: Phone) -> None:
    tansy = ines.make("dog", dog_values())
    weigh(ines, tansy, "2026-11-20", 11_800)
    wrong = weigh(ines, tansy, "2026-11-24", 1_200)
    seen = {register: [wrong["op_id"]] for register in wrong["set"]}
    ines.make("weighing", {"deleted": True}, rid=wrong["rid"], new=False, seen=seen)
    assert dogs(ines)[0]["weighing"]["mass_g"] == 11_800
    assert [each["mass_g"] for each in dogs(ines, tansy["rid"])["weighings"]] == [11_800]


def test_one_dog_comes_with_what_was_noted(ines: Phone) -> None:
    tansy = ines.make("dog", dog_values(energy_vet={"kcal_per_day": 700, "note": "after the op"}))
    at = "2026-11-25T08:00:00Z"
    ines.make("condition", {"dog": tansy["rid"], "at": at, "bcs": 4, "mcs": "normal"})
    ines.make(
        "observation",
        {"dog": tansy["rid"], "at": at, "topic": "stool", "word": "soft_heap", "flags": ["mucus"]},
    )
    found = dogs(ines, tansy["rid"])
    assert found["dog"]["energy_vet_kcal_per_day"] == 700
    assert (found["condition"]["bcs"], found["conditions"][0]["mcs"]) == (4, "normal")
    assert found["observations"][0]["flags"] == ["mucus"]


def test_the_requirement_gives_energy_with_method_and_source(ines: Phone) -> None:
    pascoe = ines.make("dog", dog_values(name="Pascoe", born={"date": "2021-05-01"}))
    weigh(ines, pascoe, "2026-11-24", 18_000)
    found = dogs(ines, pascoe["rid"], "requirement")
    energy = found["energy"]
    # Resting requirement 70 kcal per kg^0.75: 70 * 18^0.75 = 611.7 (worked by hand).
    assert energy["resting_kcal"] == pytest.approx(611.7, abs=0.1)
    assert energy["low_kcal"] <= energy["energy_kcal"] <= energy["high_kcal"]
    assert energy["source"]
    assert (found["edition"], found["stage"], found["why_not"]) == ("nrc-2006", "adult", "")
    protein = next(each for each in found["nutrients"] if each["nutrient"] == "protein")
    assert (protein["unit"], protein["recommended"]) == ("g", 25)


def test_a_dog_without_a_weight_has_no_energy_and_is_told_why(ines: Phone) -> None:
    tansy = ines.make("dog", dog_values())
    found = dogs(ines, tansy["rid"], "requirement")
    assert found["energy"] is None
    assert found["why_not"] == "Tansy has no weight yet. Weigh the dog first."
    assert found["nutrients"]


def test_a_growing_dog_is_judged_as_one(ines: Phone) -> None:
    tansy = ines.make("dog", dog_values(born={"date": "2026-08-01"}, adult_weight_g=14_000))
    weigh(ines, tansy, "2026-11-24", 6_000)
    assert dogs(ines, tansy["rid"], "requirement")["stage"] == "growth_late"


def test_an_edition_that_is_not_known_is_refused(ines: Phone) -> None:
    tansy = ines.make("dog", dog_values())
    address = f"/api/households/{ines.member.household_id}/dogs/{tansy['rid']}/requirement"
    response = ines.client.get(address, {"edition": "mine"})
    assert (response.status_code, response.json()["code"]) == (400, "invalid")
    assert "nrc-2006" in response.json()["message"]


def test_the_number_of_queries_does_not_grow_with_the_dogs(
    ines: Phone, django_assert_max_num_queries: Any
) -> None:
    for number in range(5):
        weigh(ines, ines.make("dog", dog_values(name=f"Dog {number}")), "2026-11-24", 9_000)
    with django_assert_max_num_queries(8):
        assert len(dogs(ines)) == 5


@pytest.fixture
def _today(monkeypatch: pytest.MonkeyPatch) -> None:
    """It is noon on the day on which the phones write."""
    noon = datetime(TODAY.year, TODAY.month, TODAY.day, 12, tzinfo=UTC)
    monkeypatch.setattr("household.dogs.api.timezone.now", lambda: noon)


def days_ago(days: int) -> str:
    return (TODAY - timedelta(days=days)).isoformat()


BITCH = {"sex": "female", "neutered": False, "born": {"date": "2023-03-01"}}


def bitch(phone: Phone, **reproduction: Any) -> Op:
    fern = phone.make("dog", dog_values(name="Fern", **BITCH, reproduction=reproduction))
    weigh(phone, fern, "2026-11-24", 22_000)
    return fern


@pytest.mark.usefixtures("_today")
def test_a_bitch_in_whelp_is_fed_by_her_week(ines: Phone) -> None:
    fern = bitch(ines, mated_on=days_ago(45))
    found = dogs(ines, fern["rid"], "requirement")
    # NRC 2006 (from memory), worked by hand: 130 x 22^0.75 + 26 x 22 = 1892.6 kcal.
    assert found["energy"]["energy_kcal"] == pytest.approx(1892.6, abs=0.1)
    assert (found["energy"]["phase"], found["stage"]) == ("gestation_late", "reproduction")


@pytest.mark.usefixtures("_today")
def test_a_suckling_bitch_is_fed_by_week_and_litter(ines: Phone) -> None:
    fern = bitch(ines, whelped_on=days_ago(15), pups=6)
    found = dogs(ines, fern["rid"], "requirement")
    # The same, week 3 of six pups: 4377 kcal.
    assert found["energy"]["energy_kcal"] == pytest.approx(4377, abs=1)
    weaned = bitch(ines, whelped_on=days_ago(50), weaned_on=days_ago(0), pups=6)
    assert dogs(ines, weaned["rid"], "requirement")["energy"]["phase"] is None


@pytest.mark.usefixtures("_today")
def test_pups_of_a_dog_that_turns_out_spayed_are_left_aside(ines: Phone) -> None:
    fern = bitch(ines, mated_on=days_ago(45))
    seen = {register: [fern["op_id"]] for register in fern["set"]}
    ines.make("dog", {"neutered": True}, rid=fern["rid"], new=False, seen=seen)
    found = dogs(ines, fern["rid"], "requirement")
    assert (found["energy"]["phase"], found["stage"]) == (None, "adult")


def test_a_dog_that_eats_little_has_denser_targets_of_its_own(ines: Phone) -> None:
    morag = ines.make("dog", dog_values(name="Morag", energy_vet={"kcal_per_day": 800}))
    weigh(ines, morag, "2026-11-24", 18_000)
    found = dogs(ines, morag["rid"], "requirement")
    # 800 kcal for 18 kg are 91.5 kcal per kg^0.75, where NRC 2006 assumes 130.
    assert (found["correction"], found["factor"]) == ("denser", pytest.approx(1.42, abs=0.005))
    protein = next(each for each in found["nutrients"] if each["nutrient"] == "protein")
    assert protein["own_minimum"] == pytest.approx(25 * found["factor"])


def choose(phone: Phone, standard: str | None, household: Any = None) -> Op:
    rid = preference_id(household or phone.member.household_id)
    return phone.make("preference", {"standard": standard}, rid=str(rid), new=True)


def test_the_household_chooses_its_yardstick(ines: Phone) -> None:
    tansy = ines.make("dog", dog_values())
    assert dogs(ines, tansy["rid"], "requirement")["edition"] == "nrc-2006"
    choose(ines, "fediaf-2021")
    assert dogs(ines, tansy["rid"], "requirement")["edition"] == "fediaf-2021"
    asked = dogs(ines, tansy["rid"], "requirement", edition="aafco-2016")
    assert asked["edition"] == "aafco-2016"


def test_a_preference_anywhere_else_chooses_nothing(ines: Phone) -> None:
    ines.make("preference", {"standard": "aafco-2016"})
    assert yardstick(ines.member.household_id) == "nrc-2006"


def test_another_household_chooses_nothing_here(
    ines: Phone, cast: Any, phone_of: Callable[[Member], Phone]
) -> None:
    choose(phone_of(cast.odile), "aafco-2016", household=ines.member.household_id)
    assert yardstick(ines.member.household_id) == "nrc-2006"


def test_a_sitter_sees_the_yardstick_and_cannot_change_it(ines: Phone, sitter: Phone) -> None:
    chosen = choose(ines, "fediaf-2021")
    assert sitter.row(chosen["rid"])["values"]["standard"] == "fediaf-2021"
    op = sitter.op("preference", {"standard": "aafco-2016"}, rid=chosen["rid"])
    (result,) = sitter.results(op)
    assert (result["status"], result["code"]) == ("rejected", "forbidden")


@pytest.mark.usefixtures("_today")
def test_small_breeds_have_a_column_of_their_own(ines: Phone) -> None:
    choose(ines, "aafco-2016")
    ceilings = []
    for grown_g in (14_000, 45_000):
        born = {"date": days_ago(150)}
        pup = ines.make("dog", dog_values(born=born, adult_weight_g=grown_g))
        nutrients = dogs(ines, pup["rid"], "requirement")["nutrients"]
        calcium = next(each for each in nutrients if each["nutrient"] == "calcium")
        ceilings.append(calcium["maximum"])
    # AAFCO: 6.25 g per 1000 kcal, 4.5 g for growth to 70 lb (31.8 kg) and more.
    assert ceilings == [6250, 4500]
