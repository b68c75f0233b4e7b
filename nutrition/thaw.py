"""How long a frozen pack takes to thaw in the fridge, when to pull it, and what is not allowed.

The time is Plank's with the correction of Cleland and others for thawing, as a range; beside it
stands the rule of thumb that food-safety authorities print. The longer of the two governs.
"""

from dataclasses import dataclass
from datetime import datetime, timedelta
from math import isfinite

from nutrition.coefficients import load_thaw
from nutrition.errors import InputError, UnknownKeyError
from nutrition.shapes import PlankShape, shape_of
from nutrition.thermal import (
    Parts,
    conductivity_w_per_mk,
    density_kg_per_m3,
    enthalpy_kj_per_kg,
    lean_meat,
    specific_heat_frozen_kj_per_kgk,
    specific_heat_thawed_kj_per_kgk,
)

WAYS = ("fridge", "cold_water", "counter")
# What is believed of a thermometer. Common practice, no source: below 1 degC nothing thaws in a
# useful time, above 10 degC it is no fridge; the heat content is counted from -40 degC, and a
# freezer warmer than -8 degC is broken.
FRIDGE_C = (1.0, 10.0)
FREEZER_C = (-40.0, -8.0)
USUAL_FREEZER_C = -18.0  # FoodSafety.gov: 0 F or below.
# Cleland and others take the heat of thawing between these (from memory).
MELTED_C, STILL_FROZEN_C = 0.0, -10.0
SECONDS_PER_HOUR = 3600.0


@dataclass(frozen=True, slots=True)
class Pack:
    """A frozen pack: its mass [g], form, measured thickness [mm] or None, parts or None."""

    mass_g: float
    form: str
    thickness_mm: float | None = None
    parts: Parts | None = None


@dataclass(frozen=True, slots=True)
class ThawTime:
    """How long a pack takes in the fridge [hour].

    `low_hours` to `high_hours` is the physics, `rule_low_hours` to `rule_high_hours` the printed
    rule of thumb; `plan_hours` is the longer of the two ends. `governed_by` says which it was.
    `thickness_mm` is what was measured or assumed.
    """

    low_hours: float
    high_hours: float
    rule_low_hours: float
    rule_high_hours: float
    thickness_mm: float
    thickness_is_assumed: bool
    parts_are_assumed: bool
    fridge_is_too_warm: bool

    @property
    def plan_hours(self) -> float:
        """The hours to plan with: nothing may be frozen inside when it is needed."""
        return max(self.high_hours, self.rule_high_hours)

    @property
    def governed_by(self) -> str:
        """Which of the two is longer: physics or rule."""
        return "physics" if self.high_hours > self.rule_high_hours else "rule"


@dataclass(frozen=True, slots=True)
class PullWindow:
    """When to move a pack from freezer to fridge; `earliest` is None without a keeping time.

    `is_too_thick` says that no moment is both early enough to thaw and late enough to keep.
    """

    earliest: datetime | None
    latest: datetime
    is_too_thick: bool


def plank_fourier(shape: PlankShape, *, biot: float, stefan: float) -> float:
    """Return Plank's time without a dimension, for freezing and, uncorrected, for thawing.

    Parameters
    ----------
    shape : PlankShape
        With Plank's factors [-].
    biot : float
        Heat transfer x thickness / conductivity [-], over 0.
    stefan : float
        Heat capacity x difference of temperatures / heat of melting, by volume [-], over 0.

    Returns
    -------
    float
        Time x conductivity / (heat capacity x thickness squared) [-].

    References
    ----------
    Plank 1941; Singh and Heldman, Introduction to Food Engineering, ch. 7.
    """
    return shape.surface / (biot * stefan) + shape.inside / stefan


