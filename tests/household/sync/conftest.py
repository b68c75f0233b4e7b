"""What the tests of concurrency need from the database they run on."""

import pytest
from django.db import connection


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Leaves out, on SQLite, what only a database with several writers at once can show.

    Such a test is no gap there: it runs in the run on PostgreSQL, which is part of the whole.
    """
    if connection.vendor == "postgresql":
        return
    left_out = [item for item in items if item.get_closest_marker("postgresql")]
    if left_out:
        config.hook.pytest_deselected(items=left_out)
        items[:] = [item for item in items if item not in left_out]
