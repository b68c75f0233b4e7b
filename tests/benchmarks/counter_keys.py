"""One key at the counter: how long the phone works until the check of a batch of 12 foods is new.

Drives the built app in headless Chromium, slowed down four times, as a mid-range phone is.

Run: python -m tests.benchmarks.counter_keys
"""

import shutil
import sys
import tempfile
from pathlib import Path
from statistics import median

from playwright.sync_api import Browser, sync_playwright

from household.config import bootstrap
from tests.browser.api import Api
from tests.browser.conftest import Server, free_port
from tests.browser.handset import Handset

FRAME_MS, SLOWER, KEYS = 16.7, 4, 200
FOODS = (
    "usda-23562", "cut-chicken-neck", "usda-13321", "usda-13325", "usda-13323", "usda-23445",
    "usda-15039", "usda-15164", "usda-01123", "usda-11457", "trencher-eggshell", "ciqual-20998",
)  # fmt: skip

# Presses a key and waits until the page is new: Svelte writes in a microtask after the event.
PRESS = """async (keys) => {
  const spent = [];
  for (let at = 0; at < keys; at += 1) {
    const key = at % 4 === 3 ? 'Backspace' : String(1 + (at % 9));
    const start = performance.now();
    document.body.dispatchEvent(new KeyboardEvent('keydown', { key, bubbles: true }));
    await Promise.resolve();
    document.body.offsetHeight;
    spent.push(performance.now() - start);
    if (at % 8 === 7)
      for (let back = 0; back < 6; back += 1)
        document.body.dispatchEvent(
          new KeyboardEvent('keydown', { key: 'Backspace', bubbles: true }),
        );
    await new Promise(requestAnimationFrame);
  }
  return spent;
}"""


def batch_of(api: Api) -> str:
    dog = api.make("dog", name="Morag", adult_weight_g=17_000, activity="low")
    api.make("weighing", dog=dog, at="2026-11-20T08:00:00Z", mass_g=17_200)
    return api.make(
        "batch",
        number=1,
        method="ground",
        stage="planned",
        days=3,
        dogs=[dog],
        plan=[{"food": food, "mass_g": 150} for food in FOODS],
    )


def measured(browser: Browser, server: Server, slower: int) -> list[float]:
    server.forget_attempts()
    api = Api(server.url).sign_up("Ines", household_name="Larch Row")
    batch = batch_of(api)
    context = browser.new_context(
        base_url=server.url, viewport={"width": 390, "height": 844}, locale="en-GB", has_touch=True
    )
    context.add_cookies(
        [{"name": name, "value": value, "url": api.url} for name, value in api.cookies]
    )
    handset = Handset(context).open(f"/counter/{batch}").ready()
    handset.tick_all()
    handset.tap("Start weighing")
    handset.tap("All good")
    handset.page.get_by_role("group", name="Grams on the scale").wait_for()
    context.new_cdp_session(handset.page).send("Emulation.setCPUThrottlingRate", {"rate": slower})
    spent: list[float] = handset.page.evaluate(PRESS, KEYS)
    context.close()
    return spent


def main() -> int:
    chromium = shutil.which("chromium")
    bootstrap.build_app()
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium, args=["--no-sandbox"])
        server = Server(port=free_port(), data=Path(folder))
        server.start()
        try:
            print(f"one key, a batch of {len(FOODS)} foods, until the check is new\n")
            print(f"{'processor':<14}{'median ms':>12}{'95 % ms':>12}{'most ms':>12}{'frames':>10}")
            for slower in (1, SLOWER):
                spent = sorted(measured(browser, server, slower))
                most = spent[int(len(spent) * 0.95)]
                print(
                    f"{f'{slower} x slower' if slower > 1 else 'as it is':<14}"
                    f"{median(spent):>12.2f}{most:>12.2f}{spent[-1]:>12.2f}"
                    f"{median(spent) / FRAME_MS:>10.2f}"
                )
        finally:
            browser.close()
            server.stop()
    return 0


if __name__ == "__main__":
    sys.exit(main())
