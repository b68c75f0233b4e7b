"""Stock from movements and counts: exact, whatever the order, and honest about disagreement."""

from datetime import UTC, datetime, timedelta
from typing import Any
from uuid import UUID

from hypothesis import given
from hypothesis import strategies as st

from household.stores.ledger import LedgerCount, LedgerMovement, stock_of

NOON = datetime(2026, 11, 25, 12, tzinfo=UTC)


def movement(number: int, what: str, mass_g: int) -> LedgerMovement:
    return LedgerMovement(UUID(int=number), what, mass_g)


def count(number: int, counted_g: int, *knew: int, minute: int = 0) -> LedgerCount:
    known = frozenset(UUID(int=each) for each in knew)
    return LedgerCount(UUID(int=number), counted_g, known, NOON + timedelta(minutes=minute))


def test_nothing_entered_is_a_stock_of_nothing() -> None:
    stock = stock_of([], [])
    assert (stock.mass_g, stock.count, stock.flags) == (0, None, set())


def test_movements_add_up_and_thawing_only_changes_the_place() -> None:
    entries = [
        movement(1, "stored", 2000),
        movement(2, "thawed", 500),
        movement(3, "used", 300),
        movement(4, "discarded", 50),
    ]
    assert stock_of(entries, []).mass_g == 1650


def test_a_count_holds_over_what_it_knew_and_later_entries_come_on_top() -> None:
    entries = [movement(1, "stored", 2000), movement(2, "used", 300)]
    assert stock_of(entries, [count(9, 1500, 1, 2)]).mass_g == 1500
    assert stock_of([*entries, movement(3, "used", 100)], [count(9, 1500, 1, 2)]).mass_g == 1400


def test_a_count_that_knew_the_earlier_one_replaces_it() -> None:
    stock = stock_of([movement(1, "stored", 2000)], [count(8, 1500, 1), count(9, 1400, 1, 8)])
    assert (stock.mass_g, stock.count, stock.flags) == (1400, UUID(int=9), set())


def test_two_people_counting_at_once_do_not_correct_twice() -> None:
    """Ten in store, both count seven: seven, and a flag, never four."""
    entries = [movement(1, "stored", 10)]
    rivals = [count(8, 7, 1, minute=1), count(9, 7, 1, minute=2)]
    stock = stock_of(entries, rivals)
    assert (stock.mass_g, stock.count, stock.flags) == (7, UUID(int=9), {"rival_counts"})


def test_rival_counts_at_the_same_time_are_decided_by_id() -> None:
    stock = stock_of([], [count(9, 5), count(8, 4)])
    assert stock.mass_g == 5


def test_counts_forged_to_have_known_each_other_still_give_a_stock() -> None:
    stock = stock_of([], [count(8, 4, 9), count(9, 5, 8)])
    assert (stock.mass_g, stock.flags) == (5, {"rival_counts"})


def test_using_what_nobody_stored_is_shown_not_refused() -> None:
    stock = stock_of([movement(1, "used", 300)], [])
    assert (stock.mass_g, stock.flags) == (-300, {"negative_stock"})


def test_bags_start_full_unless_an_entry_says_what_was_stored() -> None:
    used = movement(1, "used", 400)
    assert stock_of([used], [], packed_g=1200).mass_g == 800
    assert stock_of([used, movement(2, "stored", 1000)], [], packed_g=1200).mass_g == 600
    assert stock_of([used], [count(9, 700, 1)], packed_g=1200).mass_g == 700


WORDS = st.sampled_from(["stored", "used", "discarded", "thawed", "refrozen"])
MOVEMENTS = st.lists(st.tuples(WORDS, st.integers(1, 1_000_000)), max_size=12)


@given(MOVEMENTS, st.lists(st.tuples(st.integers(0, 9999), st.sets(st.integers(0, 14)))), st.data())
def test_the_order_of_entries_means_nothing(
    moves: list[tuple[str, int]], counted: list[tuple[int, set[int]]], data: Any
) -> None:
    entries = [movement(number, what, mass_g) for number, (what, mass_g) in enumerate(moves)]
    counts = [
        count(100 + number, counted_g, *knew, minute=number % 2)
        for number, (counted_g, knew) in enumerate(counted)
    ]
    stock = stock_of(entries, counts)
    shuffled = stock_of(data.draw(st.permutations(entries)), data.draw(st.permutations(counts)))
    assert shuffled == stock


@given(MOVEMENTS)
def test_every_gram_is_counted_once(moves: list[tuple[str, int]]) -> None:
    entries = [movement(number, what, mass_g) for number, (what, mass_g) in enumerate(moves)]
    came = sum(mass_g for what, mass_g in moves if what == "stored")
    went = sum(mass_g for what, mass_g in moves if what in ("used", "discarded"))
    assert stock_of(entries, []).mass_g == came - went
