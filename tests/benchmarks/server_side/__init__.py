"""What :mod:`tests.benchmarks.sync_server` runs in processes of their own, one database to each."""

import os

import django

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "household.config.settings")
django.setup()  # The modules of this package import models, so it comes before all of them.
