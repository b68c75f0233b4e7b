"""The nutrition package as a Django app: nothing but a check of its data files."""

from collections.abc import Sequence

from django.apps import AppConfig
from django.core.checks import CheckMessage, Error, register

from nutrition.errors import TableError
from nutrition.loading import load


class NutritionConfig(AppConfig):
    """Registers the check when Django starts."""

    name = "nutrition"

    def ready(self) -> None:
        """Register the check of the data files."""
        register(check_tables)


def check_tables(
    app_configs: Sequence[AppConfig] | None = None, **kwargs: object
) -> list[CheckMessage]:
    """Return an error for every fault in the data files, with file and line."""
    try:
        load()
    except TableError as error:
        return [
            Error(problem, hint="Mend the data file named.", id="nutrition.E001")
            for problem in error.problems
        ]
    return []
