"""What a diet must hold: the limits of a named edition for one stage of life."""

from collections.abc import Mapping
from dataclasses import dataclass

from nutrition.errors import UnknownKeyError
from nutrition.loading import load
from nutrition.standard_tables import EDITIONS, STAGES, Limits, RatioLimits

DEFAULT_EDITION = "nrc-2006"


@dataclass(frozen=True, slots=True)
class Targets:
    """The limits a diet is compared with, by nutrient, and the calcium to phosphorus ratio."""

    edition: str
    name: str
    stage: str
    limits: Mapping[str, Limits]
    ratio: RatioLimits


def targets(edition: str, stage: str) -> Targets:
    """Return the limits of one edition for one stage.

    Parameters
    ----------
    edition : str
        nrc-2006, aafco-2016 or fediaf-2021 [-].
    stage : str
        adult, growth_early or growth_late [-].

    Returns
    -------
    Targets
        Limits in the nutrient's unit [per 1000 kcal ME, and per kg^0.75 and day].

    Raises
    ------
    UnknownKeyError
        If there is no such edition or stage.
    """
    if edition not in EDITIONS:
        raise UnknownKeyError("edition", edition, tuple(EDITIONS))
    if stage not in STAGES:
        raise UnknownKeyError("stage", stage, STAGES)
    tables = load()
    return Targets(
        edition, EDITIONS[edition], stage, tables.standards[edition][stage], tables.ratios[stage]
    )
