"""`manage.py demo`: an invented household with ten weeks behind it, to try things out on."""

import secrets
from argparse import ArgumentParser
from typing import Any

from django.core.exceptions import ValidationError
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError
from django.db import connection
from django.db.migrations.executor import MigrationExecutor
from django.utils import timezone

from household.config.demo.load import DemoRefused, Loaded, load_demo
from household.review import actions
from household.review.queries.weeks import latest_due, zone_of

PASSWORD_BYTES = 12  # 96 bits: nobody guesses it, and it can still be typed.
WEEKS = 10  # The weeks of the story.


class Command(BaseCommand):
    help = (
        "Loads the demo household: two people, three dogs, ten weeks that end today. Running it "
        "again changes nothing."
    )

    stealth_options = ("is_served",)  # Given by `serve`, which is about to print its address.

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument(
            "--password", help="The password of both demo accounts; made up and printed by default."
        )
        parser.add_argument(
            "--alongside",
            action="store_true",
            help="Load it although this database holds other households.",
        )

    def handle(self, *args: Any, **options: Any) -> None:
        _prepare_database()
        password = options["password"] or secrets.token_urlsafe(PASSWORD_BYTES)
        try:
            loaded = load_demo(
                password=password, alongside=options["alongside"], now=timezone.now()
            )
        except DemoRefused as refused:
            raise CommandError(str(refused)) from refused
        except ValidationError as error:
            raise CommandError(f"The password will not do: {' '.join(error.messages)}") from error
        except FileNotFoundError as error:
            raise CommandError(
                f"A file of the demo is missing: {error.filename}. The demo comes with the source "
                "tree, not with an installed package; run it from a checkout."
            ) from error
        if not loaded.entries:
            self.stdout.write(
                f"The demo household {loaded.household.name!r} is already here; nothing was "
                "changed. Its passwords are those printed when it was loaded."
            )
            return
        summaries = _write_summaries(loaded)
        self._report(loaded, summaries, password, is_served=options.get("is_served", False))

    def _report(self, loaded: Loaded, summaries: int, password: str, *, is_served: bool) -> None:
        first = (
            "open the address below and sign in."
            if is_served
            else "start the server with `manage.py serve`, open the address it prints and sign in."
        )
        self.stdout.write(
            f"Loaded the demo household {loaded.household.name!r}: {loaded.entries} entries and "
            f"{summaries} weekly summaries.\n"
            "Everything in it is invented, the figures too.\n\n"
            f"Sign in as  {' or '.join(loaded.emails)}\n"
            f"Password    {password}\n\n"
            f"Next: {first}\n"
            "Two browsers, one for each person, show how two phones share the household."
        )


def _prepare_database() -> None:
    """Make the tables of a new installation: the demo is often its first command."""
    executor = MigrationExecutor(connection)
    if executor.migration_plan(executor.loader.graph.leaf_nodes()):
        call_command("migrate", interactive=False, verbosity=0)


def _write_summaries(loaded: Loaded) -> int:
    """Sum the story's weeks up at once, rather than when the background work next looks."""
    now = timezone.now()
    week = latest_due(now, zone_of(loaded.household.time_zone))
    written = 0
    for _ in range(WEEKS):
        written += actions.write_week(loaded.household, week, now=now)
        week = week.previous
    return written
