"""Write the cases that prove the fold equal in Python and TypeScript."""

import json
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand

from household.sync import vectors

TARGET = Path("fixtures/vectors/fold.json")


def rendered() -> str:
    """The exact text of the exported file."""
    return json.dumps(vectors.as_json(), indent=1, ensure_ascii=False) + "\n"


class Command(BaseCommand):
    help = f"Write {TARGET}: operations and the rows they fold to."

    def handle(self, *args: Any, **options: Any) -> None:
        path = Path(settings.BASE) / TARGET
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(rendered(), encoding="utf-8")
        self.stdout.write(f"wrote {TARGET}")
