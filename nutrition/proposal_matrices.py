"""A batch to be proposed, as the matrices of a programme.

Variables, in this order: grams used of each lot (in 100 g); packs to pull of each lot in packs
(whole); then what may be missed, so that a solution always exists: excess over each limit, energy
short and over, shortfall of each minimum, breach of each ratio, what is not made up, and what is
left over. Rows are divided by what is wanted, so that a miss is a share of it.

What is not known: a minimum counts the part that is certain, a maximum the most there can be. A
food whose most nothing published bounds counts with its certain part, and the judgement of the
finished plan says that it may be over. Nothing unknown is ever taken for zero in that judgement.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from math import inf

import numpy as np
from scipy.sparse import csr_array

from nutrition.proposal_problem import (
    Ingredient,
    Lot,
    Problem,
    Wanted,
    at_most,
    certain,
    counted,
)
from nutrition.proposal_stages import HELD, Programme, Stage

UNIT_G = 100.0
# Named tolerances: choices of this project.
MARGIN = 0.02  # [-] above each minimum and below each maximum, so that weighing to 5 g harms none
OLDEST_SLACK_DAYS = 3.0  # mean age given up to empty packs
FREE_LEFT_G = 100.0  # what is left in opened packs and does not matter
VARIETY_SLACK = 0.01  # [-] share of the energy
MOST_MADE_UP = 1.0  # [-] of the minimum: one batch makes up no more than as much again
TYPICAL_KCAL_PER_100G = 150.0  # from memory; only scales rows about mass
# Shares stand in the matrices in thousandths: what HiGHS takes for nothing (1e-7) is then nothing.
PER = 1000.0
SHARE_SLACK = 1e-2  # [thousandths of a need] less than anybody can weigh
PRACTICE = "organ_practice"  # the one row of `over` that is no limit
AIMS = ("over", "energy", "practice", "short", "lacked", "oldest", "left", "variety", "cost")
# How far each aim may slip for the sake of the later ones; a change by less is none.
SLACK = {
    "over": SHARE_SLACK,
    "energy": SHARE_SLACK,
    "practice": SHARE_SLACK,
    "short": SHARE_SLACK,
    "lacked": SHARE_SLACK,
    "oldest": OLDEST_SLACK_DAYS,
    "left": HELD,
    "variety": VARIETY_SLACK,
    "cost": HELD,
}


@dataclass(slots=True)
class Build:
    """Rows and columns as they are added; `columns` gives the first column of each kind."""

    count: int = 0
    low: list[float] = field(default_factory=list)
    high: list[float] = field(default_factory=list)
    whole: list[bool] = field(default_factory=list)
    rows: list[dict[int, float]] = field(default_factory=list)
    rows_low: list[float] = field(default_factory=list)
    rows_high: list[float] = field(default_factory=list)

    def column(self, most: float = inf, *, is_whole: bool = False) -> int:
        self.low.append(0.0)
        self.high.append(most)
        self.whole.append(is_whole)
        self.count += 1
        return self.count - 1

    def row(self, entries: dict[int, float], low: float, high: float) -> None:
        self.rows.append(entries)
        self.rows_low.append(low)
        self.rows_high.append(high)


@dataclass(frozen=True, slots=True)
class Model:
    """The programme of a problem, its aims, and which column means what."""

    programme: Programme
    stages: tuple[Stage, ...]
    lots: tuple[Lot, ...]
    packs: dict[int, int]
    over: dict[str, int]
    short: dict[str, int]
    unbalanced: dict[str, int]
    lacked: dict[str, int]
    energy_short: int
    energy_over: int
    left: int


def packed(lots: Sequence[Lot]) -> list[Lot]:
    """Return the lots with what is over whole packs as a lot of its own: an opened pack."""
    made = []
    for lot in lots:
        if lot.pack_g is None or lot.mass_g <= 0:
            made.append(lot)
            continue
        full_g = int(lot.mass_g / lot.pack_g + 1e-9) * lot.pack_g
        rest_g = lot.mass_g - full_g
        if full_g > 0:
            made.append(_part(lot, full_g, lot.pack_g))
        if rest_g > 1e-6:
            made.append(_part(lot, rest_g, rest_g))
    return made


def _part(lot: Lot, mass_g: float, pack_g: float) -> Lot:
    return Lot(lot.key, lot.food, mass_g, pack_g, lot.age_days, lot.price_per_kg)


def with_bought(problem: Problem) -> list[Lot]:
    """Return the lots as packed, and what has to be bought for the choices that stock cannot meet.

    What has to be bought has an empty key and no packs.
    """
    lots = packed(problem.lots)
    for choice in problem.choices:
        stored_g = sum(lot.mass_g for lot in lots if lot.food == choice.food)
        missing_g = 0.0 if choice.food in problem.forbidden else choice.least_g - stored_g
        if missing_g > 0:
            lots.append(Lot("", choice.food, missing_g))
    return lots


class Builder:
    """The rows of a problem, as they are asked for."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.lots = with_bought(problem)
        self.foods = [problem.by_food[lot.food] for lot in self.lots]
        self.build = Build()
        self.used = [self.build.column(self._most(lot)) for lot in self.lots]
        self.packs = {
            index: self.build.column(round(lot.mass_g / lot.pack_g), is_whole=True)
            for index, lot in enumerate(self.lots)
            if lot.pack_g is not None
        }
        self.over: dict[str, int] = {}
        self.short: dict[str, int] = {}
        self.unbalanced: dict[str, int] = {}
        self.lacked: dict[str, int] = {}

    def _most(self, lot: Lot) -> float:
        return 0.0 if lot.food in self.problem.forbidden else lot.mass_g / UNIT_G

    def _per_food(self, amounts: Sequence[float]) -> dict[int, float]:
        return {
            column: amount * PER
            for column, amount in zip(self.used, amounts, strict=True)
            if amount != 0
        }

    def energy_share(self, food: Ingredient) -> float:
        return food.energy_kcal_per_100g / self.problem.energy_kcal

    def maxima(self) -> None:
        for wanted in self.problem.wanted:
            if wanted.maximum is None:
                continue
            target = _highest(wanted)
            scale = target * self.problem.energy_kcal / 1000
            self._at_most(
                wanted.nutrient,
                [
                    at_most(food, [wanted.nutrient]) / scale - self.energy_share(food)
                    for food in self.foods
                ],
            )
        problem = self.problem
        self._share("bone", problem.bone_cap, [food.bone_share for food in self.foods])
        self._share("liver", problem.liver_cap, [float(food.is_liver) for food in self.foods])
        self._share("organ", problem.organ_cap, [float(food.is_organ) for food in self.foods])

    def practice(self) -> None:
        cap = self.problem.organ_practice
        self._share(PRACTICE, cap, [float(food.is_organ) for food in self.foods])

    def _share(self, key: str, cap: float | None, parts: Sequence[float]) -> None:
        mass = self.problem.energy_kcal / TYPICAL_KCAL_PER_100G
        if cap is not None:
            self._at_most(key, [(part - cap) / mass for part in parts])

    def _at_most(self, key: str, amounts: Sequence[float]) -> None:
        self.over[key] = self.build.column()
        self.build.row({**self._per_food(amounts), self.over[key]: -1.0}, -inf, 0.0)

    def energy(self) -> tuple[int, int]:
        short, over = self.build.column(), self.build.column()
        entries = self._per_food([self.energy_share(food) for food in self.foods])
        self.build.row({**entries, short: 1.0, over: -1.0}, PER, PER)
        return short, over

    def minima(self) -> None:
        for wanted in self.problem.wanted:
            if wanted.minimum is not None and wanted.minimum > 0:
                self._at_least(self.short, wanted.nutrient, _lowest(wanted, wanted.minimum))

    def made_up(self) -> None:
        for wanted in self.problem.wanted:
            if wanted.minimum is None or wanted.minimum <= 0 or wanted.lacked <= 0:
                continue
            target = wanted.minimum + min(wanted.lacked, wanted.minimum * MOST_MADE_UP)
            target = _lowest(wanted, target)
            self._at_least(self.lacked, wanted.nutrient, target)

    def _at_least(self, missed: dict[str, int], nutrient: str, target: float) -> None:
        missed[nutrient] = self.build.column()
        scale = target * self.problem.energy_kcal / 1000
        amounts = [
            food.least.get(nutrient, 0.0) / scale - self.energy_share(food) for food in self.foods
        ]
        self.build.row({**self._per_food(amounts), missed[nutrient]: 1.0}, 0.0, inf)

    def ratios(self) -> None:
        minima = {wanted.nutrient: wanted.minimum for wanted in self.problem.wanted}
        for ratio in self.problem.ratios:
            needs = [minima.get(key) or 0.0 for key in ratio.bottom]
            scale = sum(needs) * self.problem.energy_kcal / 1000 or 1.0
            if (least := ratio.minimum) is not None:
                amounts = [
                    (certain(food, ratio.top) - least * counted(food, ratio.bottom)) / scale
                    for food in self.foods
                ]
                column = self.unbalanced[f"{ratio.key} low"] = self.build.column()
                self.build.row({**self._per_food(amounts), column: 1.0}, 0.0, inf)
            if (most := ratio.maximum) is not None:
                amounts = [
                    (at_most(food, ratio.top) - most * certain(food, ratio.bottom)) / scale
                    for food in self.foods
                ]
                column = self.unbalanced[f"{ratio.key} high"] = self.build.column()
                self.build.row({**self._per_food(amounts), column: -1.0}, -inf, 0.0)

    def choices(self) -> None:
        for choice in self.problem.choices:
            if choice.food in self.problem.forbidden:
                continue
            entries = {
                column: 1.0
                for column, lot in zip(self.used, self.lots, strict=True)
                if lot.food == choice.food
            }
            if entries:
                most = inf if choice.most_g is None else choice.most_g / UNIT_G
                self.build.row(entries, choice.least_g / UNIT_G, most)

    def packs_and_left(self) -> int:
        left = self.build.column()
        together: dict[int, float] = {left: -1.0}
        for index, column in self.packs.items():
            pack = (self.lots[index].pack_g or 0.0) / UNIT_G
            self.build.row({self.used[index]: 1.0, column: -pack}, -inf, 0.0)
            together[self.used[index]] = -1.0
            together[column] = pack
        self.build.row(together, -inf, FREE_LEFT_G / UNIT_G)
        return left

    def ages(self) -> list[float]:
        """Return how much newer each lot is than the oldest [day]; an undated lot is the newest."""
        known = [lot.age_days for lot in self.lots if lot.age_days is not None]
        oldest, newest = max(known, default=0.0), min(known, default=0.0)
        return [oldest - (newest if lot.age_days is None else lot.age_days) for lot in self.lots]

    def prices(self) -> list[float]:
        """Return the price of 100 g of each lot; an unknown one counts as the dearest known."""
        known = [lot.price_per_kg for lot in self.lots if lot.price_per_kg is not None]
        dearest = max(known, default=0.0)
        return [
            (dearest if lot.price_per_kg is None else lot.price_per_kg) * UNIT_G / 1000
            for lot in self.lots
        ]


