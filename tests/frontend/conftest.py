"""The built app the tests look at; without one they say how to get it."""

from pathlib import Path

import pytest

FRONTEND = Path(__file__).resolve().parents[2] / "frontend"


@pytest.fixture(scope="session")
def built() -> Path:
    """The folder of the built phone app."""
    folder = FRONTEND / "static" / "app"
    if not (folder / "sw.js").exists():
        pytest.fail("The phone app is not built: run npm ci && npm run build in frontend/.")
    return folder
