"""Draws the PNG icons from the two SVG files, with the Chromium that the browser tests use.

Run it after changing a drawing: python frontend/build/icons.py
"""

import shutil
from pathlib import Path

from playwright.sync_api import Browser, sync_playwright

HERE = Path(__file__).resolve().parent
PUBLIC = HERE.parent / "public"
ICONS = (
    (PUBLIC / "icon.svg", "icon-192.png", 192),
    (PUBLIC / "icon.svg", "icon-512.png", 512),
    (HERE / "icon-maskable.svg", "icon-maskable-192.png", 192),
    (HERE / "icon-maskable.svg", "icon-maskable-512.png", 512),
    (HERE / "icon-maskable.svg", "apple-touch-icon.png", 180),
)


def draw(browser: Browser, source: Path, target: Path, size: int) -> None:
    """Write `source` as a square PNG of `size` pixels."""
    page = browser.new_page(viewport={"width": size, "height": size})
    svg = source.read_text("utf-8").replace("<svg ", f'<svg width="{size}" height="{size}" ', 1)
    page.set_content(f'<body style="margin:0;background:transparent">{svg}</body>')
    page.screenshot(path=target, omit_background=True)
    page.close()


def main() -> None:
    chromium = shutil.which("chromium") or shutil.which("chrome")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium, args=["--no-sandbox"])
        for source, name, size in ICONS:
            draw(browser, source, PUBLIC / name, size)
        browser.close()


if __name__ == "__main__":
    main()
