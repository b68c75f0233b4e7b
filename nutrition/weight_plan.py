"""A plan towards the ideal weight, to be agreed with a vet: how heavy, how fast, how much energy.

The sources disagree on the ideal weight and on the energy to start with: all are carried.
"""

from dataclasses import dataclass
from math import log

from nutrition.coefficients import Coefficient, load_energy
from nutrition.energy_equations import check_range, metabolic_mass_kg075, resting_kcal
from nutrition.errors import UnknownKeyError

GOALS = ("lose", "gain", "hold")
# Why no figures are given: somebody has to judge first who sees the dog.
WHY_NOT = ("", "no score", "growing", "breeding", "old", "muscle", "thin")
MUSCLE = ("normal", "mild", "moderate", "marked")


@dataclass(frozen=True, slots=True)
class IdealMass:
    """The ideal weight by one method [kg]."""

    method: str
    mass_kg: float
    source: str
    locator: str
    verified: str


@dataclass(frozen=True, slots=True)
class StartEnergy:
    """The energy to start with by one source [kcal/day], at the ideal weight by the scores."""

    method: str
    energy_kcal: float
    low_kcal: float
    high_kcal: float
    source: str
    locator: str
    verified: str


@dataclass(frozen=True, slots=True)
class WeightPlan:
    """What published methods say of one dog's way to its ideal weight.

    `why_not` is empty, or one of WHY_NOT: then there are no figures to start with. Rates are in
    percent of body weight a week, and None where no source gives one.
    """

    goal: str
    why_not: str
    ideal: tuple[IdealMass, ...]
    starts: tuple[StartEnergy, ...]
    rate_low_pct: float | None
    rate_high_pct: float | None
    weeks_low: float | None
    weeks_high: float | None


def ideal_masses(mass_kg: float, *, condition_score: int) -> tuple[IdealMass, ...]:
    """Return the ideal weight by the two published methods, which differ by 3 to 5 %.

    Parameters
    ----------
    mass_kg : float
        Body weight now [kg].
    condition_score : int
        Body condition score [-], 1 to 9.

    Returns
    -------
    tuple of IdealMass
        By points (10 % each) and by fat (20 % at the ideal).

    Raises
    ------
    InputError
        If a figure is outside its range.

    References
    ----------
    AAHA 2014: each point over 5 is 10 % over ideal; lean mass kept and fat brought to 20 % (the
    formula from memory).

    Examples
    --------
    >>> [round(each.mass_kg, 2) for each in ideal_masses(30, condition_score=7)]
    [25.0, 26.25]
    """
    check_range("mass_kg", mass_kg, 0.05, 150, "kg")
    check_range("condition_score", condition_score, 1, 9, "of 9")
    value = load_energy().value
    over = condition_score - value("condition.ideal.highest")
    point = load_energy()["condition.per_point"]
    by_points = mass_kg / (1 + point.value / 100 * over)
    ideal_fat = value("condition.fat.ideal") / 100
    fat = ideal_fat + value("condition.fat.per_point") / 100 * over
    by_fat = mass_kg * (1 - fat) / (1 - ideal_fat)
    # Both formulas were read, or remembered, for dogs that are too heavy.
    points_mark = point.verified if over >= 0 else "memory"
    return (
        IdealMass("points", by_points, point.source, point.locator, points_mark),
        IdealMass("fat", by_fat, point.source, point.locator, "memory"),
    )


