"""Where a bitch stands between mating and weaning, from the days on which these were noted."""

from dataclasses import dataclass

from nutrition.coefficients import load_energy
from nutrition.life import DAYS_PER_WEEK

PHASES = ("gestation_early", "gestation_late", "lactation")


@dataclass(frozen=True, slots=True)
class Reproduction:
    """The phase (one of PHASES, or None), its week counted from 1, and the size of the litter.

    `is_overdue` says that the whelping should have been long ago and was not written down.
    """

    phase: str | None = None
    week: int | None = None
    pups: int | None = None
    is_overdue: bool = False


NOT_BREEDING = Reproduction()


def reproduction(
    *,
    days_since_mated: float | None = None,
    days_since_whelped: float | None = None,
    days_since_weaned: float | None = None,
    pups: int | None = None,
) -> Reproduction:
    """Return where a bitch stands; a day in the future has not come yet.

    Parameters
    ----------
    days_since_mated, days_since_whelped, days_since_weaned : float or None
        Days since then [day]; None where nobody wrote it down.
    pups : int or None
        Pups that suckle [-]; None where nobody counted.

    Returns
    -------
    Reproduction
        Nothing after weaning, after eight weeks of suckling, or without a living pup.

    Examples
    --------
    >>> reproduction(days_since_mated=40).phase
    'gestation_late'
    """
    value = load_energy().value
    if _has_come(days_since_weaned):
        return NOT_BREEDING
    if days_since_whelped is not None and days_since_whelped >= 0:
        if pups == 0 or days_since_whelped >= value("lactation.longest"):
            return NOT_BREEDING
        return Reproduction("lactation", _week(days_since_whelped), pups)
    if days_since_mated is None or days_since_mated < 0:
        return NOT_BREEDING
    if days_since_mated > value("gestation.longest"):
        return Reproduction(is_overdue=True)
    is_late = days_since_mated >= value("gestation.late.from")
    phase = "gestation_late" if is_late else "gestation_early"
    return Reproduction(phase, _week(days_since_mated))


def _has_come(days_since: float | None) -> bool:
    return days_since is not None and days_since >= 0


def _week(days_since: float) -> int:
    return int(days_since // DAYS_PER_WEEK) + 1
