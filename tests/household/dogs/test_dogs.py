"""Dogs as scripts read them, and what they need."""

from typing import Any

import pytest

from tests.household.conftest import Op, Phone, dog_values

pytestmark = pytest.mark.django_db


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
