"""What a batch should be: packs to pull and grams to use, from what is in store.

The aims, in order, each held before the next: nothing over a safe limit or a cap; the energy
the dogs need; no more organs than is common; the least shortfall; making up what the last
fortnight lacked; oldest stock first; least left over in opened packs; another animal than lately;
cost. There is always a proposal: what cannot be had is named, with the amount that is missing.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from nutrition.errors import UnknownKeyError
from nutrition.proposal_matrices import AIMS, PRACTICE, SLACK, UNIT_G, Model, build_model
from nutrition.proposal_problem import Amounts, Choice, Problem, at_most, certain, counted
from nutrition.proposal_stages import HELD, Staged, solve_staged

NOTHING_G = 0.05  # less than a scale shows
NOTHING_SHARE = 1e-4  # [-] of what is wanted: less than the margin by far


@dataclass(frozen=True, slots=True)
class Line:
    """What is used of one lot [g], the packs to pull for it, and what stays in the opened pack.

    A line without a lot (`lot` empty) is to be bought.
    """

    lot: str
    food: str
    mass_g: float
    packs: int | None
    left_g: float


@dataclass(frozen=True, slots=True)
class Missed:
    """A limit that the proposal cannot keep, per 1000 kcal in the nutrient's unit.

    `word` is short or over; `amount` is the least there is when short, the most when over, and
    None when nothing is known of it.
    """

    key: str
    word: str
    amount: float | None
    limit: float


@dataclass(frozen=True, slots=True)
class Proposal:
    """A proposed batch: its lines, what it misses, and the least each aim came to.

    `aims` is by AIMS: over, practice, short and lacked in thousandths of what is wanted, energy as
    the thousandths that are missing or too much, oldest in days by which the food is newer than the
    oldest, left beyond what does not matter [100 g], variety as the share of the fortnight's
    energy that came from the same animals [-], cost in the prices' own currency.
    """

    lines: tuple[Line, ...]
    mass_g: float
    energy_kcal: float
    missed: tuple[Missed, ...]
    aims: Mapping[str, float]
    is_proved: bool


def propose(problem: Problem, *, seconds_per_aim: float = 10.0) -> Proposal:
    """Return the best batch by the aims in order.

    Parameters
    ----------
    problem : Problem
        Energy [kcal], stock [g], wishes [own unit/1000 kcal] and choices [g].
    seconds_per_aim : float
        Time for one aim [s]; `is_proved` says whether it sufficed.

    Returns
    -------
    Proposal
        Masses [g], energy [kcal].
    """
    model = build_model(problem)
    found = solve_staged(model.programme, model.stages, seconds_per_stage=seconds_per_aim)
    return _proposal(problem, model, found)


def _proposal(problem: Problem, model: Model, found: Staged) -> Proposal:
    lines = _lines(model, found)
    masses = {line.food: 0.0 for line in lines}
    for line in lines:
        masses[line.food] += line.mass_g
    return Proposal(
        lines=lines,
        mass_g=sum(masses.values()),
        energy_kcal=_energy_kcal(problem, masses),
        missed=missed_by(problem, masses),
        aims=dict(zip(AIMS, found.least, strict=True)),
        is_proved=found.is_proved,
    )


def _lines(model: Model, found: Staged) -> tuple[Line, ...]:
    lines = []
    for index, lot in enumerate(model.lots):
        mass_g = float(found.values[index]) * UNIT_G
        if mass_g < NOTHING_G:
            continue
        packs = None
        left_g = 0.0
        if lot.pack_g is not None:
            # Pulling one more than the grams call for is never better: the fewest are told.
            packs = int(np.ceil(mass_g / lot.pack_g - NOTHING_G / lot.pack_g))
            left_g = max(0.0, packs * lot.pack_g - mass_g)
        lines.append(Line(lot.key, lot.food, mass_g, packs, left_g))
    return tuple(lines)


def _energy_kcal(problem: Problem, masses: Amounts) -> float:
    return sum(
        mass_g * problem.by_food[food].energy_kcal_per_100g / 100 for food, mass_g in masses.items()
    )


def missed_by(problem: Problem, masses: Amounts) -> tuple[Missed, ...]:
    """Return the limits that so many grams of each food do not keep.

    Parameters
    ----------
    problem : Problem
        What is asked of the batch.
    masses : mapping of str to float
        What goes into it, by food [g].
    """
    energy_kcal = _energy_kcal(problem, masses)
    missed: list[Missed] = []
    if energy_kcal < problem.energy_kcal * (1 - NOTHING_SHARE):
        missed.append(Missed("energy", "short", energy_kcal, problem.energy_kcal))
    if energy_kcal > problem.energy_kcal * (1 + NOTHING_SHARE):
        missed.append(Missed("energy", "over", energy_kcal, problem.energy_kcal))
    if energy_kcal <= 0:
        return tuple(missed)
    foods = [(problem.by_food[food], mass_g) for food, mass_g in masses.items()]
    for wanted in problem.wanted:
        key = wanted.nutrient
        known = [food.least[key] * mass_g for food, mass_g in foods if key in food.least]
        least = sum(known) * 10 / energy_kcal if known else None
        most = (
            sum(food.most.get(key, food.least.get(key, 0.0)) * mass_g for food, mass_g in foods)
            * 10
            / energy_kcal
        )
        low, high = wanted.minimum, wanted.maximum
        if low is not None and (least or 0.0) < low * (1 - NOTHING_SHARE):
            missed.append(Missed(key, "short", least, low))
        if high is not None and most > high * (1 + NOTHING_SHARE):
            missed.append(Missed(key, "over", most, high))
    return (*missed, *_caps_missed(problem, masses), *_ratios_missed(problem, masses))


def _caps_missed(problem: Problem, masses: Amounts) -> list[Missed]:
    mass_g = sum(masses.values())
    foods = [(problem.by_food[food], amount_g) for food, amount_g in masses.items()]
    bone_g = sum(food.bone_share * amount_g for food, amount_g in foods)
    liver_g = sum(amount_g for food, amount_g in foods if food.is_liver)
    organ_g = sum(amount_g for food, amount_g in foods if food.is_organ)
    caps = (
        ("bone", bone_g, problem.bone_cap),
        ("liver", liver_g, problem.liver_cap),
        ("organ", organ_g, problem.organ_cap),
        (PRACTICE, organ_g, problem.organ_practice),
    )
    return [
        Missed(key, "over", part_g / mass_g, cap)
        for key, part_g, cap in caps
        if cap is not None and part_g / mass_g > cap + NOTHING_SHARE
    ]


def _ratios_missed(problem: Problem, masses: Amounts) -> list[Missed]:
    """Return the ratios outside their limits, each side counted as in the matrices.

    For the minimum what is certain of the top stands over all of the bottom; for the maximum the
    most of the top over what is certain of the bottom.
    """
    foods = [(problem.by_food[food], mass_g) for food, mass_g in masses.items()]
    missed = []
    for ratio in problem.ratios:
        top = sum(certain(food, ratio.top) * mass_g for food, mass_g in foods)
        bottom = sum(counted(food, ratio.bottom) * mass_g for food, mass_g in foods)
        if ratio.minimum is not None and top < ratio.minimum * bottom * (1 - NOTHING_SHARE):
            missed.append(Missed(ratio.key, "short", top / bottom, ratio.minimum))
        top = sum(at_most(food, ratio.top) * mass_g for food, mass_g in foods)
        bottom = sum(certain(food, ratio.bottom) * mass_g for food, mass_g in foods)
        if ratio.maximum is not None and top > ratio.maximum * bottom * (1 + NOTHING_SHARE):
            amount = top / bottom if bottom > 0 else None
            missed.append(Missed(ratio.key, "over", amount, ratio.maximum))
    return missed


@dataclass(frozen=True, slots=True)
class Rejected:
    """What it would have cost to put so much of a food in: the first aim that gets worse.

    `aim` is None when nothing gets worse, which makes the food as good as what was chosen, and
    "forbidden" for a food that one of the dogs may not have.
    """

    food: str
    mass_g: float
    aim: str | None
    worse_by: float


def cost_of(problem: Problem, proposal: Proposal, food: str, mass_g: float) -> Rejected:
    """Return what a food that was left out would have cost, from solving again with it in.

    Parameters
    ----------
    problem : Problem
        The problem that was solved.
    proposal : Proposal
        Its proposal.
    food : str
        Key of the food [-].
    mass_g : float
        How much of it is to go in [g], over 0.

    Returns
    -------
    Rejected
        How much worse, in the unit of the aim as of Proposal.

    Raises
    ------
    UnknownKeyError
        If the problem knows no such food.
    """
    if food not in problem.by_food:
        raise UnknownKeyError("food", food, tuple(problem.by_food))
    others = tuple(choice for choice in problem.choices if choice.food != food)
    if food in problem.forbidden:
        return Rejected(food, mass_g, "forbidden", 0.0)
    forced = replace(problem, choices=(*others, Choice(food, least_g=mass_g)))
    after = propose(forced)
    for aim in AIMS:
        worse_by = after.aims[aim] - proposal.aims[aim]
        if worse_by > SLACK[aim] + HELD:
            return Rejected(food, mass_g, aim, worse_by)
        if worse_by < -SLACK[aim] - HELD:
            break
    return Rejected(food, mass_g, None, 0.0)