def weight_plan(
    mass_kg: float,
    *,
    condition_score: int | None,
    maintenance_kcal: float,
    intake_kcal: float | None = None,
    age_band: str = "adult",
    is_breeding: bool = False,
    muscle: str | None = None,
    is_agreed_with_vet: bool = False,
) -> WeightPlan:
    """Return the plan that published methods give, or why none is given.

    Parameters
    ----------
    mass_kg : float
        Body weight now [kg].
    condition_score : int or None
        Body condition score [-], 1 to 9; 4 and 5 are ideal.
    maintenance_kcal : float
        The dog's need at its weight now [kcal/day].
    intake_kcal : float or None
        What it truly eats now [kcal/day]; None leaves out the start that is reckoned from it.
    age_band : str
        puppy, young, adult or senior [-].
    is_breeding : bool
        Whether the bitch is in whelp or suckling [-].
    muscle : str or None
        normal, mild, moderate or marked loss [-].
    is_agreed_with_vet : bool
        Whether a vet has agreed to a plan [-]; an old dog, one that lost muscle and a very thin
        one get no figures without.

    Returns
    -------
    WeightPlan
        Figures [kg, kcal/day, percent a week, weeks].

    Raises
    ------
    InputError
        If a figure is outside its range.
    UnknownKeyError
        If the muscle condition is not known.
    """
    check_range("mass_kg", mass_kg, 0.05, 150, "kg")
    check_range("maintenance_kcal", maintenance_kcal, 10, 25000, "kcal/day")
    if muscle is not None and muscle not in MUSCLE:
        raise UnknownKeyError("muscle", muscle, MUSCLE)
    barred = _barred(condition_score, age_band, is_breeding)
    if condition_score is None or barred:
        return _without(barred, (), "hold")
    ideal = ideal_masses(mass_kg, condition_score=condition_score)
    goal = _goal(condition_score)
    if goal == "hold":
        return _without("", ideal, goal)
    vet_first = _vet_first(condition_score, age_band, muscle)
    if vet_first and not is_agreed_with_vet:
        return _without(vet_first, ideal, goal)
    if goal == "gain":
        starts = _gain(ideal[0].mass_kg)
        return WeightPlan(goal, "", ideal, starts, None, None, None, None)
    value = load_energy().value
    slow, fast = value("loss.rate.lowest"), value("loss.rate.highest")
    starts = _loss(ideal[0].mass_kg, maintenance_kcal, intake_kcal)
    shares = [each.mass_kg / mass_kg for each in ideal]
    weeks = _weeks(max(shares), fast), _weeks(min(shares), slow)
    return WeightPlan(goal, "", ideal, starts, slow, fast, *weeks)


def _barred(score: int | None, age_band: str, is_breeding: bool) -> str:
    """Return why the method is not for this dog at all."""
    if is_breeding:
        return "breeding"
    if age_band == "puppy":
        # Condition scoring is not reliable in puppies: Veterinary Focus 31.3, 2021.
        return "growing"
    return "no score" if score is None else ""


def _vet_first(score: int, age_band: str, muscle: str | None) -> str:
    """Return why a vet has to look first."""
    if age_band == "senior":
        return "old"
    if muscle in ("moderate", "marked"):
        return "muscle"
    return "thin" if score <= 2 else ""


def _goal(score: int) -> str:
    value = load_energy().value
    if score > value("condition.ideal.highest"):
        return "lose"
    return "gain" if score < value("condition.ideal.lowest") else "hold"


def _without(why_not: str, ideal: tuple[IdealMass, ...], goal: str) -> WeightPlan:
    return WeightPlan(goal, why_not, ideal, (), None, None, None, None)


def _weeks(share: float, rate_pct: float) -> float:
    """Return how long it takes to reach a share of the weight at a steady rate [week]."""
    return log(share) / log(1 - rate_pct / 100)


def _loss(
    ideal_kg: float, maintenance_kcal: float, intake_kcal: float | None
) -> tuple[StartEnergy, ...]:
    constants = load_energy()
    resting = resting_kcal(ideal_kg)
    shares = (
        ("intake", "loss.start.intake", intake_kcal),
        ("resting_2014", "loss.start.resting.2014", resting),
        ("resting_2021", "loss.start.resting.2021", resting),
        ("maintenance", "loss.start.maintenance", maintenance_kcal),
    )
    starts = [
        _start(method, constants[key], constants[key].value / 100 * whole)
        for method, key, whole in shares
        if whole is not None
    ]
    measured, spread = constants["loss.start.measured"], constants["loss.start.measured.spread"]
    size = metabolic_mass_kg075(ideal_kg)
    mean = measured.value * size
    starts.append(_start("measured", measured, mean, spread.value * size))
    return tuple(starts)


def _start(
    method: str, item: Coefficient, energy_kcal: float, spread_kcal: float = 0.0
) -> StartEnergy:
    return StartEnergy(
        method,
        energy_kcal,
        energy_kcal - spread_kcal,
        energy_kcal + spread_kcal,
        item.source,
        item.locator,
        item.verified,
    )


def _gain(ideal_kg: float) -> tuple[StartEnergy, ...]:
    low, high = (load_energy()[f"gain.start.{end}"] for end in ("lowest", "highest"))
    resting = resting_kcal(ideal_kg)
    middle = (low.value + high.value) / 2 * resting
    return (_start("gain", low, middle, (high.value - low.value) / 2 * resting),)