def _lowest(wanted: Wanted, minimum: float) -> float:
    """Return a minimum with its margin, which never passes the maximum."""
    target = minimum * (1 + MARGIN)
    return target if wanted.maximum is None else min(target, wanted.maximum)


def _highest(wanted: Wanted) -> float:
    """Return the maximum with its margin, or whole where the minimum comes that close to it."""
    assert wanted.maximum is not None
    target = wanted.maximum * (1 - MARGIN)
    return wanted.maximum if target < _lowest(wanted, wanted.minimum or 0.0) else target


def programme_of(build: Build) -> Programme:
    """Return the rows and columns as matrices."""
    entries = [(r, c, v) for r, row in enumerate(build.rows) for c, v in row.items()]
    row_at, column_at, values = (np.array(part) for part in zip(*entries, strict=True))
    return Programme(
        csr_array((values, (row_at, column_at)), shape=(len(build.rows), build.count)),
        np.array(build.rows_low),
        np.array(build.rows_high),
        np.array(build.low),
        np.array(build.high),
        np.array(build.whole),
    )


def build_model(problem: Problem) -> Model:
    """Return the matrices of a problem.

    Parameters
    ----------
    problem : Problem
        What the batch is proposed from [kcal, g, own units].

    Returns
    -------
    Model
        Rows are shares of what is wanted [-]; grams are in 100 g.
    """
    builder = Builder(problem)
    builder.maxima()
    builder.practice()
    energy_short, energy_over = builder.energy()
    builder.minima()
    builder.ratios()
    builder.made_up()
    builder.choices()
    left = builder.packs_and_left()
    build = builder.build
    return Model(
        programme=programme_of(build),
        stages=_stages(builder, energy_short, energy_over, left),
        lots=tuple(builder.lots),
        packs=builder.packs,
        over=builder.over,
        short=builder.short,
        unbalanced=builder.unbalanced,
        lacked=builder.lacked,
        energy_short=energy_short,
        energy_over=energy_over,
        left=left,
    )


