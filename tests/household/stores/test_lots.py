"""Stock through the API: faults 17 and 18, and lots as scripts read them."""

import random
from typing import Any

import pytest

from household.stores.queries import foods_by_key
from tests.household.conftest import LOT, Op, Phone

pytestmark = pytest.mark.django_db
AT = "2026-11-25T08:00:00Z"


@pytest.fixture
def lot(ines: Phone) -> Op:
    return ines.make("lot", LOT)


def lots(phone: Phone) -> Any:
    return phone.client.get(f"/api/households/{phone.member.household_id}/lots").json()


def stock_g(phone: Phone) -> int:
    (found,) = lots(phone)
    grams: int = found["stock_g"]
    return grams


def move(phone: Phone, lot: Op, what: str, mass_g: int) -> Op:
    values = {"of": lot["rid"], "what": what, "mass_g": mass_g, "at": AT}
    return phone.op("movement", values)


def counting(phone: Phone, lot: Op, counted_g: int, *knew: Op, at: str = AT) -> Op:
    known = [entry["rid"] for entry in knew]
    values = {"of": lot["rid"], "counted_g": counted_g, "knew": known, "at": at}
    return phone.op("count", values)


def test_fault_17_movements_shuffled_and_repeated_give_the_exact_sum(ines: Phone, lot: Op) -> None:
    moves = [move(ines, lot, "stored", 500) for _ in range(20)]
    moves += [move(ines, lot, "used", 30) for _ in range(10)]
    moves += [move(ines, lot, "thawed", 500), move(ines, lot, "discarded", 7)]
    shuffled = [*moves, *moves[:15]]
    random.Random(17).shuffle(shuffled)
    for start in range(0, len(shuffled), 9):
        ines.results(*shuffled[start : start + 9])
    assert stock_g(ines) == 20 * 500 - 10 * 30 - 7
    assert ines.row(lot["rid"])["flags"] == []


def test_an_undone_movement_counts_no_more_and_two_undos_are_one(
    ines: Phone, callum: Phone, lot: Op
) -> None:
    stored, wrong = move(ines, lot, "stored", 500), move(ines, lot, "used", 100)
    ines.results(stored, wrong)
    seen = {register: [wrong["op_id"]] for register in wrong["set"]}
    for phone in (ines, callum):
        phone.make("movement", {"deleted": True}, rid=wrong["rid"], new=False, seen=seen)
    assert stock_g(ines) == 500


def test_fault_18_a_count_concurrent_with_a_movement_counts_both(
    ines: Phone, callum: Phone, lot: Op
) -> None:
    stored = move(ines, lot, "stored", 1000)
    ines.results(stored)
    for ops in ([counting(ines, lot, 700, stored)], [move(callum, lot, "used", 100)]):
        (ines if ops[0]["device_id"] == ines.device_id else callum).results(*ops)
    assert stock_g(ines) == 600
    assert ines.row(lot["rid"])["flags"] == []


@pytest.mark.parametrize("ines_first", [True, False])
def test_fault_18_of_two_concurrent_counts_one_holds_and_both_are_flagged(
    ines: Phone, callum: Phone, lot: Op, ines_first: bool
) -> None:
    stored = move(ines, lot, "stored", 10)
    ines.results(stored)
    first = counting(ines, lot, 7, stored)
    second = counting(callum, lot, 6, stored, at="2026-11-25T08:05:00Z")
    order = [(ines, first), (callum, second)]
    for phone, op in order if ines_first else reversed(order):
        phone.results(op)
    assert stock_g(ines) == 6
    assert ines.row(lot["rid"])["flags"] == ["rival_counts"]
    ines.results(counting(ines, lot, 6, stored, first, second))
    assert ines.row(lot["rid"])["flags"] == []


def test_a_flag_reaches_every_phone_with_the_row_of_the_lot(
    ines: Phone, callum: Phone, lot: Op
) -> None:
    callum.pull()
    used = move(ines, lot, "used", 300)
    ines.results(used)
    rows = callum.pull()
    assert rows[lot["rid"]]["flags"] == ["negative_stock"]
    assert rows[lot["rid"]]["seq"] == rows[used["rid"]]["seq"]
    ines.results(move(ines, lot, "stored", 1000))
    assert callum.pull()[lot["rid"]]["flags"] == []


