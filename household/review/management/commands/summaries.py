"""`manage.py summaries`: sum weeks up by hand."""

from argparse import ArgumentParser
from typing import Any
from uuid import UUID

from django.core.management.base import BaseCommand, CommandError
from django.db.models import QuerySet
from django.utils import timezone

from household.accounts.models import Household
from household.review import actions
from household.review.queries.weeks import Week, WeekError, latest_due, parse_week, zone_of


class Command(BaseCommand):
    help = "Writes the weekly summaries of all households, or of one. Repeating it changes nothing."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument(
            "--week",
            help="An ISO 8601 week such as 2026-W47; the last one that is over by default.",
        )
        parser.add_argument("--household", help="The id of one household; all by default.")

    def handle(self, *args: Any, **options: Any) -> None:
        now = timezone.now()
        week = _week(options["week"])
        count = written = 0
        for household in _households(options["household"]).iterator(chunk_size=200):
            its_week = week or latest_due(now, zone_of(household.time_zone))
            written += actions.write_week(household, its_week, now=now)
            count += 1
        self.stdout.write(
            f"{written} summaries written or changed in {count} household{'s' * (count != 1)}."
        )


def _week(text: str | None) -> Week | None:
    if text is None:
        return None
    try:
        return parse_week(text)
    except WeekError as error:
        raise CommandError(str(error)) from error


def _households(given: str | None) -> QuerySet[Household]:
    if given is None:
        return Household.objects.order_by("pk")
    try:
        found = Household.objects.filter(pk=UUID(given))
    except ValueError as error:
        raise CommandError(f"{given!r} is not the id of a household (a UUID).") from error
    if not found.exists():
        raise CommandError(f"There is no household {given}. Leave --household out for all of them.")
    return found
