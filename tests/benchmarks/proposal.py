"""A proposal of 60 lots, 40 nutrients and 8 dogs, beside one bare HiGHS solve of its matrices.

The bare solve has the same rows, bounds and whole packs, and the aims as one weighed sum. The
phone's solve runs in headless Chromium slowed down four times, as a mid-range phone is.

Run: python -m tests.benchmarks.proposal [--lots 60] [--repeats 5]
"""

import argparse
import json
import shutil
import subprocess
import sys
from collections.abc import Callable
from dataclasses import asdict
from pathlib import Path
from random import Random
from statistics import median
from time import perf_counter

import numpy as np
from playwright.sync_api import sync_playwright
from scipy.optimize import Bounds, LinearConstraint, milp

from nutrition.loading import load
from nutrition.proposal import propose
from nutrition.proposal_matrices import build_model
from nutrition.proposal_problem import Lot, Problem, RatioWanted, Wanted, ingredient_of
from nutrition.standards import for_dog, targets

FRONTEND = Path(__file__).parents[2] / "frontend"
SLOWER, SECONDS, SEED = 4, 20.0, 7
GOAL_RATIO, GOAL_MS = 10, 300
GROUPS = (
    "red_meat", "poultry", "heart", "liver", "kidney", "tripe", "bone_in", "oily_fish", "egg",
    "vegetable", "game", "organ",
)  # fmt: skip
# Energy [kcal/day] and metabolic weight [kg^0.75] of eight dogs, invented.
DOGS = ((400, 4.5), (520, 6.0), (640, 7.2), (700, 8.0), (820, 9.0), (950, 10.5), (1100, 12), (1300, 14))  # fmt: skip  # noqa: E501
# [1/unit of the aim], in the order of AIMS.
WEIGHTS = (1e4, 1e4, 1e3, 1e2, 1e1, 1.0, 1e-1, 1e-2, 1e-3)


def wanted() -> tuple[Wanted, ...]:
    """Return the strictest wish of the dogs: the highest minimum and the lowest maximum."""
    all_limits = [
        for_dog(targets("nrc-2006", "adult"), energy_kcal=kcal, metabolic_mass_kg075=size).limits
        for kcal, size in DOGS
    ]
    found = []
    for key, row in all_limits[0].items():
        if row.form is not None and not row.form.is_compared:
            continue
        rows = [limits[key] for limits in all_limits]
        minima = [row.recommended or row.minimum for row in rows]
        maxima = [row.maximum for row in rows if row.maximum is not None]
        found.append(
            Wanted(
                key,
                max((each for each in minima if each is not None), default=None),
                min(maxima, default=None),
            )
        )
    return tuple(found)


def problem(lots: int) -> Problem:
    random = Random(SEED)
    by_group = {
        group: [each for each in load().foods.values() if each.group == group] for group in GROUPS
    }
    foods = [random.choice(by_group[GROUPS[index % len(GROUPS)]]) for index in range(lots)]
    stock = tuple(
        Lot(
            str(index),
            food.key,
            random.randint(1, 6) * pack_g,
            pack_g,
            random.randint(0, 120),
            random.randint(20, 150) / 10,
        )
        for index, food in enumerate(foods)
        for pack_g in [random.choice((200, 250, 500, 1000))]
    )
    different = {food.key: food for food in foods}
    return Problem(
        energy_kcal=3 * sum(kcal for kcal, _ in DOGS),
        ingredients=tuple(
            ingredient_of(food, fed_share=random.random()) for food in different.values()
        ),
        lots=stock,
        wanted=wanted(),
        ratios=(RatioWanted("calcium_to_phosphorus", ("calcium",), ("phosphorus",), 1, 2),),
    )


def bare_s(given: Problem) -> float:
    model = build_model(given)
    matrices = model.programme
    objective = sum(
        (w * stage.objective for w, stage in zip(WEIGHTS, model.stages, strict=True)),
        np.zeros(len(matrices.low)),
    )
    return spent_s(
        lambda: milp(
            objective,
            constraints=LinearConstraint(matrices.rows, matrices.rows_low, matrices.rows_high),
            bounds=Bounds(matrices.low, matrices.high),
            integrality=matrices.whole.astype(int),
            options={"time_limit": SECONDS},
        )
    )


def spent_s(work: Callable[[], object]) -> float:
    start = perf_counter()
    work()
    return perf_counter() - start


def phone_ms(given: Problem, repeats: int) -> tuple[list[float], bool]:
    """Return how long the phone's solver took, and whether it proved its packs to be the best."""
    node, chromium = shutil.which("node"), shutil.which("chromium")
    if node is None or chromium is None:
        raise SystemExit("Node and Chromium are needed for the phone's part: install both.")
    command = [node, str(Path(__file__).with_suffix(".mjs")), str(FRONTEND)]
    script = subprocess.run(command, check=True, capture_output=True, text=True).stdout
    body = asdict(given)
    del body["by_food"]
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium, args=["--no-sandbox"])
        page = browser.new_page()
        page.add_script_tag(content=script, type="module")
        page.wait_for_function("() => 'propose' in globalThis")
        page.context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
        spent, is_proved = page.evaluate(
            """([problem, repeats]) => {
              const spent = [];
              let found;
              for (let turn = 0; turn < repeats; turn += 1) {
                const start = performance.now();
                found = globalThis.propose(problem);
                spent.push(performance.now() - start);
              }
              return [spent, found.is_proved];
            }""",
            [json.loads(json.dumps(body)), repeats],
        )
        browser.close()
    return spent, is_proved


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--lots", type=int, default=60)
    parser.add_argument("--repeats", type=int, default=5)
    options = parser.parse_args()
    given = problem(options.lots)
    ours, bare, proved = [], [], []
    for _ in range(options.repeats):
        bare.append(bare_s(given))
        start = perf_counter()
        proved.append(propose(given, seconds_per_aim=SECONDS).is_proved)
        ours.append(perf_counter() - start)
    ratio = median(ours) / median(bare)
    phone, is_proved = phone_ms(given, options.repeats)
    print(f"{options.lots} lots, {len(given.wanted)} nutrients, {len(DOGS)} dogs")
    print(f"| all aims in order / one bare HiGHS solve | {ratio:.1f} | goal <= {GOAL_RATIO} |")
    print(f"| median [s] ours, bare | {median(ours):.2f}, {median(bare):.2f} | proved {proved} |")
    print(
        f"| on the phone, {SLOWER} times slower [ms] | {median(phone):.0f} "
        f"({min(phone):.0f} to {max(phone):.0f}) | goal < {GOAL_MS}; proved {is_proved} |"
    )
    return 0


if __name__ == "__main__":
    sys.exit(main())
