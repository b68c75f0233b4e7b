"""What a device may not enter, and what it is told: what was given and what is allowed."""

import json
import math
from typing import Any

import pytest
from django.http import HttpResponse

from household.sync.instants import LATEST_MILLIS
from household.sync.models import Op, Record
from tests.household.conftest import LOT, Phone, dog_values, new_id

pytestmark = pytest.mark.django_db

AT = "2026-11-25T08:00:00Z"
SOME_ID = "018f0000-0000-7000-8000-000000000001"
LABEL = {"protein_pct": 25, "fat_pct": 14}
BAD_VALUES: list[tuple[str, str, dict[str, Any], str, str]] = [
    ("dog", "a 300 kg dog", dog_values(adult_weight_g=300_000), "adult_weight_g",
     "Adult weight 300000 g is outside the allowed 300 to 150000 g. "
     "Check the number and its unit."),
    ("dog", "a birth date in the future", dog_values(born={"date": "2027-03-01"}), "born.date",
     "Date of birth “2027-03-01” lies in the future; it was entered on 2026-11-25. "
     "Allowed is 2026-11-25 or earlier. Check the year and the clock of the device."),
    ("dog", "no such day", dog_values(born={"date": "2026-02-30"}), "born.date",
     "Date of birth must be a date like 2026-11-25, from 1900 on; “2026-02-30” was given."),
    ("dog", "a birth date missing from its group", dog_values(born={"estimated": True}),
     "born.date",
     "Born lacks date of birth; it is needed."),
    ("dog", "a blank name", dog_values(name="  "), "name", "Name may not be blank."),
    ("dog", "no name", {"breed": "whippet"}, "name", "Name is missing; a new dog needs it."),
    ("dog", "an empty name", {"name": None}, "name", "Name may not be empty."),
    ("dog", "a note of 2 MB", dog_values(vet_notes="x" * 2_000_000), "vet_notes",
     "Vet notes has 2000000 characters; at most 4000 are allowed. Shorten it."),
    ("dog", "an unknown register", dog_values(tail="long"), "tail",
     "A dog has no register “tail”."),
    ("dog", "a word for a truth", dog_values(neutered="yes"), "neutered",
     "Neutered must be true or false; “yes” was given."),
    ("dog", "an unknown word", dog_values(activity="mad"), "activity",
     "Activity “mad” is not known. Allowed: low, moderate, high, working."),
    ("dog", "a number as text", dog_values(adult_weight_g="9 kg"), "adult_weight_g",
     "Adult weight must be a number; “9 kg” was given."),
    ("dog", "a character no database keeps", dog_values(breed="a\x00b"), "breed",
     "Breed holds a character that cannot be stored; remove it."),
    ("dog", "half a surrogate pair", dog_values(breed="a\ud800"), "breed",
     "Breed holds a character that cannot be stored; remove it."),
    ("dog", "pups of a male",
     dog_values(sex="male", neutered=False, reproduction={"mated_on": "2026-10-01"}),
     "reproduction",
     "Mating and pups cannot be noted: only a female that is not spayed has pups. "
     "Sex is “male”; it must be “female”. Correct one of the two."),
    ("dog", "pups of a spayed bitch",
     dog_values(sex="female", neutered=True, reproduction={"mated_on": "2026-10-01"}),
     "reproduction",
     "Mating and pups cannot be noted: only a female that is not spayed has pups. "
     "Neutered is true; it must be false. Correct one of the two."),
    ("dog", "pups of nobody knows whom", {"name": "Fern", "reproduction": {"pups": 3}},
     "reproduction",
     "Mating and pups cannot be noted: only a female that is not spayed has pups. "
     "Sex is null; it must be “female”. Correct one of the two."),
    ("dog", "weaned before whelping",
     dog_values(sex="female", neutered=False,
                reproduction={"whelped_on": "2026-10-20", "weaned_on": "2026-10-01"}),
     "reproduction",
     "Weaned on 2026-10-01 lies before whelped on 2026-10-20. Correct one of the two days."),
    ("dog", "a litter of forty",
     dog_values(sex="female", neutered=False, reproduction={"pups": 40}), "reproduction.pups",
     "Pups 40 is outside the allowed 0 to 20."),
    ("dog", "a plan without its goal", dog_values(weight_plan={"agreed_with_vet": True}),
     "weight_plan.goal", "Weight plan lacks goal; it is needed."),
    ("preference", "a yardstick nobody printed", {"standard": "nrc-1985"}, "standard",
     "Yardstick “nrc-1985” is not known. Allowed: nrc-2006, aafco-2016, fediaf-2021."),
    ("preference", "a fridge that is an oven", {"fridge_c": 40}, "fridge_c",
     "Fridge temperature 40 °C is outside the allowed 1 to 20 °C."),
    ("dog", "deleted to nothing", dog_values(deleted=None), "deleted", "Deleted may not be empty."),
    ("lot", "negative grams", {**LOT, "pack_mass_g": -500}, "pack_mass_g",
     "Mass of a pack -500 g is outside the allowed 1 to 50000 g. Check the number and its unit."),
    ("dog", "a little too heavy", dog_values(adult_weight_g=150_000.4), "adult_weight_g",
     "Adult weight 150000.4 g is outside the allowed 300 to 150000 g."),
    ("lot", "half a gram", {**LOT, "pack_mass_g": 500.5}, "pack_mass_g",
     "Mass of a pack must be a whole number of g; 500.5 was given."),
    ("lot", "an endless number", {**LOT, "pack_mass_g": 10**30}, "pack_mass_g",
     "Mass of a pack"),
    ("lot", "a price without its coin", {**LOT, "price": {"minor": 450}}, "price.currency",
     "Price lacks currency; it is needed."),
    ("lot", "a price with an unknown part", {**LOT, "price": {"pounds": 4}}, "price",
     "Price has no part “pounds”. Its parts: minor, currency."),
    ("food", "half a label", {"name": "Biscuit", "label": {"fat_pct": 14}}, "label.protein_pct",
     "Label lacks protein; it is needed."),
    ("food", "a label above the whole", {"name": "Biscuit", "label": {**LABEL, "ash_pct": 101}},
     "label.ash_pct", "Ash 101 % is outside the allowed 0 to 100 %."),
    ("food", "a nutrient below nothing", {"name": "B", "nutrients_per_100g": {"calcium": -1}},
     "nutrients_per_100g.calcium", "Amount -1 is outside the allowed 0 to 1000000."),
    ("batch", "a plan line without its food",
     {"method": "ground", "stage": "planned", "plan": [{"mass_g": 100}]}, "plan.0.food",
     "Line lacks food; it is needed."),
    ("batch", "a dog that is no id", {"method": "ground", "stage": "planned", "dogs": ["Tansy"]},
     "dogs.0", "Dog must be the id of a dog (a lower-case UUID); “Tansy” was given."),
    ("batch", "a hundred and one dogs",
     {"method": "ground", "stage": "planned", "dogs": [SOME_ID] * 101},
     "dogs", "Dogs has 101 entries; at most 100 are allowed."),
    ("mealtime", "the 25th hour", {"name": "Tea", "time": "25:00"}, "time",
     "Time must be a time from 00:00 to 23:59; “25:00” was given."),
    ("mealtime", "an hour in other digits", {"name": "Tea", "time": "1٢:00"}, "time",
     "Time must be a time from 00:00 to 23:59; “1٢:00” was given."),
    ("meal", "a time without its zone", {"day": "2026-11-25", "at": "2026-11-25T08:00:00"}, "at",
     "Fed at must be a time in UTC like 2026-11-25T18:30:00Z; “2026-11-25T08:00:00” was given."),
]  # fmt: skip


