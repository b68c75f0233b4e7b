"""`manage.py test`: every test, on the Python side and on the phone's."""

import os
import subprocess
import sys
from argparse import REMAINDER, ArgumentParser
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand

from household.config import bootstrap

# Idle workers take over what others have before them: journeys in the browser are long and stand
# in one row.
WHOLE = ("-n", "auto", "--dist", "worksteal")


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
        frontend = settings.BASE / "frontend"
        node, _ = bootstrap.node_and_npm()
        pytest = [sys.executable, "-m", "pytest", *(given or WHOLE)]
        vitest = [node, str(frontend / "node_modules" / "vitest" / "vitest.mjs"), "run"]
        steps = (
            [(pytest, settings.BASE)] if given else [(vitest, frontend), (pytest, settings.BASE)]
        )
        environment = {
            **os.environ,
            "TRENCHER_NO_SETUP": "1",
            # Some tests run Node.js themselves; on a bare machine it lies in .venv alone.
            "PATH": f"{Path(node).parent}{os.pathsep}{os.environ.get('PATH', '')}",
        }
        codes = [
            subprocess.run(command, cwd=folder, env=environment, check=False).returncode
            for command, folder in steps
        ]
        if any(codes):
            sys.exit(1)
