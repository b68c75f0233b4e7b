"""The smallest additions that mend what a batch misses.

A linear programme over what may be added: more from store, or something to buy, food and
supplement alike. First the shortfalls are made as small as can be, with nothing put over a limit
that it keeps; then the grams added. Grams, and not the number of additions: a sum of grams has one
least, found at once on a phone too, and it takes no more additions than there are limits that
bind. What cannot be closed is named.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from math import inf

import numpy as np

from nutrition import cautions, hazards
from nutrition.errors import InputError, UnknownKeyError
from nutrition.food import Food
from nutrition.proposal import Missed, missed_by
from nutrition.proposal_matrices import SHARE_SLACK, UNIT_G, Builder, programme_of
from nutrition.proposal_problem import Amounts, Ingredient, Lot, Problem, Wanted, at_most
from nutrition.proposal_stages import Programme, Stage, solve_staged
from nutrition.rule_tables import Caution, Hazard

# Choices of this project.
MOST_SHARE = 0.2  # [-] of the batch's mass, all additions together: beyond it, it is another recipe
BOUGHT_COUNTS = 3.0  # a gram to buy is as much trouble as three grams that are there
WEIGHABLE_SHARE = 0.5  # [-] of a need: what a gram may hold at most, since scales show grams
# Of each highest limit: left free, so that additions rounded to what a scale shows, in a batch that
# is proposed anew around them, pass none.
ROOM_SHARE = 0.05
NOTHING_G = 1e-3  # less than rounding


@dataclass(frozen=True, slots=True)
class Offer:
    """A food that may be added: so much of it in store [g], or to buy (None)."""

    food: str
    stored_g: float | None = None


@dataclass(frozen=True, slots=True)
class Addition:
    """Grams of a food to add [g], from store or to buy."""

    food: str
    mass_g: float
    is_bought: bool


@dataclass(frozen=True, slots=True)
class Mend:
    """What to add, and what is missed even so; energy is no part of it.

    `short` is what stays missing in thousandths of what is wanted, `counted_g` the grams added
    with those to buy counted BOUGHT_COUNTS times [g].
    """

    additions: tuple[Addition, ...]
    missed: tuple[Missed, ...]
    short: float
    counted_g: float


def is_weighable(problem: Problem, food: Ingredient) -> bool:
    """Return whether a gram more or less of a food does not matter much to the batch.

    Of pure zinc sulphate or dried kelp a gram may hold more than a small batch wants in all: no
    kitchen scale weighs out what mends it.
    """
    return all(
        at_most(food, [wanted.nutrient]) / 100
        <= WEIGHABLE_SHARE * wanted.minimum * problem.energy_kcal / 1000
        for wanted in problem.wanted
        if wanted.minimum
    )


def mend(problem: Problem, batch: Amounts, offers: Sequence[Offer]) -> Mend:
    """Return the smallest additions to a batch that mend what it misses.

    Parameters
    ----------
    problem : Problem
        What is wanted [own unit/1000 kcal]; its stock is not looked at.
    batch : mapping of str to float
        The batch as it stands, mass by food [g].
    offers : sequence of Offer
        What may be added [g]. Left alone are foods that a dog may not have, that somebody bounded
        (Choice), and that cannot be weighed finely enough.

    Returns
    -------
    Mend
        Masses [g].

    Raises
    ------
    UnknownKeyError
        If the problem does not know a food.
    InputError
        If a mass is below zero.
    """
    _check(problem, batch, offers)
    standing = {food: mass_g for food, mass_g in batch.items() if mass_g > 0}
    usable = [each for each in offers if _is_usable(problem, standing, each)]
    if not standing:
        return Mend((), (), 0.0, 0.0)
    programme, stages, added = _model(problem, standing, usable)
    found = solve_staged(programme, stages)
    additions = tuple(
        Addition(offer.food, mass_g, offer.stored_g is None)
        for offer, column in zip(usable, added, strict=True)
        if (mass_g := float(found.values[column]) * UNIT_G) > NOTHING_G
    )
    after = dict(standing)
    for each in additions:
        after[each.food] = after.get(each.food, 0.0) + each.mass_g
    missed = tuple(each for each in missed_by(problem, after) if each.key != "energy")
    return Mend(additions, missed, found.least[0], found.least[1])


def _check(problem: Problem, batch: Amounts, offers: Sequence[Offer]) -> None:
    for food in (*batch, *(offer.food for offer in offers)):
        if food not in problem.by_food:
            raise UnknownKeyError("food", food, tuple(problem.by_food))
    masses = [*batch.items(), *((offer.food, offer.stored_g or 0.0) for offer in offers)]
    for food, mass_g in masses:
        if mass_g < 0:
            raise InputError(
                f"{food}: {mass_g} g was given; a mass is zero or more. Weigh it again.",
                fields=("batch", "offers"),
            )


def _is_usable(problem: Problem, batch: Amounts, offer: Offer) -> bool:
    bounds = [choice.most_g for choice in problem.choices if choice.food == offer.food]
    is_bounded = any(most_g is not None for most_g in bounds)
    if offer.food in problem.forbidden or is_bounded:
        return False
    # What is in the batch was weighed; a little more of it can be weighed too.
    return offer.food in batch or is_weighable(problem, problem.by_food[offer.food])


def _model(
    problem: Problem, batch: Amounts, offers: Sequence[Offer]
) -> tuple[Programme, tuple[Stage, ...], list[int]]:
    """Return the programme, its two aims, and the column of each offer."""
    most_g = MOST_SHARE * sum(batch.values())
    standing = [Lot("batch", food, mass_g) for food, mass_g in batch.items()]
    offered = [
        Lot("", each.food, most_g if each.stored_g is None else min(each.stored_g, most_g))
        for each in offers
    ]
    lots = (*standing, *offered)
    wanted = tuple(_with_room(each) for each in problem.wanted)
    builder = Builder(replace(problem, lots=lots, wanted=wanted, choices=(), forbidden=()))
    builder.maxima()
    builder.practice()
    builder.minima()
    builder.ratios()
    build = builder.build
    fixed = builder.used[: len(standing)]
    added = builder.used[len(standing) :]
    for column in fixed:
        build.low[column] = build.high[column]
    for column in builder.over.values():
        row = next(row for row in build.rows if column in row)
        build.high[column] = max(0.0, sum(row.get(each, 0.0) * build.high[each] for each in fixed))
    build.row(dict.fromkeys(added, 1.0), -inf, most_g / UNIT_G)
    short = np.zeros(build.count)
    short[[*builder.short.values(), *builder.unbalanced.values()]] = 1.0
    mass = np.zeros(build.count)
    for column, offer in zip(added, offers, strict=True):
        mass[column] = UNIT_G * (BOUGHT_COUNTS if offer.stored_g is None else 1.0)
    stages = (Stage("short", short, SHARE_SLACK), Stage("mass", mass))
    return programme_of(build), stages, added


def _with_room(wanted: Wanted) -> Wanted:
    if wanted.maximum is None:
        return wanted
    maximum = wanted.maximum * (1 - ROOM_SHARE)
    is_narrow = maximum < (wanted.minimum or 0.0) * (1 + ROOM_SHARE)
    return wanted if is_narrow else replace(wanted, maximum=maximum)


def care_with(
    mended: Mend, foods: Mapping[str, Food], batch: Sequence[Food], *, method: str
) -> dict[str, tuple[tuple[Caution, ...], Hazard | None]]:
    """Return for each food added the cautions it brings into the batch, and a hazard of its name.

    Parameters
    ----------
    mended : Mend
        What is added [g].
    foods : mapping of str to Food
        The foods added by key, supplements of the household's own among them.
    batch : sequence of Food
        What is in the batch: its cautions are there already.
    method : str
        ground, chopped, cooked or bone_in [-].
    """
    known = cautions.for_batch(batch, method=method)
    care = {}
    for each in mended.additions:
        food = foods[each.food]
        brought = cautions.for_batch([*batch, food], method=method)
        new = tuple(caution for caution in brought if caution not in known)
        care[each.food] = (new, hazards.find(food.name))
    return care
