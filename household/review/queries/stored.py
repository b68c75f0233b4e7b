"""Reads of the summaries that were written."""

from uuid import UUID

from django.db.models import QuerySet

from household.review.models import Summary
from household.review.queries.weeks import Week


def summaries_of(household_id: UUID, week: Week | None = None) -> QuerySet[Summary]:
    """The summaries of a week, by dog; of the newest week that has any when none is named."""
    living = Summary.living(household_id)
    text = str(week) if week else living.order_by("-week").values_list("week", flat=True).first()
    return living.filter(week=text).order_by("dog", "rid")
