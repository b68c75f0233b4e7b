"""Small parts of sentences: days, counts and shares in plain kitchen words.

Masses stay out of sentences: each member reads them in their own units, from the figures beside.
"""

from collections.abc import Sequence
from datetime import date

MINUS = "−"
NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
MONTHS = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip
OBJECTS = {"female": "her", "male": "him"}
POSSESSIVES = {"female": "her", "male": "his"}


def day_words(day: date) -> str:
    """A day in words: Tuesday 3 November."""
    return f"{WEEKDAYS[day.weekday()]} {day.day} {MONTHS[day.month - 1]}"


def number(count: int) -> str:
    """A small count in words, a larger one in figures."""
    return NUMBERS[count] if 0 <= count < len(NUMBERS) else str(count)


def counted(count: int, one: str, many: str | None = None) -> str:
    """A count with its noun: one meal, 14 meals."""
    return f"{number(count)} {one if count == 1 else many or one + 's'}"


def listed(words: Sequence[str]) -> str:
    """Words as a list: a, b and c."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"


def percent(share: float) -> str:
    """A share [-] as a whole percentage."""
    return f"{round(share * 100)} %"


def signed_percent(value_pct: float) -> str:
    """A change [%] with its sign and one decimal: +0.4 %, −1.2 %, 0.0 %."""
    rounded = round(value_pct, 1)
    sign = MINUS if rounded < 0 else "+" if rounded > 0 else ""
    return f"{sign}{abs(rounded):.1f} %"


def capital(sentence: str) -> str:
    """The sentence with its first letter raised, the rest untouched."""
    return sentence[:1].upper() + sentence[1:]


def her(sex: str | None) -> str:
    """The word for the dog as an object."""
    return OBJECTS.get(sex or "", "the dog")


def her_own(sex: str | None) -> str:
    """The word for what belongs to the dog."""
    return POSSESSIVES.get(sex or "", "its")
