"""Too much: what passes the upper limit of the yardstick, or may pass it."""

from dataclasses import dataclass

from nutrition.composition import Totals, per_1000_kcal
from nutrition.loading import load
from nutrition.standard_tables import EDITIONS, LEGAL, Limits
from nutrition.standards import Targets

# Nutrients of which too much does harm that a bowl does not show.
WATCHED = ("vitamin_a", "vitamin_d", "iodine", "selenium", "calcium")
WORDS = ("over", "may be over", "within", "unknown")


@dataclass(frozen=True, slots=True)
class Excess:
    """A nutrient against the upper limit of an edition, per 1000 kcal in the nutrient's unit.

    `word` is over when even the least passes the limit, within when even the most does not, may
    be over when the limit lies between them, unknown when nothing bounds the most.
    """

    nutrient: str
    least: float | None
    most: float | None
    limit: float
    word: str
    edition: str
    source: str
    locator: str
    verified: str


def excesses(total: Totals, targets: Targets) -> list[Excess]:
    """Return each watched nutrient against its upper limit.

    Parameters
    ----------
    total : Totals
        The batch or intake: energy [kcal], nutrients [own unit].
    targets : Targets
        The yardstick [nutrient unit/1000 kcal].

    Returns
    -------
    list of Excess
        One for each watched nutrient that any edition limits. Where the yardstick prints no upper
        limit, the lowest that another edition prints for the stage is used, and named; a merely
        legal one is left out.
    """
    found = []
    for nutrient in WATCHED:
        limit = _limit(nutrient, targets)
        if limit is None:
            continue
        edition, limits, amount = limit
        least = per_1000_kcal(total.known[nutrient], energy_kcal=total.energy_kcal)
        most = per_1000_kcal(total.best[nutrient], energy_kcal=total.energy_kcal)
        found.append(
            Excess(
                nutrient,
                least,
                most,
                amount,
                word_against(least, most, limit=amount),
                edition,
                limits.source,
                limits.locator,
                limits.verified,
            )
        )
    return found


def word_against(least: float | None, most: float | None, *, limit: float) -> str:
    """Return the word for a range against an upper limit.

    Parameters
    ----------
    least, most : float or None
        The part that is certain and the most there can be [same unit].
    limit : float
        The upper limit [same unit].

    Returns
    -------
    str
        over, may be over, within or unknown [-].
    """
    if least is not None and least > limit:
        return "over"
    if most is None:
        return "unknown"
    return "within" if most <= limit else "may be over"


def _limit(nutrient: str, targets: Targets) -> tuple[str, Limits, float] | None:
    own = targets.limits.get(nutrient)
    if own is not None and own.maximum is not None:
        return targets.edition, own, own.maximum
    others = []
    for edition in EDITIONS:
        limits = load().standards[edition][""].get(targets.stage, {}).get(nutrient)
        # A legal ceiling is set for feed as sold; it does not say where harm begins.
        is_legal = limits is not None and limits.maximum_kind == LEGAL
        if limits is not None and limits.maximum is not None and not is_legal:
            others.append((edition, limits, limits.maximum))
    return min(others, key=lambda each: each[2], default=None)