@pytest.mark.parametrize(
    ("entity", "register", "message", "values"),
    [pytest.param(e, r, m, v, id=name) for e, name, v, r, m in BAD_VALUES],
)
def test_a_bad_value_is_refused_with_its_reason(
    ines: Phone, entity: str, register: str, message: str, values: dict[str, Any]
) -> None:
    (result,) = ines.results(ines.op(entity, values))
    assert (result["status"], result["code"]) == ("rejected", "invalid")
    assert result["fields"][register][0].startswith(message)
    assert result["message"].startswith(result["fields"][next(iter(result["fields"]))][0])
    assert Record.objects.count() == 0


OF_DOG: list[tuple[str, str, dict[str, Any], str]] = [
    ("weighing", "mass_g", {"at": AT, "mass_g": 50}, "Weight 50 g is outside the allowed 100 to"),
    ("weighing", "at", {"at": "2027-11-25T08:00:00Z", "mass_g": 9000}, "Weighed at"),
    ("condition", "bcs", {"at": AT, "bcs": 10},
     "Body condition score 10 is outside the allowed 1 to 9"),
    ("condition", "bcs", {"at": AT, "bcs": True},
     "Body condition score must be a number; true was given."),
    ("observation", "word", {"at": AT, "topic": "stool", "word": "keen"},
     "word “keen” does not go with topic “stool”. Allowed: dry_pellets, firm,"),
    ("observation", "flags", {"at": AT, "topic": "appetite", "flags": ["mucus"]},
     "flags “mucus” does not go with topic “appetite”. Allowed: none."),
]  # fmt: skip


