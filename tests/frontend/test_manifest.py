"""The manifest: what makes the page an app that can be installed."""

import json
import struct
from pathlib import Path
from typing import Any

import pytest
from django.contrib.staticfiles import finders
from django.test import Client


@pytest.fixture
def manifest(client: Client, built: Path) -> dict[str, Any]:
    response = client.get("/manifest.json")
    assert response["Content-Type"] == "application/manifest+json"
    data: dict[str, Any] = json.loads(response.content)
    return data


def test_it_names_the_app_and_where_it_starts(manifest: dict[str, Any]) -> None:
    assert manifest["id"] == "/"
    assert manifest["short_name"] == "Trencher"
    assert manifest["start_url"] == "/"
    assert manifest["scope"] == "/"
    assert manifest["display"] == "standalone"


def test_every_icon_is_there_in_the_size_it_claims(manifest: dict[str, Any]) -> None:
    for icon in manifest["icons"]:
        path = finders.find(icon["src"].removeprefix("/static/"))
        assert path is not None, icon["src"]
        if icon["type"] == "image/png":
            width, height = struct.unpack(">II", Path(path).read_bytes()[16:24])
            assert f"{width}x{height}" == icon["sizes"]


def test_icons_for_round_masks_are_drawn_apart(manifest: dict[str, Any]) -> None:
    purposes = {(icon["purpose"], icon["sizes"]) for icon in manifest["icons"]}
    assert {("any", "192x192"), ("any", "512x512")} <= purposes
    assert {("maskable", "192x192"), ("maskable", "512x512")} <= purposes


def test_shortcuts_lead_to_pages_of_the_app(client: Client, manifest: dict[str, Any]) -> None:
    for shortcut in manifest["shortcuts"]:
        assert client.get(shortcut["url"]).status_code == 200
