"""What dogs ate, through bags and batches, with what is assumed and what is unknown."""

from typing import Any

import pytest

from household.sync.envelope import slot_id
from tests.household.conftest import Op, Phone, dog_values

pytestmark = pytest.mark.django_db
AT = "2026-11-25T08:00:00Z"
BEEF, LIVER = "usda-23572", "usda-13325"


@pytest.fixture
def dog(ines: Phone) -> Op:
    op = ines.make("dog", dog_values(born={"date": "2021-05-01"}))
    ines.make("weighing", {"dog": op["rid"], "at": AT, "mass_g": 12_000})
    return op


@pytest.fixture
def batch(ines: Phone) -> Op:
    """1000 g weighed in, 800 g out of the pot."""
    op = ines.make("batch", {"method": "cooked", "stage": "done", "yield_g": 800})
    for food, mass_g in ((BEEF, 900), (LIVER, 100)):
        ines.make("weigh_in", {"batch": op["rid"], "food": food, "mass_g": mass_g, "at": AT})
    return op


def serve(
    phone: Phone, dog: Op, what: dict[str, Any], *, day: str = "2026-11-25", **more: Any
) -> Op:
    meal = phone.make("meal", {"day": day, "at": f"{day}T08:00:00Z"})
    values = {"meal": meal["rid"], "dog": dog["rid"], "what": what, "offered_g": 400, **more}
    return phone.make("serving", values)


def adequacy(phone: Phone, dog: Op, **query: Any) -> Any:
    address = f"/api/households/{phone.member.household_id}/dogs/{dog['rid']}/adequacy"
    return phone.client.get(address, {"to": "2026-11-25", **query})


def intake(phone: Phone, dog: Op, **query: Any) -> Any:
    return adequacy(phone, dog, **query).json()["intake"]


def test_what_is_left_in_grams_or_as_a_share_is_not_eaten(ines: Phone, dog: Op) -> None:
    serve(ines, dog, {"food": BEEF}, left={"g": 100})
    serve(ines, dog, {"food": BEEF}, left={"share": 0.5})
    serve(ines, dog, {"food": BEEF})
    found = intake(ines, dog)
    assert (found["offered_g"], found["left_g"], found["eaten_g"]) == (1200, 300, 900)
    assert found["assumed_share"] == pytest.approx(400 / 900)
    assert found["foods"] == {BEEF: 900}


def test_a_bag_is_its_batch_and_cooking_is_counted(ines: Phone, dog: Op, batch: Op) -> None:
    """200 g of 800 g made hold a quarter of the 1000 g that went in."""
    bag = ines.make(
        "bag",
        {"batch": batch["rid"], "mass_g": 200, "count": 4, "place": "freezer", "packed_at": AT},
    )
    serve(ines, dog, {"bag": bag["rid"]}, offered_g=200)
    serve(ines, dog, {"batch": batch["rid"]}, offered_g=200)
    found = intake(ines, dog)
    assert found["foods"] == pytest.approx({BEEF: 450, LIVER: 50})
    assert found["unresolved_g"] == 0


def test_food_of_unknown_content_is_not_counted_as_nothing(ines: Phone, dog: Op) -> None:
    planned = ines.make(
        "batch",
        {"method": "ground", "stage": "planned", "plan": [{"food": BEEF, "mass_g": 500}]},
    )
    serve(ines, dog, {"batch": planned["rid"]})
    serve(ines, dog, {"food": "no-such-food"})
    serve(ines, dog, {"food": BEEF}, offered_g=200)
    body = adequacy(ines, dog).json()
    assert body["intake"]["unresolved_g"] == 400
    assert body["known_share"] == pytest.approx(0.2)
    words = {each["word"] for each in body["judgements"]}
    assert words <= {"unknown", "over"}


def test_only_the_window_counts(ines: Phone, dog: Op) -> None:
    for day in ("2026-11-25", "2026-11-19", "2026-11-18", "2026-10-29", "2026-10-28"):
        serve(ines, dog, {"food": BEEF}, day=day)
    eaten = {days: intake(ines, dog, days=days)["eaten_g"] for days in (1, 7, 14, 28)}
    assert eaten == {1: 400, 7: 800, 14: 1200, 28: 1600}


def test_one_day_alone_does_not_say_how_dense_the_food_must_be(ines: Phone, dog: Op) -> None:
    for _ in range(2):
        serve(ines, dog, {"food": BEEF})
    factors = {days: adequacy(ines, dog, days=days).json()["factor"] for days in (1, 7)}
    # The day goes by the need, 110 of the table's 130 kcal/kg^0.75; the week by what was eaten.
    assert factors == {1: pytest.approx(130 / 110), 7: 1}