@pytest.mark.parametrize(("entity", "register", "values", "message"), OF_DOG)
def test_a_bad_note_about_a_dog_is_refused(
    ines: Phone, entity: str, register: str, values: dict[str, Any], message: str
) -> None:
    dog = ines.make("dog", dog_values())
    (result,) = ines.results(ines.op(entity, {"dog": dog["rid"], **values}))
    assert result["fields"][register][0].startswith(message)


SERVINGS: list[tuple[str, dict[str, Any], str]] = [
    ("what", {"what": {"food": "usda-1", "batch": SOME_ID}},
     "What was served needs exactly one of"),
    ("what", {"what": {"food": None}}, "What was served needs exactly one of: food, batch, bag."),
    ("left.g", {"left": {"g": 400}}, "left.g 400 is more than offered_g 300; allowed: 0 to 300."),
    ("left.share", {"left": {"share": 1.5}}, "Share left 1.5 is outside the allowed 0 to 1."),
    ("offered_g", {"offered_g": -1}, "Offered -1 g is outside the allowed 0 to 20000 g."),
]  # fmt: skip


@pytest.mark.parametrize(("register", "values", "message"), SERVINGS)
def test_a_bad_serving_is_refused(
    ines: Phone, register: str, values: dict[str, Any], message: str
) -> None:
    dog = ines.make("dog", dog_values())
    meal = ines.make("meal", {"day": "2026-11-25", "at": AT})
    good = {"meal": meal["rid"], "dog": dog["rid"], "what": {"food": "usda-1"}, "offered_g": 300}
    (result,) = ines.results(ines.op("serving", {**good, **values}))
    assert result["fields"][register][0].startswith(message)


def test_the_same_limits_inclusive_are_accepted(ines: Phone) -> None:
    heavy, light = dog_values(adult_weight_g=150_000), dog_values(adult_weight_g=300)
    born = dog_values(born={"date": "2026-11-26"})  # Tomorrow, by a clock just before midnight.
    long = dog_values(vet_notes="é" * 4000, name="n" * 60)
    ops = [ines.op("dog", values) for values in (heavy, light, born, long)]
    assert {each["status"] for each in ines.results(*ops)} == {"applied"}


def test_a_clock_at_the_last_moment_there_is_refuses_nothing(ines: Phone) -> None:
    born = dog_values(born={"date": "2026-11-24"})
    dog = ines.make("dog", born, occurred_at=LATEST_MILLIS)
    ines.make("weighing", {"dog": dog["rid"], "at": AT, "mass_g": 9000}, occurred_at=LATEST_MILLIS)


