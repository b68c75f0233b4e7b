"""Is it enough: each nutrient met, short, over, or unknown."""

from collections.abc import Sequence
from dataclasses import dataclass

from nutrition.composition import (
    Totals,
    calcium_to_phosphorus,
    combined,
    per_1000_kcal,
)
from nutrition.errors import InputError
from nutrition.standard_tables import Limits
from nutrition.standards import Targets

WORDS = ("met", "short", "over", "unknown")
PER_1000_KCAL = "per 1000 kcal"
PER_KG075 = "per kg^0.75 and day"


@dataclass(frozen=True, slots=True)
class Judgement:
    """One nutrient against one standard; amounts are in its unit on the basis named.

    `minimum` is the recommended amount, or the minimal requirement where none is recommended.
    `may_exceed` says that the most there can be is above the maximum although the known part
    is not.
    """

    nutrient: str
    known: float | None
    best: float | None
    minimum: float | None
    maximum: float | None
    word: str
    may_exceed: bool
    unknown_energy_share: float
    basis: str


@dataclass(frozen=True, slots=True)
class RatioJudgement:
    """Calcium to phosphorus [g/g] against the limits of the stage."""

    known: float | None
    lowest: float | None
    highest: float | None
    minimum: float
    maximum: float
    word: str


def word_for(
    known: float | None, best: float | None, *, minimum: float | None, maximum: float | None
) -> str:
    """Return the word for one nutrient.

    Parameters
    ----------
    known, best : float or None
        The part that is certain and the most there can be [same unit].
    minimum, maximum : float or None
        The limits [same unit].

    Returns
    -------
    str
        over when the known part alone passes the maximum; met when it alone reaches the
        minimum; short when even the best case does not; unknown otherwise [-].
    """
    if maximum is not None and known is not None and known > maximum:
        return "over"
    if minimum is None:
        is_safe = maximum is not None and best is not None and best <= maximum
        return "met" if is_safe else "unknown"
    if known is not None and known >= minimum:
        return "met"
    if best is not None and best < minimum:
        return "short"
    return "unknown"


def judge(total: Totals, targets: Targets) -> list[Judgement]:
    """Return a judgement per nutrient of a batch, per 1000 kcal of its energy.

    Parameters
    ----------
    total : Totals
        The batch or intake: energy [kcal], nutrients [own unit].
    targets : Targets
        The limits [nutrient unit/1000 kcal].

    Returns
    -------
    list of Judgement
        Every nutrient the edition limits, in the order of the nutrient table. Food without
        energy is unknown throughout.
    """
    found = []
    for nutrient, limits in _limited(total, targets):
        minimum = limits.minimum if limits.recommended is None else limits.recommended
        if minimum is None and limits.maximum is None:
            continue
        known = per_1000_kcal(total.known[nutrient], energy_kcal=total.energy_kcal)
        best = per_1000_kcal(total.best[nutrient], energy_kcal=total.energy_kcal)
        found.append(
            _judgement(total, nutrient, known, best, minimum, limits.maximum, PER_1000_KCAL)
        )
    return found


def judge_window(intakes: Sequence[Totals], targets: Targets) -> list[Judgement]:
    """Return a judgement per nutrient over all the intakes of a window.

    Parameters
    ----------
    intakes : sequence of Totals
        What was eaten: energy [kcal], nutrients [own unit].
    targets : Targets
        The limits [nutrient unit/1000 kcal].

    Returns
    -------
    list of Judgement
        As judge. No standard gives an averaging window: that meals may make up for one another
        is an assumption, to be shown as one.
    """
    return judge(combined(intakes), targets)


def judge_per_kg075(
    total: Totals, targets: Targets, *, metabolic_mass_kg075: float, days: float
) -> list[Judgement]:
    """Return a judgement per nutrient against the dog's own size, for dogs that eat little.

    Parameters
    ----------
    total : Totals
        Everything eaten in the days: nutrients [own unit].
    targets : Targets
        The limits [nutrient unit/kg^0.75/day].
    metabolic_mass_kg075 : float
        Metabolic body weight [kg^0.75], over 0.
    days : float
        Length of the window [day], over 0.

    Returns
    -------
    list of Judgement
        The nutrients that have a limit on this basis.

    Raises
    ------
    InputError
        If the size or the number of days is not over zero.

    References
    ----------
    NRC 2006: dogs with a low energy intake are judged per kg^0.75 (from memory).
    """
    if metabolic_mass_kg075 <= 0 or days <= 0:
        raise InputError(
            f"Size {metabolic_mass_kg075} kg^0.75 and {days} days were given; both must be over "
            "zero.",
            fields=("metabolic_mass_kg075", "days"),
        )
    share = metabolic_mass_kg075 * days
    found = []
    for nutrient, limits in _limited(total, targets):
        minimum, maximum = limits.recommended_per_kg075, limits.maximum_per_kg075
        if minimum is None:
            minimum = limits.minimum_per_kg075
        if minimum is None and maximum is None:
            continue
        known, best = total.known[nutrient], total.best[nutrient]
        known = None if known is None else known / share
        best = None if best is None else best / share
        found.append(_judgement(total, nutrient, known, best, minimum, maximum, PER_KG075))
    return found


def _limited(total: Totals, targets: Targets) -> list[tuple[str, Limits]]:
    found = ((nutrient, targets.limits.get(nutrient)) for nutrient in total.known)
    return [(nutrient, limits) for nutrient, limits in found if limits is not None]


def _judgement(
    total: Totals,
    nutrient: str,
    known: float | None,
    best: float | None,
    minimum: float | None,
    maximum: float | None,
    basis: str,
) -> Judgement:
    word = word_for(known, best, minimum=minimum, maximum=maximum)
    may_exceed = maximum is not None and best is not None and best > maximum and word != "over"
    return Judgement(
        nutrient,
        known,
        best,
        minimum,
        maximum,
        word,
        may_exceed,
        total.unknown_energy_share[nutrient],
        basis,
    )


def judge_ratio(total: Totals, targets: Targets) -> RatioJudgement:
    """Return the calcium to phosphorus ratio against the limits of the stage.

    Parameters
    ----------
    total : Totals
        The batch or intake: calcium and phosphorus [mg].
    targets : Targets
        The limits [g/g].

    Returns
    -------
    RatioJudgement
        met when the whole range fits, short or over when none of it does, unknown otherwise.
    """
    ratio, limits = calcium_to_phosphorus(total), targets.ratio
    word = "unknown"
    if ratio.lowest is not None and ratio.lowest > limits.maximum:
        word = "over"
    elif ratio.highest is not None and ratio.highest < limits.minimum:
        word = "short"
    elif ratio.lowest is not None and ratio.highest is not None:
        fits = ratio.lowest >= limits.minimum and ratio.highest <= limits.maximum
        word = "met" if fits else "unknown"
    return RatioJudgement(
        ratio.known, ratio.lowest, ratio.highest, limits.minimum, limits.maximum, word
    )