def _stages(builder: Builder, energy_short: int, energy_over: int, left: int) -> tuple[Stage, ...]:
    share = [builder.energy_share(food) for food in builder.foods]
    ages = [part * age for part, age in zip(share, builder.ages(), strict=True)]
    variety = [part * food.fed_share for part, food in zip(share, builder.foods, strict=True)]
    aims: dict[str, dict[int, float]] = {
        "over": {column: 1.0 for key, column in builder.over.items() if key != PRACTICE},
        "energy": {energy_short: 1.0, energy_over: 1.0},
        "practice": {column: 1.0 for key, column in builder.over.items() if key == PRACTICE},
        "short": dict.fromkeys([*builder.short.values(), *builder.unbalanced.values()], 1.0),
        "lacked": dict.fromkeys(builder.lacked.values(), 1.0),
        "oldest": dict(zip(builder.used, ages, strict=True)),
        "left": {left: 1.0},
        "variety": dict(zip(builder.used, variety, strict=True)),
        "cost": dict(zip(builder.used, builder.prices(), strict=True)),
    }
    made = []
    for key in AIMS:
        objective = np.zeros(builder.build.count)
        for column, weight in aims[key].items():
            objective[column] = weight
        is_about_packs = AIMS.index(key) >= AIMS.index("left")
        made.append(Stage(key, objective, SLACK[key], needs_whole=is_about_packs))
    return tuple(made)
