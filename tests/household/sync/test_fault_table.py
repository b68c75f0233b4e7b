"""The table of faults in DEVELOPERS.md names every test that there is, and none that is gone."""

import re

import pytest

from tests import fault_table
from tests.fault_table import FAULTS, Fault, Found


def test_every_fault_has_a_test_of_each_kind_that_it_needs() -> None:
    assert fault_table.missing(fault_table.found()) == []


def test_the_numbers_are_all_there_and_no_test_has_another() -> None:
    numbers = [fault.number for fault in FAULTS]
    assert numbers == [*range(1, 40)]
    assert [each for each in fault_table.found() if not each.numbers <= set(numbers)] == []


@pytest.mark.parametrize("fault", FAULTS, ids=lambda fault: fault.tag)
def test_the_table_is_fresh(fault: Fault) -> None:
    line = re.search(rf"^\| {fault.number} \|.*$", fault_table.written(), re.MULTILINE)
    assert line is not None, f"DEVELOPERS.md has no line for {fault.tag}"
    assert line[0] == fault_table.row(fault, fault_table.found()), (
        "The table of faults in DEVELOPERS.md is stale: run .venv/bin/python -m tests.fault_table"
    )


def test_a_fault_without_its_test_is_named() -> None:
    tests = [each for each in fault_table.found() if each.kind != "D"]
    assert fault_table.missing(tests)[:1] == [
        "fault_05 (server killed in the middle of a batch) needs a test of the kind D"
    ]


def test_a_name_may_carry_two_faults() -> None:
    assert Found("P", "test_x.py", "test_fault_21_and_fault_36_no_receipt").numbers == {21, 36}


def test_a_campaign_counts_for_what_simulated_phones_can_meet() -> None:
    campaign = Found("H", "test_x.py", "test_faults_01_to_33_lose_nothing")
    injected = [fault.number for fault in FAULTS if campaign.injects(fault)]
    assert injected == [fault.number for fault in FAULTS if "H" in fault.needs][:-1]
