"""Ratios of what is in food, each with the range it can be in and the limits published for it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from nutrition.adequacy import stands
from nutrition.composition import Ratio, Totals, calcium_to_phosphorus
from nutrition.loading import load
from nutrition.ratio_tables import OtherRatio
from nutrition.standards import Targets

CALCIUM_TO_PHOSPHORUS = "calcium_to_phosphorus"


@dataclass(frozen=True, slots=True)
class RatioJudgement:
    """A ratio by mass [g/g] against its limits; `word` is None where no limit is published.

    The word is met when the whole range fits, short or over when none of it does, and unknown
    when the range straddles a limit or is not known.
    """

    key: str
    known: float | None
    lowest: float | None
    highest: float | None
    minimum: float | None
    maximum: float | None
    word: str | None
    source: str


def judge_ratios(total: Totals, targets: Targets) -> list[RatioJudgement]:
    """Return every ratio of a batch or intake against the limits published for it.

    Parameters
    ----------
    total : Totals
        The batch or intake: nutrients [own unit].
    targets : Targets
        The limits of the stage [g/g].

    Returns
    -------
    list of RatioJudgement
        Calcium to phosphorus first, then those of the ratio table.
    """
    found = [judge_ratio(total, targets)]
    for row in load().other_ratios.values():
        ratio = ratio_of(total, row.top, row.bottom)
        judged = _judged(row.key, ratio, None, row.maximum, row.source)
        if row.maximum is not None and _is_all_top(total, row):
            judged = replace(judged, word="over")
        found.append(judged)
    return found


def _is_all_top(total: Totals, row: OtherRatio) -> bool:
    """Return whether there is surely none of what is divided by: past any limit, with no figure."""
    return _bound(total.best, row.bottom) == 0 and bool(_sum(total.known, row.top))


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
    limits = targets.ratio
    return _judged(
        CALCIUM_TO_PHOSPHORUS,
        calcium_to_phosphorus(total),
        limits.minimum,
        limits.maximum,
        limits.source,
    )


def ratio_with_doubt(judgement: RatioJudgement, *, known_share: float) -> RatioJudgement:
    """Return the judgement of a mass of which a part has no composition at all.

    Parameters
    ----------
    judgement : RatioJudgement
        The judgement of the part that has one.
    known_share : float
        Share of the mass whose composition is known [-].

    Returns
    -------
    RatioJudgement
        Short and met are withdrawn where the rest could change them, as they are of an amount.
    """
    if judgement.word is None or stands(judgement.word, known_share=known_share):
        return judgement
    return replace(judgement, lowest=None, highest=None, word="unknown")


def ratio_of(total: Totals, top: Sequence[str], bottom: Sequence[str]) -> Ratio:
    """Return one sum of nutrients over another, with the range it can be in.

    Parameters
    ----------
    total : Totals
        A batch or an intake: nutrients [own unit].
    top, bottom : sequence of str
        Keys of nutrients that are counted in the same unit [-].

    Returns
    -------
    Ratio
        Mass ratios [-]. The ends are least over most and most over least; None where a sum that
        is divided by is zero, or where a needed bound is unknown.
    """
    least_top, most_top = _sum(total.known, top), _bound(total.best, top)
    least_bottom, most_bottom = _sum(total.known, bottom), _bound(total.best, bottom)
    return Ratio(
        _divide(least_top, least_bottom),
        _divide(least_top, most_bottom),
        _divide(most_top, least_bottom),
    )


def _sum(amounts: Mapping[str, float | None], keys: Sequence[str]) -> float | None:
    known = [amount for key in keys if (amount := amounts[key]) is not None]
    return sum(known) if known else None


def _bound(amounts: Mapping[str, float | None], keys: Sequence[str]) -> float | None:
    known = [amount for key in keys if (amount := amounts[key]) is not None]
    return sum(known) if len(known) == len(keys) else None


def _divide(top: float | None, bottom: float | None) -> float | None:
    return None if top is None or bottom is None or bottom == 0 else top / bottom


def _judged(
    key: str, ratio: Ratio, minimum: float | None, maximum: float | None, source: str
) -> RatioJudgement:
    return RatioJudgement(
        key,
        ratio.known,
        ratio.lowest,
        ratio.highest,
        minimum,
        maximum,
        _ratio_word(ratio, minimum, maximum),
        source,
    )


def _ratio_word(ratio: Ratio, minimum: float | None, maximum: float | None) -> str | None:
    if minimum is None and maximum is None:
        return None
    if maximum is not None and ratio.lowest is not None and ratio.lowest > maximum:
        return "over"
    if minimum is not None and ratio.highest is not None and ratio.highest < minimum:
        return "short"
    reaches = minimum is None or (ratio.lowest is not None and ratio.lowest >= minimum)
    stays = maximum is None or (ratio.highest is not None and ratio.highest <= maximum)
    return "met" if reaches and stays else "unknown"