def test_a_flag_and_an_edit_of_the_lot_in_one_push(ines: Phone, lot: Op) -> None:
    note = ines.op("lot", {"note": "lower shelf"}, rid=lot["rid"], new=False)
    ines.results(note, move(ines, lot, "used", 300))
    row = ines.row(lot["rid"])
    assert (row["flags"], row["values"]["note"]) == (["negative_stock"], "lower shelf")
    again = ines.op("lot", {"seller": "the farm"}, rid=lot["rid"], new=False)
    ines.results(again)
    assert ines.row(lot["rid"])["flags"] == ["negative_stock"]


def test_lots_come_oldest_first(ines: Phone) -> None:
    for day in ("2026-11-20", "2026-09-01", "2026-10-10"):
        ines.make("lot", {**LOT, "frozen_on": day, "price": {"minor": 450, "currency": "GBP"}})
    found = lots(ines)
    assert [each["frozen_on"] for each in found] == ["2026-09-01", "2026-10-10", "2026-11-20"]
    assert (found[0]["price_minor"], found[0]["stock_g"]) == (450, 0)


def test_an_own_food_is_known_by_its_label_and_what_it_does_not_print_is_unknown(
    ines: Phone,
) -> None:
    label = {"protein_pct": 25, "fat_pct": 14, "moisture_pct": 8}
    op = ines.make(
        "food", {"name": "Biscuit", "style": "dry", "label": label, "energy_kcal_per_100g": 360}
    )
    bare = ines.make("food", {"name": "Mystery"})
    foods = foods_by_key(ines.member.household_id)
    food = foods[op["rid"]]
    assert (food.energy_kcal_per_100g, food.values["protein"]) == (360, 25)
    assert food.values.get("calcium") is None
    assert bare["rid"] not in foods


def test_a_lot_says_what_shape_its_packs_have_and_where_they_came_from(ines: Phone) -> None:
    said = {
        "form": "flat_bag",
        "thickness_mm": 42.5,
        "own": True,
        "place_name": "Garage freezer",
        "shelf": "second drawer",
    }
    whole = ines.make("lot", LOT)
    ines.make("lot", {**LOT, **said, "divided_from": whole["rid"]})
    bought_as = {"packs": 4, "pack_mass_g": 2300}
    ines.make("lot", {**LOT, "pack_mass_g": 200, "bought_as": bought_as})
    plain, small, divided = sorted(lots(ines), key=lambda each: str(each["rid"]))
    assert {name: small[name] for name in said} == said
    assert small["divided_from"] == whole["rid"]
    assert (divided["bought_as_packs"], divided["bought_as_pack_mass_g"]) == (4, 2300)
    assert (plain["form"], plain["thickness_mm"], plain["own"]) == ("", None, None)


@pytest.mark.parametrize(
    "said",
    [
        {"form": "heap"},
        {"thickness_mm": 0.5},
        {"thickness_mm": 501},
        {"own": "yes"},
        {"bought_as": {"packs": 4}},
        {"bought_as": {"packs": 0, "pack_mass_g": 2300}},
    ],
)
def test_a_shape_that_no_pack_has_is_refused(ines: Phone, said: dict[str, Any]) -> None:
    (result,) = ines.results(ines.op("lot", {**LOT, **said}))
    assert (result["status"], result["code"]) == ("rejected", "invalid")


def test_what_is_divided_moves_from_one_lot_to_the_other(ines: Phone) -> None:
    whole, small = ines.make("lot", LOT), ines.make("lot", {**LOT, "pack_mass_g": 200})
    ines.results(move(ines, whole, "stored", 9200))
    out = move(ines, whole, "used", 4600)
    out["set"]["into"] = small["rid"]
    ines.results(out, move(ines, small, "stored", 4600))
    assert {each["rid"]: each["stock_g"] for each in lots(ines)} == {
        whole["rid"]: 4600,
        small["rid"]: 4600,
    }
