"""Is it enough: each nutrient met, short, over, or unknown."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from nutrition.chemical_forms import Form
from nutrition.composition import Totals, combined, per_1000_kcal
from nutrition.errors import InputError
from nutrition.standard_tables import Limits
from nutrition.standards import Targets

WORDS = ("met", "short", "over", "unknown")
PER_1000_KCAL = "per 1000 kcal"
PER_KG075 = "per kg^0.75 and day"
# Below this share of a mass with a known composition nothing is called met. A choice of this
# project: more than a tenth unknown can thin out any nutrient.
FEWEST_KNOWN_SHARE = 0.9  # [-]


@dataclass(frozen=True, slots=True)
class Judgement:
    """One nutrient against one standard; amounts are in its unit on the basis named.

    `known` to `best` is the range it lies in. `minimum` is the recommended amount, or the minimal
    requirement where none is recommended. Where the word is unknown, `may_fall_short` and
    `may_exceed` say which limit the range cannot be cleared of.
    """

    nutrient: str
    known: float | None
    best: float | None
    minimum: float | None
    maximum: float | None
    word: str
    may_fall_short: bool
    may_exceed: bool
    unknown_energy_share: float
    basis: str


@dataclass(frozen=True, slots=True)
class NotCompared:
    """A nutrient the edition states in another chemical form than the food tables give."""

    nutrient: str
    known: float | None
    best: float | None
    form: Form


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
        over when even the certain part passes the maximum; short when even the most does not
        reach the minimum; met when the whole range lies within; unknown when the range straddles
        a limit, or is not known [-].
    """
    if maximum is not None and known is not None and known > maximum:
        return "over"
    if minimum is not None and best is not None and best < minimum:
        return "short"
    is_clear = _reaches(known, minimum) and _stays(best, maximum)
    return "met" if is_clear else "unknown"


def _reaches(known: float | None, minimum: float | None) -> bool:
    return minimum is None or (known is not None and known >= minimum)


def _stays(best: float | None, maximum: float | None) -> bool:
    return maximum is None or (best is not None and best <= maximum)


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


def not_compared(total: Totals, targets: Targets) -> list[NotCompared]:
    """Return the nutrients that are left out of the judgement, and why.

    Parameters
    ----------
    total : Totals
        The batch or intake: energy [kcal], nutrients [own unit].
    targets : Targets
        The limits [nutrient unit/1000 kcal].

    Returns
    -------
    list of NotCompared
        Amounts in the nutrient's unit per 1000 kcal, in the form that the food tables give.
    """
    return [
        NotCompared(
            nutrient,
            per_1000_kcal(total.known[nutrient], energy_kcal=total.energy_kcal),
            per_1000_kcal(total.best[nutrient], energy_kcal=total.energy_kcal),
            limits.form,
        )
        for nutrient in total.known
        if (limits := targets.limits.get(nutrient)) is not None
        and limits.form is not None
        and not limits.form.is_compared
    ]


def stands(word: str, *, known_share: float) -> bool:
    """Return whether what is said of the known part of a mass holds for all of it.

    Parameters
    ----------
    word : str
        "met", "short", "over" or "unknown".
    known_share : float
        Share of the mass whose composition is known [-].
    """
    if known_share >= 1 or word == "over":
        return True
    return word == "met" and known_share >= FEWEST_KNOWN_SHARE


def with_doubt(judgement: Judgement, *, known_share: float) -> Judgement:
    """Return the judgement of a mass of which a part has no composition at all.

    Parameters
    ----------
    judgement : Judgement
        The judgement of the part that has one.
    known_share : float
        Share of the mass whose composition is known [-].

    Returns
    -------
    Judgement
        Short and met are withdrawn where the rest could change them.
    """
    if known_share >= 1:
        return judgement
    is_open = not stands(judgement.word, known_share=known_share)
    return replace(
        judgement,
        best=None,
        word="unknown" if is_open else judgement.word,
        may_fall_short=is_open and judgement.minimum is not None,
        may_exceed=is_open and judgement.maximum is not None,
    )


def _limited(total: Totals, targets: Targets) -> list[tuple[str, Limits]]:
    return [
        (nutrient, limits)
        for nutrient in total.known
        if (limits := targets.limits.get(nutrient)) is not None
        and (limits.form is None or limits.form.is_compared)
    ]


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
    is_open = word == "unknown"
    return Judgement(
        nutrient,
        known,
        best,
        minimum,
        maximum,
        word,
        is_open and not _reaches(known, minimum),
        is_open and not _stays(best, maximum),
        total.unknown_energy_share[nutrient],
        basis,
    )