def test_an_immutable_register_is_refused_in_an_edit(ines: Phone) -> None:
    lot = ines.make("lot", LOT)
    movement = ines.make("movement", {"of": lot["rid"], "what": "stored", "mass_g": 1000, "at": AT})
    (result,) = ines.results(ines.op("movement", {"mass_g": 900}, rid=movement["rid"], new=False))
    assert result["fields"]["mass_g"][0] == (
        "Mass can only be given when the movement is made. Delete the entry and make another one."
    )


def test_an_unknown_kind_is_refused(ines: Phone) -> None:
    (result,) = ines.results(ines.op("cat", {"name": "Tom"}))
    assert result["fields"]["entity"][0].startswith(
        "There is no kind “cat”. Known are: bag, batch,"
    )


MALFORMED: list[tuple[str, Any]] = [
    ("op_id", "not-an-id"),
    ("op_id", "018F0000-0000-7000-8000-00000000ABCD"),
    ("op_id", None),
    ("rid", 7),
    ("author", "server"),
    ("device_id", "server"),
    ("household", SOME_ID),
    ("n", 0),
    ("n", 1.5),
    ("n", 10**40),
    ("schema", "1"),
    ("occurred_at", -1),
    ("occurred_at", True),
    ("offset_ms", "fast"),
    ("app", ""),
    ("tz", "x" * 65),
    ("entity", None),
    ("new", "yes"),
    ("set", {}),
    ("set", ["name"]),
    ("seen", []),
    ("seen", {"name": "x"}),
    ("seen", {"name": ["x"]}),
    ("seen", {"name": [SOME_ID] * 5001}),
]


@pytest.mark.parametrize(("name", "value"), MALFORMED)
def test_a_malformed_envelope_is_refused_and_kept(ines: Phone, name: str, value: Any) -> None:
    op = {**ines.op("dog", dog_values()), name: value}
    (result,) = ines.results(op)
    assert (result["status"], result["code"], list(result["fields"])) == (
        "rejected",
        "invalid",
        [name],
    )
    assert result["op_id"] == op["op_id"]
    assert Op.objects.get().applied is False
    assert ines.results(op) == [result]  # Sent again, it has the same answer and no second entry.
    assert Op.objects.count() == 1


@pytest.mark.parametrize("op", [None, 7, "op", [], {}, {"op_id": {}}])
def test_what_is_no_operation_is_refused(ines: Phone, op: Any) -> None:
    good = ines.op("dog", dog_values())
    bad, applied = ines.results(op, good)
    assert (bad["status"], bad["code"], applied["status"]) == ("rejected", "invalid", "applied")


NASTY: list[tuple[str, dict[str, Any]]] = [
    ("a word with NUL", {"set": dog_values(activity="mad\x00")}),
    ("a word with half a surrogate pair", {"set": dog_values(activity="mad\ud800")}),
    ("a register with NUL", {"set": dog_values(**{"ta\x00il": "long"})}),
    ("a register of 100 kB", {"set": dog_values(**{"t" * 100_000: "long"})}),
    ("an entity with half a surrogate pair", {"entity": "do\udc00g"}),
    ("an op_id with half a surrogate pair", {"op_id": "\ud800"}),
    ("a seen register with NUL", {"seen": {"na\x00me": "x"}}),
    ("an author with NUL", {"author": "\x00"}),
    ("a value nested 700 times", {"set": {"name": json.loads("[" * 700 + "]" * 700)}}),
    ("a value nested 300 times", {"set": {"name": json.loads("[" * 300 + "]" * 300)}}),
    ("a whole number beyond all bounds", {"set": dog_values(adult_weight_g=10**300)}),
    ("a number longer than any float", {"set": dog_values(adult_weight_g=10**400)}),
    ("an offset longer than any float", {"offset_ms": 10**400}),
    ("a count longer than any float", {"n": 10**400}),
    ("an offset beyond all bounds", {"offset_ms": 1e300}),
]


