"""Pulls: what is to be moved from the freezer, and the ledger of what was."""

from typing import Any
from uuid import UUID

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from household.prep.models import Pull
from household.stores.models import Movement
from household.stores.queries import stocks
from household.sync.envelope import slot_id
from tests.household.conftest import LOT, Op, Phone

pytestmark = pytest.mark.django_db
PACKS = 4
PACK_G = 640
STORED_G = 6 * PACK_G


def pull_values(of: Op, **more: Any) -> dict[str, Any]:
    return {
        "of": of["rid"],
        "pack_mass_g": PACK_G,
        "packs": PACKS,
        "needed_at": "2026-11-27T17:00:00Z",
        **more,
    }


@pytest.fixture
def lot(ines: Phone) -> Op:
    made = ines.make("lot", {**LOT, "pack_mass_g": PACK_G, "place": "freezer"})
    moved = {"of": made["rid"], "what": "stored", "mass_g": STORED_G, "at": "2026-11-01T08:00:00Z"}
    ines.make("movement", moved)
    return made


def moved(phone: Phone, pull: Op, pack: int, *, minute: int = 0, way: str = "fridge") -> Op:
    """A phone moves one pack: the entry has the id that every phone gives it."""
    values = {
        "of": pull["set"]["of"],
        "what": "thawed",
        "mass_g": pull["set"]["pack_mass_g"],
        "at": f"2026-11-25T08:{minute:02d}:00Z",
        "pull": pull["rid"],
        "way": way,
    }
    rid = str(slot_id("thawed", pull["rid"], str(pack)))
    return phone.op("movement", values, rid=rid, new=True)


def thawed_g(household_id: UUID, lot: Op) -> int:
    found = Movement.living(household_id).filter(of=lot["rid"], what="thawed")
    return sum(found.values_list("mass_g", flat=True))


def test_a_pull_is_kept_with_its_packs_and_its_need(ines: Phone, lot: Op) -> None:
    batch = ines.make("batch", {"method": "ground", "stage": "planned"})
    member = str(ines.member.pk)
    pull = ines.make("pull", pull_values(lot, batch=batch["rid"], assignee=member))
    kept = Pull.living(ines.member.household_id).get()
    assert (str(kept.of), kept.packs, kept.pack_mass_g) == (lot["rid"], PACKS, PACK_G)
    assert (str(kept.batch), str(kept.assignee)) == (batch["rid"], member)
    assert ines.row(pull["rid"])["values"]["needed_at"] == "2026-11-27T17:00:00Z"


def test_a_sitter_neither_plans_pulls_nor_sees_them(ines: Phone, sitter: Phone, lot: Op) -> None:
    pull = ines.make("pull", pull_values(lot))
    assert pull["rid"] not in sitter.pull()
    refused = sitter.results(sitter.op("pull", pull_values(lot)), moved(sitter, pull, 1))
    assert [each["code"] for each in refused] == ["forbidden", "forbidden"]
    assert thawed_g(ines.member.household_id, lot) == 0


def test_a_pack_moved_on_two_phones_counts_once_and_both_accounts_are_shown(
    ines: Phone, callum: Phone, lot: Op
) -> None:
    pull = ines.make("pull", pull_values(lot))
    first, second = moved(ines, pull, 1, minute=2), moved(callum, pull, 1, minute=9)
    ines.results(first)
    callum.results(second)
    assert thawed_g(ines.member.household_id, lot) == PACK_G
    row = ines.row(first["rid"])
    assert {each["value"] for each in row["also"]["at"]} == {
        "2026-11-25T08:02:00Z",
        "2026-11-25T08:09:00Z",
    }
    assert set(row["also"]) == {"at"}


@pytest.mark.parametrize(
    ("wrong", "message"),
    [
        ({"way": "counter"}, "Way of thawing “counter” is not known. Allowed: fridge, cold_water."),
        ({"what": "used"}, "only what is taken out to thaw thaws"),
    ],
)
def test_no_entry_is_made_of_thawing_on_the_counter(
    ines: Phone, lot: Op, wrong: dict[str, Any], message: str
) -> None:
    pull = ines.make("pull", pull_values(lot))
    op = moved(ines, pull, 1)
    op["set"].update(wrong)
    (result,) = ines.results(op)
    assert result["code"] == "invalid"
    assert message in str(result)


# For each phone and pack: was it ticked there, and was that taken back?
TICKS = st.fixed_dictionaries(
    {
        (who, pack): st.sampled_from(["nothing", "moved", "undone"])
        for who in ("ines", "callum")
        for pack in range(1, PACKS + 1)
    }
)


@settings(
    max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(ticks=TICKS, order=st.randoms(use_true_random=False), repeats=st.integers(0, 4))
def test_whatever_two_phones_tick_offline_the_ledger_is_exact_to_the_gram(
    ines: Phone, callum: Phone, lot: Op, ticks: dict[tuple[str, int], str], order: Any, repeats: int
) -> None:
    """A pack was moved when a phone left it ticked: the other's undo cannot have seen that."""
    pull = ines.make("pull", pull_values(lot))
    phones = {"ines": ines, "callum": callum}
    ops: list[Op] = []
    for minute, ((who, pack), done) in enumerate(ticks.items()):
        if done != "nothing":
            ops.append(moved(phones[who], pull, pack, minute=minute))
        if done == "undone":
            ops.append(undone(phones[who], ops[-1]))
    waiting = [*ops, *ops[:repeats]]
    order.shuffle(waiting)
    sent_by = {phone.device_id: phone for phone in phones.values()}
    while waiting:
        waiting = [
            op for op in waiting if sent_by[op["device_id"]].results(op)[0]["status"] == "wait"
        ]
    household_id, in_fridge = ines.member.household_id, in_fridge_of(ticks)
    found = Movement.living(household_id).filter(pull=pull["rid"])
    assert sorted(found.values_list("mass_g", flat=True)) == [PACK_G] * len(in_fridge)
    assert stocks(household_id, [UUID(lot["rid"])])[UUID(lot["rid"])].mass_g == STORED_G


def undone(phone: Phone, tick: Op) -> Op:
    seen = {register: [tick["op_id"]] for register in tick["set"]}
    return phone.op("movement", {"deleted": True}, rid=tick["rid"], new=False, seen=seen)


def in_fridge_of(ticks: dict[tuple[str, int], str]) -> set[int]:
    return {pack for (_, pack), done in ticks.items() if done == "moved"}