def thawing_hours(
    shape: PlankShape,
    *,
    parts: Parts,
    freezing_c: float,
    freezer_c: float,
    fridge_c: float,
    heat_transfer_w_per_m2k: float,
) -> float:
    """Return the time until the middle of a pack has thawed.

    Parameters
    ----------
    shape : PlankShape
        Thickness [m] and Plank's factors [-].
    parts : Parts
        What it is made of [-].
    freezing_c : float
        Where the first ice forms [degC], below 0.
    freezer_c, fridge_c : float
        Temperature at the start and of the air around [degC].
    heat_transfer_w_per_m2k : float
        From air to surface [W/m2K], over 0.

    Returns
    -------
    float
        Time [hour].

    References
    ----------
    Cleland, Cleland, Earle and Byrne 1986, Int J Refrig 9; for Bi 0.6 to 57, Ste 0.08 to 0.77
    and Pk 0.06 to 0.27. A thin pack in a fridge lies a little below the first two.
    """
    value = load_thaw().value
    thawed_density = density_kg_per_m3(parts, at_c=fridge_c, freezing_c=freezing_c)
    frozen_density = density_kg_per_m3(parts, at_c=freezer_c, freezing_c=freezing_c)
    conductivity = conductivity_w_per_mk(parts, at_c=fridge_c, freezing_c=freezing_c)
    thawed_heat = specific_heat_thawed_kj_per_kgk(parts) * thawed_density
    frozen_heat = frozen_density * specific_heat_frozen_kj_per_kgk(
        parts, at_c=freezer_c, freezing_c=freezing_c
    )
    melting = thawed_density * (
        enthalpy_kj_per_kg(parts, at_c=MELTED_C, freezing_c=freezing_c)
        - enthalpy_kj_per_kg(parts, at_c=STILL_FROZEN_C, freezing_c=freezing_c)
    )
    biot = heat_transfer_w_per_m2k * shape.thickness_m / conductivity
    stefan = thawed_heat * (fridge_c - freezing_c) / melting
    plank = frozen_heat * (freezing_c - freezer_c) / melting
    fourier: float = (
        value("cleland.factor")
        * plank_fourier(shape, biot=biot, stefan=stefan) ** value("cleland.power")
        * stefan ** value("cleland.stefan_power")
        * plank ** value("cleland.plank_power")
    )
    seconds = fourier * thawed_heat * 1000 * shape.thickness_m**2 / conductivity
    return seconds / SECONDS_PER_HOUR


def in_fridge(pack: Pack, *, fridge_c: float, freezer_c: float = USUAL_FREEZER_C) -> ThawTime:
    """Return how long a pack takes to thaw in the fridge, as a range, beside the printed rule.

    Parameters
    ----------
    pack : Pack
        One pack with air all round it [g, mm]; packs that touch thaw like one.
    fridge_c : float
        Temperature of the fridge [degC], 1 to 10.
    freezer_c : float
        Temperature of the freezer it comes from [degC], -40 to -8.

    Returns
    -------
    ThawTime
        Hours [hour].

    Raises
    ------
    UnknownKeyError
        If the form is not known.
    InputError
        If mass, thickness or a temperature is out of range.

    Notes
    -----
    The range spans the published error of the formula, still to gently moving air, and where
    meat of different kinds begins to freeze.
    """
    _check(pack.mass_g, "mass", (0.0, 100_000.0), "g")
    _check(fridge_c, "fridge temperature", FRIDGE_C, "degC")
    _check(freezer_c, "freezer temperature", FREEZER_C, "degC")
    value = load_thaw().value
    parts = pack.parts or lean_meat()
    error = value("cleland.error") / 100
    slowest = -value("freezing_depression.lowest")
    density = density_kg_per_m3(parts, at_c=freezer_c, freezing_c=slowest)
    shape = shape_of(
        pack.form, volume_m3=pack.mass_g / 1000 / density, thickness_mm=pack.thickness_mm
    )

    def hours(freezing_c: float, heat_transfer: str) -> float:
        return thawing_hours(
            shape,
            parts=parts,
            freezing_c=freezing_c,
            freezer_c=freezer_c,
            fridge_c=fridge_c,
            heat_transfer_w_per_m2k=value(heat_transfer),
        )

    fastest = -value("freezing_depression.highest")
    rule_low, rule_high = rule_of_thumb_hours(pack.mass_g)
    return ThawTime(
        low_hours=(1 - error) * hours(fastest, "heat_transfer.still_air_high"),
        high_hours=(1 + error) * hours(slowest, "heat_transfer.still_air_low"),
        rule_low_hours=rule_low,
        rule_high_hours=rule_high,
        thickness_mm=shape.thickness_m * 1000,
        thickness_is_assumed=shape.is_assumed,
        parts_are_assumed=pack.parts is None,
        fridge_is_too_warm=is_too_warm(fridge_c),
    )


