"""How many mealtimes are for a dog, counted here as on the phone."""

import json
from pathlib import Path
from typing import Any
from uuid import uuid4

import pytest
from django.conf import settings

from household.feeding.models import Mealtime
from household.review.queries.assembling import meals_a_day

VECTORS = Path(settings.BASE) / "fixtures" / "vectors" / "mealtimes.json"
CASES: list[dict[str, Any]] = json.loads(VECTORS.read_text("utf-8"))["cases"]


@pytest.mark.parametrize("case", CASES, ids=[case["name"] for case in CASES])
def test_it_is_counted_as_on_the_phone(case: dict[str, Any]) -> None:
    ids = {"Morag": uuid4(), "Tansy": uuid4()}
    mealtimes = [
        Mealtime(
            dogs=given["dogs"] and [str(ids[name]) for name in given["dogs"]],
            archived=given.get("archived", False),
            gone=given.get("gone", False),
        )
        for given in case["mealtimes"]
    ]
    assert meals_a_day(ids["Morag"], mealtimes) == case["meals_a_day"]