def test_a_deleted_serving_or_meal_was_not_eaten(ines: Phone, dog: Op) -> None:
    gone = serve(ines, dog, {"food": BEEF})
    serve(ines, dog, {"food": BEEF})
    seen = {register: [gone["op_id"]] for register in gone["set"]}
    ines.make("serving", {"deleted": True}, rid=gone["rid"], new=False, seen=seen)
    assert intake(ines, dog)["eaten_g"] == 400


def test_adequacy_names_its_standard_stage_and_units(ines: Phone, dog: Op) -> None:
    serve(ines, dog, {"food": BEEF})
    body = adequacy(ines, dog).json()
    assert (body["edition"], body["stage"], body["known_share"]) == ("nrc-2006", "adult", 1)
    protein = next(each for each in body["judgements"] if each["nutrient"] == "protein")
    assert (protein["unit"], protein["word"], protein["basis"]) == ("g", "met", "per 1000 kcal")
    calcium = next(each for each in body["judgements"] if each["nutrient"] == "calcium")
    assert calcium["word"] == "short"
    ratio = next(each for each in body["ratios"] if each["key"] == "calcium_to_phosphorus")
    assert ratio["word"] in ("short", "over", "unknown")
    assert {each["nutrient"] for each in body["not_compared"]} == {"vitamin_k"}
    editions = {each["edition"] for each in body["excesses"]}
    assert editions <= {"nrc-2006", "aafco-2016", "fediaf-2021"}


@pytest.mark.parametrize(
    ("zone", "weighed_at", "is_by_then"),
    [
        # The evening of the 24th in Los Angeles is the 25th in UTC.
        ("America/Los_Angeles", "2026-11-25T03:00:00Z", True),
        # The morning of the 25th in Auckland is the 24th in UTC.
        ("Pacific/Auckland", "2026-11-24T20:00:00Z", False),
    ],
)
def test_the_weight_is_the_latest_by_the_end_of_the_households_day(
    ines: Phone, zone: str, weighed_at: str, is_by_then: bool
) -> None:
    ines.member.household.time_zone = zone
    ines.member.household.save(update_fields=["time_zone"])
    dog = ines.make("dog", dog_values(born={"date": "2021-05-01"}))
    ines.make("weighing", {"dog": dog["rid"], "at": weighed_at, "mass_g": 12_000})
    body = adequacy(ines, dog, to="2026-11-24").json()
    assert (body["own_kcal_per_kg075"] is not None) == is_by_then


@pytest.mark.parametrize(
    ("query", "field", "words"),
    [
        ({"days": "8"}, "days", "allowed: 1, 7, 14 or 28"),
        ({"to": "soon"}, "to", "give a date like 2026-11-25"),
        ({"edition": "mine"}, "edition", "There is no edition called 'mine'. Use one of: nrc-2006"),
    ],
)
def test_a_bad_question_is_answered_with_what_is_allowed(
    ines: Phone, dog: Op, query: dict[str, str], field: str, words: str
) -> None:
    response = adequacy(ines, dog, **query)
    assert response.status_code == 400
    assert words in response.json()["fields"][field][0]


def test_meals_come_by_day_with_their_servings(ines: Phone, dog: Op) -> None:
    for day in ("2026-11-24", "2026-11-20"):
        serve(ines, dog, {"food": BEEF}, day=day, left={"g": 40})
    address = f"/api/households/{ines.member.household_id}/meals"
    meals = ines.client.get(address, {"from": "2026-11-20", "to": "2026-11-25"}).json()
    assert [meal["day"] for meal in meals] == ["2026-11-20", "2026-11-24"]
    assert meals[0]["servings"][0]["left_g"] == 40
    backwards = ines.client.get(address, {"from": "2026-11-25", "to": "2026-11-20"})
    assert "allowed are 1 to 92 days" in backwards.json()["fields"]["from"][0]
    assert ines.client.get(address, {"from": "2026-01-01", "to": "2026-11-25"}).status_code == 400


def test_two_phones_feeding_the_same_meal_meet_in_one_record(
    ines: Phone, callum: Phone, dog: Op
) -> None:
    """The id of a meal at a mealtime follows from the day, so equal entries agree."""
    household = ines.member.household_id
    meal = str(slot_id("meal", household, "breakfast", "2026-11-25"))
    serving = str(slot_id("serving", meal, dog["rid"]))
    values = {"meal": meal, "dog": dog["rid"], "what": {"food": BEEF}, "offered_g": 400}
    for phone, more in ((ines, {}), (callum, {"left": {"g": 50}})):
        phone.make("meal", {"day": "2026-11-25", "at": AT}, rid=meal, new=True)
        phone.make("serving", {**values, **more}, rid=serving, new=True)
    row = ines.row(serving)
    assert (row["also"], row["values"]["left"]) == ({}, {"g": 50})
    assert intake(ines, dog)["eaten_g"] == 350
