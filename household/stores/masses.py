"""Masses in store as members read them, in the words of the phone (frontend/src/ui/words.ts)."""

from household.accounts.models import Units
from nutrition.units import factor

POUNDS_FROM_G = 907  # Two pounds in whole grams; from there on ounces are hard to picture.
KILOGRAMS_FROM_G = 1000
SMALL_OZ = 0.5  # Below it a tenth of an ounce may be another mass.


def stock_words(mass_g: int, units: str) -> str:
    """A mass in a member's units: "500 g" or "2.2 kg"; "17.6 oz" or "4.74 lb"."""
    if units == Units.US:
        if mass_g >= POUNDS_FROM_G:
            return f"{mass_g * factor('g', 'lb'):.2f} lb"
        return f"{_ounces(mass_g)} oz"
    if mass_g < KILOGRAMS_FROM_G:
        return f"{mass_g} g"
    tenths = (mass_g + 50) // 100  # A half goes up, as on the phone.
    return f"{tenths / 10:g} kg"


def _ounces(mass_g: int) -> str:
    mass_oz = mass_g * factor("g", "oz")
    tenths = f"{mass_oz:.1f}"
    is_to_the_gram = round(float(tenths) * factor("oz", "g")) == mass_g
    return tenths if mass_oz >= SMALL_OZ or is_to_the_gram else f"{mass_oz:.2f}"
