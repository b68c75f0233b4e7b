"""What a diet must hold: the limits of a named edition, and of one dog by what it eats."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from nutrition.energy_equations import check_range, growth_rise
from nutrition.errors import UnknownKeyError
from nutrition.life import DAYS_PER_MONTH
from nutrition.loading import load
from nutrition.standard_rules import AssumedIntake, RatioLimits, Variant
from nutrition.standard_tables import EDITIONS, STAGES, Limits

DEFAULT_EDITION = "nrc-2006"
CORRECTIONS = ("none", "denser", "eats enough", "not published")


@dataclass(frozen=True, slots=True)
class Targets:
    """The limits a diet is compared with, by nutrient, and the calcium to phosphorus ratio.

    `factor` is 1 for the table's own figures. For one dog it is what the amounts were multiplied
    by [-], `correction` says why (one of CORRECTIONS), and the two intakes are what the table
    takes a dog to eat and what this one eats [kcal/kg^0.75/day].
    """

    edition: str
    name: str
    stage: str
    limits: Mapping[str, Limits]
    ratio: RatioLimits
    factor: float = 1.0
    correction: str = "none"
    assumed_kcal_per_kg075: float | None = None
    own_kcal_per_kg075: float | None = None
    variant: str = ""


def targets(
    edition: str,
    stage: str,
    *,
    adult_mass_kg: float | None = None,
    age_days: float | None = None,
    variant: str | None = None,
) -> Targets:
    """Return the limits of one edition for one stage.

    Parameters
    ----------
    edition : str
        nrc-2006, aafco-2016 or fediaf-2021 [-].
    stage : str
        adult, growth_early, growth_late or reproduction [-].
    adult_mass_kg : float or None
        Expected adult body weight [kg]; it chooses between columns for small and large breeds.
        Without it a growing dog gets the stricter one.
    age_days : float or None
        Age [day]; it chooses where a column changes with age.
    variant : str or None
        A column by its key [-]; None chooses by the dog.

    Returns
    -------
    Targets
        Limits in the nutrient's unit [per 1000 kcal ME, and per kg^0.75 and day].

    Raises
    ------
    UnknownKeyError
        If there is no such edition, stage or variant.
    """
    if edition not in EDITIONS:
        raise UnknownKeyError("edition", edition, tuple(EDITIONS))
    if stage not in STAGES:
        raise UnknownKeyError("stage", stage, STAGES)
    tables = load()
    here = [each for each in tables.variants[edition] if each.stage == stage]
    if variant is None:
        chosen = next((each.key for each in here if _fits(each, adult_mass_kg, age_days)), "")
    elif variant in ("", *(each.key for each in here)):
        chosen = variant
    else:
        raise UnknownKeyError("variant", variant, tuple(each.key for each in here))
    ratios = tables.ratios[edition]
    return Targets(
        edition,
        EDITIONS[edition],
        stage,
        tables.standards[edition][chosen][stage],
        ratios.get((chosen, stage), ratios["", stage]),
        variant=chosen,
    )


def _fits(variant: Variant, adult_mass_kg: float | None, age_days: float | None) -> bool:
    by_size = (
        variant.adult_mass_kg_to is not None
        and adult_mass_kg is not None
        and adult_mass_kg <= variant.adult_mass_kg_to
    )
    by_age = (
        variant.age_months_from is not None
        and age_days is not None
        and age_days >= variant.age_months_from * DAYS_PER_MONTH
    )
    return by_size or by_age


def for_dog(
    table: Targets,
    *,
    energy_kcal: float,
    metabolic_mass_kg075: float,
    grown_share: float | None = None,
) -> Targets:
    """Return the limits per 1000 kcal of a dog that eats so much: its own, beside the table's.

    A table per 1000 kcal takes a dog to eat a certain amount. A dog that eats less needs the same
    nutrients in less food, so each 1000 kcal must hold more of them.

    Parameters
    ----------
    table : Targets
        The edition's limits for the dog's stage [nutrient unit/1000 kcal].
    energy_kcal : float
        What the dog eats [kcal ME/day].
    metabolic_mass_kg075 : float
        Metabolic body weight [kg^0.75].
    grown_share : float or None
        Weight now over expected adult weight [-]; a growing dog without it is not corrected.

    Returns
    -------
    Targets
        As `table`, with minimum and recommended multiplied by assumed over own intake.

    Raises
    ------
    InputError
        If a figure is outside its range.

    Notes
    -----
    Choices of this project, each on the careful side:

    - A dog that eats more than the table assumes keeps the table's figures ("eats enough").
    - AAFCO does not correct foods of low energy density and FEDIAF prints one column for growth:
      their figures stay as printed ("not published"), as do those of gestation and lactation,
      where a bitch with few pups also gives less milk.
    - A puppy is compared with the puppy of the table's footnote, brought to its own share of adult
      weight along the same edition's growth equation; older puppies need less of everything.
    - A maximum is never raised. Where the edition also prints it per kg^0.75, the stricter holds.
    - A minimum never passes the maximum.

    References
    ----------
    NRC 2006 table 15-5 (130 kcal per kg^0.75, per kg^0.75 column for dogs that eat little) and
    15-3 footnote; FEDIAF 2021, adult columns at 95 and 110 kcal per kg^0.75.

    Examples
    --------
    FEDIAF prints 45.0 g of protein at 110 kcal per kg^0.75 and 52.1 g at 95.

    >>> own = for_dog(targets("fediaf-2021", "adult"), energy_kcal=950, metabolic_mass_kg075=10)
    >>> round(own.limits["protein"].recommended, 1)
    52.1
    """
    check_range("energy_kcal", energy_kcal, 10, 25000, "kcal/day")
    check_range("metabolic_mass_kg075", metabolic_mass_kg075, 0.1, 50, "kg^0.75")
    if grown_share is not None:
        check_range("grown_share", grown_share, 0.001, 20, "of the adult weight")
    own = energy_kcal / metabolic_mass_kg075
    intake = load().intakes[table.edition].get(table.stage)
    assumed = None if intake is None else _assumed(intake, grown_share)
    factor, correction = 1.0, "not published"
    if assumed is not None:
        factor = max(1.0, assumed / own)
        correction = "denser" if factor > 1 else "eats enough"
    fixed = () if intake is None else intake.fixed
    limits = {
        nutrient: _own_limits(row, 1.0 if nutrient in fixed else factor, own)
        for nutrient, row in table.limits.items()
    }
    return replace(
        table,
        limits=limits,
        factor=factor,
        correction=correction,
        assumed_kcal_per_kg075=assumed,
        own_kcal_per_kg075=own,
    )


def _assumed(intake: AssumedIntake, grown_share: float | None) -> float | None:
    """Return what the table takes a dog like this one to eat [kcal/kg^0.75/day]."""
    if intake.mass_kg is None or intake.adult_mass_kg is None:
        return intake.kcal_per_kg075
    if grown_share is None:
        return None
    described = growth_rise(intake.mass_kg / intake.adult_mass_kg)
    return intake.kcal_per_kg075 * growth_rise(grown_share) / described


def _own_limits(row: Limits, factor: float, own_kcal_per_kg075: float) -> Limits:
    maximum = row.maximum
    if row.maximum_per_kg075 is not None:
        by_size = row.maximum_per_kg075 * 1000 / own_kcal_per_kg075
        maximum = by_size if maximum is None else min(maximum, by_size)
    minimum, recommended = (
        _capped(amount, factor, maximum) for amount in (row.minimum, row.recommended)
    )
    is_changed = (minimum, recommended, maximum) != (row.minimum, row.recommended, row.maximum)
    verified = "computed" if is_changed and row.verified == "read" else row.verified
    return replace(
        row, minimum=minimum, recommended=recommended, maximum=maximum, verified=verified
    )


def _capped(amount: float | None, factor: float, maximum: float | None) -> float | None:
    if amount is None:
        return None
    return amount * factor if maximum is None else min(amount * factor, maximum)
