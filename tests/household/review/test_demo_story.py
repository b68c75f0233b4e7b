"""What the demo household's ten weeks say, loaded on a Wednesday."""

import json
from collections.abc import Iterator
from datetime import date
from typing import Any

import pytest
from django.db import transaction

from household.accounts.models import Household
from household.dogs.models import Condition, Dog, Observation, Weighing
from household.feeding.models import Meal, Serving
from household.feeding.queries import adequacy
from household.prep.models import Bag, Batch, Duty, WeighIn
from household.review import actions
from household.review.models import Summary
from household.review.queries.weeks import latest_due, zone_of
from household.stores.models import Count, Food, Lot, Movement
from household.sync.models import Op, Record
from nutrition.tables import load as load_tables
from tests.household.review.test_demo import WEDNESDAY, last_week_of, loaded

pytestmark = pytest.mark.django_db


@pytest.fixture(scope="module")
def quay_brae(django_db_setup: None, django_db_blocker: Any) -> Iterator[Household]:
    """The demo household, loaded once for these tests, which only read it."""
    with django_db_blocker.unblock(), transaction.atomic():
        yield loaded().household
        transaction.set_rollback(True)


def test_on_a_wednesday_morag_is_flagged_for_both(quay_brae: Household) -> None:
    bodies = last_week_of(quay_brae, WEDNESDAY)
    (alert,) = bodies["Morag"]["alerts"]
    assert alert["title"] == "Morag is losing weight and eating less"
    assert alert["since"] < "2026-11-16"  # Before the week itself.
    assert "ring the vet" in alert["next"]


def test_every_week_has_its_food_known_and_both_people_at_work(quay_brae: Household) -> None:
    week = latest_due(WEDNESDAY, zone_of(quay_brae.time_zone))
    people = {str(member.pk) for member in quay_brae.members.all()}
    for _ in range(9):
        actions.write_week(quay_brae, week, now=WEDNESDAY)
        for summary in Summary.living(quay_brae.pk).filter(week=str(week)):
            assert summary.body is not None
            assert summary.body["energy"]["unknown_share"] == 0
            assert summary.body["energy"]["eaten_kcal_per_day"] > 0
            assert set(summary.body["work"]) == people
        week = week.previous


def test_every_kind_of_record_is_in_it_by_both_people(quay_brae: Household) -> None:
    for model in (
        Dog, Weighing, Condition, Observation, Food, Lot, Movement, Count,
        Batch, WeighIn, Bag, Duty, Meal, Serving,
    ):  # fmt: skip
        assert model.living(quay_brae.pk).exists(), model
    authors = set(Op.objects.values_list("author", flat=True))
    assert authors == {str(member.pk) for member in quay_brae.members.all()}
    assert Op.objects.filter(applied=False).count() == 0
    assert {batch.method for batch in Batch.living(quay_brae.pk)} == {
        "ground",
        "chopped",
        "cooked",
    }
    foods = set(Serving.living(quay_brae.pk).values_list("what_food", flat=True))
    assert "cut-chicken-neck" in foods  # A whole meal with bone.
    assert str(Food.living(quay_brae.pk).get().rid) in foods  # The dry food of busy days.
    assert Serving.living(quay_brae.pk).filter(what_bag__isnull=False).exists()
    assert Serving.living(quay_brae.pk).filter(left_g=None, left_share=None).exists()


def test_nothing_in_it_contradicts_itself(quay_brae: Household) -> None:
    flagged = [
        (record.entity, json.loads(record.state)["flags"])
        for record in Record.objects.filter(household=quay_brae)
        if json.loads(record.state)["flags"]
    ]
    assert flagged == []
    tables = load_tables().foods
    for weigh_in in WeighIn.living(quay_brae.pk):
        assert weigh_in.food in tables
    numbers = list(Batch.living(quay_brae.pk).values_list("number", flat=True))
    assert len(numbers) == len(set(numbers))


def test_portions_follow_from_the_energy_that_is_computed(quay_brae: Household) -> None:
    bodies = last_week_of(quay_brae, WEDNESDAY)
    for name in ("Pascoe", "Tansy"):
        energy = bodies[name]["energy"]
        # Portions are rounded to 5 g, and a dog grows between two weighings.
        assert energy["eaten_kcal_per_day"] == pytest.approx(
            energy["required_kcal_per_day"], rel=0.03
        )


def test_the_summary_and_the_balance_page_say_the_same(quay_brae: Household) -> None:
    bodies = last_week_of(quay_brae, WEDNESDAY)
    for dog in Dog.living(quay_brae.pk):
        part = bodies[dog.name]["adequacy"]
        page = adequacy(
            quay_brae.pk, dog, last=date(2026, 11, 22), days=part["days"], edition=part["edition"]
        )
        assert part["stage"] == page.targets.stage
        assert part["counts"] == {
            word: sum(one.word == word for one in page.judgements) for word in part["counts"]
        }
        ratio = page.ratios[0].known
        assert ratio is not None
        assert part["calcium_to_phosphorus"] == round(ratio, 2)
