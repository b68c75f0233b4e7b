#!/usr/bin/env python3
"""Runs a command of this project; on a fresh machine it first sets itself up."""

import os
import sys

if sys.version_info < (3, 11):  # noqa: UP036  # An older one must be able to read this.
    sys.exit(
        "Trencher needs Python 3.11 or newer; this is Python {}.{}. Install a newer Python and "
        "name it: python3.12 manage.py serve".format(*sys.version_info)
    )

from household.config import bootstrap


def main() -> None:
    bootstrap.prepare(sys.argv)
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "household.config.settings")
    from django.core.management import execute_from_command_line

    execute_from_command_line(sys.argv)


if __name__ == "__main__":
    main()
