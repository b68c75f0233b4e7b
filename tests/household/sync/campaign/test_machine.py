"""Hypothesis over the same rules, against the addresses themselves.

TRENCHER_SYNC_EXAMPLES sets the number of examples; a failure prints the trace to paste into a test,
and the blob that repeats it.
"""

import pytest
from hypothesis.stateful import run_state_machine_as_test

from tests.household.sync.campaign.machine import EXAMPLES, machine_for, settings_of
from tests.household.sync.campaign.people import Worlds


@pytest.mark.django_db
def test_faults_01_to_33_found_by_hypothesis(endpoint_worlds: Worlds) -> None:
    run_state_machine_as_test(machine_for(endpoint_worlds(None)), settings=settings_of(EXAMPLES))
