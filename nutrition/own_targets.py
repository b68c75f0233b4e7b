"""One dog's own limits: by what it ate where that can be believed, else by what it needs."""

from nutrition.energy import Requirement
from nutrition.standards import Targets, for_dog

# An average under the resting need says that meals were not written down, or that the dog is ill;
# one over eleven times it (AAHA 2021: the heaviest work) that a mass was mistyped. Neither tells
# how much the dog's food must hold. A choice of this project.
LEAST_OF_RESTING, MOST_OF_RESTING = 1.0, 11.0  # [-]


def own_targets(
    table: Targets,
    need: Requirement | None,
    *,
    eaten_kcal_per_day: float | None = None,
    grown_share: float | None = None,
) -> Targets:
    """Return the limits of one dog, beside the table's.

    Parameters
    ----------
    table : Targets
        The edition's limits for the dog's stage [nutrient unit/1000 kcal].
    need : Requirement or None
        What the dog needs in a day [kcal]; without it the table's limits stand.
    eaten_kcal_per_day : float or None
        What it ate on an average day [kcal/day], None when that is not known.
    grown_share : float or None
        Weight now over expected adult weight [-], for a growing dog.

    Returns
    -------
    Targets
        As standards.for_dog, by the intake where it lies between one and eleven times the
        resting need, else by the requirement.
    """
    if need is None:
        return table
    energy_kcal = need.energy_kcal
    if eaten_kcal_per_day is not None:
        share = eaten_kcal_per_day / need.resting_kcal
        if LEAST_OF_RESTING <= share <= MOST_OF_RESTING:
            energy_kcal = eaten_kcal_per_day
    return for_dog(
        table,
        energy_kcal=energy_kcal,
        metabolic_mass_kg075=need.metabolic_mass_kg075,
        grown_share=grown_share,
    )
