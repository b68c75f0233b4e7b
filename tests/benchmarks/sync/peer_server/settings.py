"""Our settings, with one plain table and its addresses in place of the household's."""

from household.config.settings import *  # noqa: F403
from household.config.settings import INSTALLED_APPS

INSTALLED_APPS = [*INSTALLED_APPS, "tests.benchmarks.sync.peer_server"]
ROOT_URLCONF = "tests.benchmarks.sync.peer_server.urls"