@pytest.mark.parametrize("changes", [n[1] for n in NASTY], ids=[n[0] for n in NASTY])
def test_what_could_break_the_database_or_the_reply_is_refused(
    ines: Phone, changes: dict[str, Any]
) -> None:
    op = {**ines.op("dog", dog_values()), **changes}
    bad, good = ines.results(op, ines.op("dog", dog_values()))
    assert (bad["code"], good["status"]) == ("invalid", "applied")
    assert ines.results(op) == [bad]


def test_an_offset_may_have_a_fraction(ines: Phone) -> None:
    assert ines.results(ines.op("dog", dog_values(), offset_ms=-12.5))[0]["status"] == "applied"


def test_a_refused_note_of_2_mb_is_not_kept_whole(ines: Phone) -> None:
    op = ines.op("dog", dog_values(vet_notes="x" * 2_000_000))
    (result,) = ines.results(op)
    assert Op.objects.get().body == ""
    assert ines.results(op) == [result]  # Its hash is kept.


BODIES: list[tuple[str, Any, int, str]] = [
    ("nothing at all", {"ops": [], "ask": []}, 400, "invalid"),
    ("a list", [], 400, "invalid"),
    ("ops that are no list", {"ops": {"a": 1}}, 400, "invalid"),
    ("501 operations", {"ops": [{}] * 501}, 413, "too_large"),
    ("a mark that is none", {"ops": [{}], "mark": {"seq": "1"}}, 400, "invalid"),
    ("a question without a hash", {"ask": [{"op_id": new_id()}]}, 400, "invalid"),
    ("more than 4 MB", {"ops": [{"a": "x" * 4_000_000}]}, 413, "too_large"),
]


@pytest.mark.parametrize(
    ("body", "status", "code"), [b[1:] for b in BODIES], ids=[b[0] for b in BODIES]
)
def test_a_request_that_cannot_be_read_is_refused_whole(
    ines: Phone, body: Any, status: int, code: str
) -> None:
    if isinstance(body, dict):
        body = {"device_id": ines.device_id, **body}
    response = ines.send(body)
    assert (response.status_code, response.json()["code"]) == (status, code)
    assert response.json()["message"]


def raw(phone: Phone, text: str) -> HttpResponse:
    response: HttpResponse = phone.client.post(
        f"{phone.base}/push",
        text,
        content_type="application/json",
        headers={"Sync-Protocol": "1", "Sync-Schema": "1"},
    )
    return response


@pytest.mark.parametrize("text", ["{", "[" * 100_000, '{"ops": [NaN]}', '{"ops": [1' + "0" * 5000])
def test_what_is_no_json_is_refused(ines: Phone, text: str) -> None:
    response = raw(ines, text)
    assert response.status_code == 400


def test_a_number_beyond_all_bounds_is_refused(ines: Phone) -> None:
    op = ines.op("dog", dog_values(adult_weight_g=math.inf))
    body = {"device_id": ines.device_id, "ops": [op]}
    response = raw(ines, json.dumps(body).replace("Infinity", "1e999"))
    assert response.json()["results"][0]["code"] == "invalid"  # type: ignore[attr-defined]


HEADERS: list[tuple[dict[str, str], int, str]] = [
    ({"Sync-Protocol": "2"}, 400, "protocol_unknown"),
    ({"Sync-Schema": "one"}, 400, "invalid"),
    ({"Sync-Schema": "99"}, 426, "schema_too_new"),
]


@pytest.mark.parametrize(("headers", "status", "code"), HEADERS)
def test_headers_that_do_not_fit_are_refused(
    ines: Phone, headers: dict[str, str], status: int, code: str
) -> None:
    response = ines.send({"device_id": ines.device_id, "ops": [{}]}, **headers)
    assert (response.status_code, response.json()["code"]) == (status, code)


@pytest.mark.parametrize(
    "query", [{"limit": 0}, {"limit": 2001}, {"cursor": -1}, {"cursor": "x"}, {"mark": "1.zz"}]
)
def test_changes_say_what_is_wrong_with_a_query(ines: Phone, query: dict[str, Any]) -> None:
    assert ines.page(expect=400, **query)["code"] == "invalid"
