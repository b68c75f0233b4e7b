"""Batches as scripts read them: content, bags, and how they compare with what their dogs need."""

from typing import Any

import pytest

from tests.household.conftest import Op, Phone, dog_values

pytestmark = pytest.mark.django_db
AT = "2026-11-25T08:00:00Z"
BEEF = "usda-23572"
PLAN = [{"food": BEEF, "mass_g": 900}]


def batches(phone: Phone, *more: str) -> Any:
    parts = ["/api/households", str(phone.member.household_id), "batches", *more]
    response = phone.client.get("/".join(parts))
    assert response.status_code == 200, response.content
    return response.json()


def make_batch(phone: Phone, **more: Any) -> Op:
    return phone.make("batch", {"method": "ground", "stage": "planned", "plan": PLAN, **more})


def test_a_batch_is_its_plan_until_something_is_weighed_in(ines: Phone) -> None:
    batch = make_batch(ines, planned_for="2026-11-28", days=7)
    (found,) = batches(ines)
    assert (found["basis"], found["parts"], found["put_in_g"]) == ("planned", PLAN, 900)
    for mass_g in (500, 420.5):
        ines.make("weigh_in", {"batch": batch["rid"], "food": BEEF, "mass_g": mass_g, "at": AT})
    (found,) = batches(ines)
    assert (found["basis"], found["put_in_g"]) == ("weighed", 920.5)
    one = batches(ines, batch["rid"])
    assert [each["mass_g"] for each in one["weigh_ins"]] == [500, 420.5]
    assert one["plan"] == PLAN


def test_bags_show_what_is_left_of_them(ines: Phone) -> None:
    batch = make_batch(ines, stage="done")
    bag = ines.make(
        "bag",
        {"batch": batch["rid"], "mass_g": 400, "count": 3, "place": "freezer", "packed_at": AT},
    )
    ines.make("movement", {"of": bag["rid"], "what": "used", "mass_g": 400, "at": AT})
    assert batches(ines, batch["rid"])["bags"][0]["stock_g"] == 800
    ines.make("movement", {"of": bag["rid"], "what": "used", "mass_g": 900, "at": AT})
    assert ines.row(bag["rid"])["flags"] == ["negative_stock"]


def test_adequacy_is_judged_for_every_stage_of_life_at_the_table(ines: Phone) -> None:
    puppy = ines.make(
        "dog", dog_values(born={"date": "2026-06-01"}, adult_weight_g=12_000, sex="female")
    )
    adult = ines.make("dog", dog_values(name="Pascoe", born={"date": "2021-02-01"}))
    batch = make_batch(ines, dogs=[puppy["rid"], adult["rid"]], planned_for="2026-11-28")
    found = batches(ines, batch["rid"], "adequacy")
    assert (found["basis"], found["mass_g"], found["unresolved_g"]) == ("planned", 900, 0)
    stages = {each["stage"]: each["dogs"] for each in found["stages"]}
    assert stages == {"adult": [adult["rid"]], "growth_late": [puppy["rid"]]}
    words = {each["nutrient"]: each["word"] for each in found["stages"][0]["judgements"]}
    assert (words["protein"], words["calcium"]) == ("met", "short")


def test_nothing_is_said_of_an_empty_batch(ines: Phone) -> None:
    batch = make_batch(ines, plan=[])
    found = batches(ines, batch["rid"], "adequacy")
    assert (found["basis"], found["energy_kcal"]) == ("unknown", 0)
    assert {each["word"] for each in found["stages"][0]["judgements"]} == {"unknown"}


def test_the_number_of_queries_does_not_grow_with_the_batches(
    ines: Phone, django_assert_max_num_queries: Any
) -> None:
    for _ in range(4):
        make_batch(ines)
    with django_assert_max_num_queries(12):
        assert len(batches(ines)) == 4
