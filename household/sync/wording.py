"""Values and limits as refusals say them."""

import re

from household.sync.vocabulary import Register

EXACT = 2**53  # Beyond it not every whole number is a float.
UNSTORABLE = re.compile("[\x00\ud800-\udfff]")  # No database keeps NUL or half a surrogate pair.


def shown(value: object) -> str:
    """A given value for a message: short enough to read, and fit to be stored and sent."""
    text = UNSTORABLE.sub("\ufffd", f"“{value}”" if isinstance(value, str) else _plain(value))
    return text if len(text) <= 60 else f"{text[:40]}… ({len(text)} characters)"


def said(register: Register) -> str:
    label = register.label or "value"
    return label[0].upper() + label[1:]


def _plain(value: object) -> str:
    names = {True: "true", False: "false", None: "null"}
    if value is None or isinstance(value, bool):
        return names[value]
    return str(value)


def figure(value: float | None) -> str:
    """A number without a needless fraction, and never rounded to look like its limit."""
    if value is None:
        return "any"
    if isinstance(value, float) and value.is_integer() and abs(value) < EXACT:
        return str(int(value))
    return shown(value)


def amount(value: float | None, register: Register) -> str:
    return f"{figure(value)} {register.unit}".rstrip()
