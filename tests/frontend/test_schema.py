"""The phone's types of the API come from the server's own description of it."""

import json
import shutil
import subprocess
from pathlib import Path

import pytest
from django.core.management import call_command

from tests.frontend.conftest import FRONTEND

OPENAPI = FRONTEND / "src" / "api" / "openapi.json"
TYPES = FRONTEND / "src" / "api" / "schema.gen.ts"


def test_the_committed_description_is_the_servers(tmp_path: Path) -> None:
    fresh = tmp_path / "openapi.json"
    call_command("spectacular", format="openapi-json", file=str(fresh), validate=True)
    assert json.loads(fresh.read_text("utf-8")) == json.loads(OPENAPI.read_text("utf-8")), (
        "The API has changed. Run: python manage.py spectacular --format openapi-json "
        "--file frontend/src/api/openapi.json, then npm run types in frontend/."
    )


def test_the_types_are_made_from_it(tmp_path: Path) -> None:
    tool = FRONTEND / "node_modules" / "openapi-typescript" / "bin" / "cli.js"
    node = shutil.which("node")
    if node is None or not tool.exists():
        pytest.fail("openapi-typescript is not installed: run npm ci in frontend/.")
    fresh = tmp_path / "schema.gen.ts"
    subprocess.run(
        [node, str(tool), str(OPENAPI), "--output", str(fresh)],
        check=True,
        capture_output=True,
        cwd=FRONTEND,
    )
    assert fresh.read_text("utf-8") == TYPES.read_text("utf-8"), "Run npm run types in frontend/."
