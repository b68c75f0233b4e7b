"""`manage.py test`: every test, on the Python side and on the phone's."""

import os
import subprocess
import sys
from argparse import REMAINDER, ArgumentParser
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand

from household.config import bootstrap


class Command(BaseCommand):
    help = (
        "Runs pytest with the given arguments; without any, all tests, and those of the phone app."
    )
    requires_system_checks = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("arguments", nargs=REMAINDER, help="For pytest: paths, -k WORD, …")

    def run_from_argv(self, argv: list[str]) -> None:
        # Options such as -k are pytest's, so Django's parser must not see them.
        self.execute(arguments=argv[2:], no_color=False, force_color=False)

    def handle(self, *args: Any, **options: Any) -> None:
        given: list[str] = options["arguments"]
        steps = [[sys.executable, "-m", "pytest", *(given or ["-n", "auto"])]]
        if not given:
            vitest = settings.BASE / "frontend" / "node_modules" / "vitest" / "vitest.mjs"
            steps.insert(0, [bootstrap.node_and_npm()[0], str(vitest), "run"])
        failed = [step for step in steps if self._run(step)]
        if failed:
            sys.exit(1)

    def _run(self, step: list[str]) -> int:
        folder = settings.BASE / "frontend" if "vitest" in step[-2] else settings.BASE
        environment = {**os.environ, "TRENCHER_NO_SETUP": "1"}
        return subprocess.run(step, cwd=folder, env=environment, check=False).returncode