def rule_of_thumb_hours(mass_g: float) -> tuple[float, float]:
    """Return the hours that the printed rule gives for thawing in a fridge.

    Parameters
    ----------
    mass_g : float
        Mass of the pack [g], over 0.

    Returns
    -------
    tuple of float
        Shortest and longest [hour], never less than a full day.

    References
    ----------
    USDA FSIS, The Big Thaw: 24 h for each 4 to 5 lb, and a full day for a pound.

    Examples
    --------
    >>> rule_of_thumb_hours(453.6)
    (24.0, 24.0)
    """
    value = load_thaw().value
    least = value("rule.least")
    low, high = (value(key) * mass_g / 1000 for key in ("rule.low", "rule.high"))
    return max(least, low), max(least, high)


def cold_water_hours(mass_g: float) -> tuple[float, float]:
    """Return the hours a pack takes in cold water that is changed every half hour.

    It is used at once and never refrozen raw.

    Parameters
    ----------
    mass_g : float
        Mass of the pack, sealed [g], over 0.

    Returns
    -------
    tuple of float
        Shortest and longest [hour].

    References
    ----------
    USDA FSIS, The Big Thaw: about 30 min a pound; a pound takes an hour or less, 3 to 4 lb 2 to
    3 h.
    """
    value = load_thaw().value
    return (value("cold_water.low") * mass_g / 1000, value("cold_water.high") * mass_g / 1000)


def is_too_warm(fridge_c: float) -> bool:
    """Return whether a fridge is warmer than food-safety authorities ask for.

    Parameters
    ----------
    fridge_c : float
        Its temperature [degC].

    Returns
    -------
    bool
        True above 4 degC.
    """
    return fridge_c > load_thaw().value("fridge.warmest")


def pull_window(
    needed_at: datetime, time: ThawTime, *, keeps_days: float | None = None
) -> PullWindow:
    """Return when to move a pack to the fridge so that it is thawed and still good.

    Parameters
    ----------
    needed_at : datetime
        When it is to be used [-].
    time : ThawTime
        How long it takes [hour].
    keeps_days : float or None
        How long it keeps once thawed [day], the shortest printed time; None when no chart says.

    Returns
    -------
    PullWindow
        From the earliest to the latest moment [-].
    """
    latest = needed_at - timedelta(hours=time.plan_hours)
    if keeps_days is None:
        return PullWindow(None, latest, is_too_thick=False)
    thawed_soonest = min(time.low_hours, time.rule_low_hours)
    earliest = needed_at - timedelta(hours=thawed_soonest, days=keeps_days)
    return PullWindow(earliest, latest, is_too_thick=earliest > latest)


def refusal(way: str) -> str | None:
    """Return why a way of thawing is not allowed, None when it is.

    Parameters
    ----------
    way : str
        fridge, cold_water or counter [-].

    Returns
    -------
    str or None
        A sentence for the screen [-].

    Raises
    ------
    UnknownKeyError
        If the way is not known.
    """
    if way not in WAYS:
        raise UnknownKeyError("way of thawing", way, WAYS)
    if way != "counter":
        return None
    hours = load_thaw().value("out_of_fridge.longest")
    return (
        "Never on the counter: the outside is warm enough for bacteria long before the middle "
        f"has thawed, and raw food may be out of the fridge for {hours:.0f} hours at most. Use "
        "the fridge, or cold water in a sealed bag."
    )


def refreezing(*, way: str, is_still_good: bool, is_cooked_since: bool = False) -> str | None:
    """Return why a thawed pack may not be frozen again, None when it may.

    Parameters
    ----------
    way : str
        How it was thawed: fridge, cold_water or counter [-].
    is_still_good : bool
        Whether it is within its use-by and was never warmer than the fridge [-].
    is_cooked_since : bool
        Whether it was cooked after thawing [-].

    Returns
    -------
    str or None
        A sentence for the screen [-]; quality suffers even where it is allowed.

    Raises
    ------
    UnknownKeyError
        If the way is not known.

    References
    ----------
    USDA FSIS, The Big Thaw: refrozen without cooking only if thawed in the refrigerator.
    """
    if way not in WAYS:
        raise UnknownKeyError("way of thawing", way, WAYS)
    if not is_still_good:
        return "It is past its use-by or was too warm. Discard it; freezing does not mend that."
    if way == "counter":
        return "It thawed outside the fridge. Discard it."
    if way == "cold_water" and not is_cooked_since:
        return "It thawed in cold water: use it now, or cook it before freezing."
    return None


def _check(given: float, name: str, limits: tuple[float, float], unit: str) -> None:
    low, high = limits
    if not (isfinite(given) and low <= given <= high) or (low == 0 and given == 0):
        raise InputError(
            f"{name} is {given} {unit}; allowed is {low:g} to {high:g} {unit}.", fields=(name,)
        )
