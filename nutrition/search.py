"""Finding a food by what people call it: its name, its other names, a slip of one letter."""

import re
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass

WORD = re.compile(r"[a-z0-9]+")
SHORT = 3  # Shorter words have no plural worth cutting.
LEAST_FOR_A_SLIP = 4  # In three letters any other word is one slip away.
LETTERS = {"ß": "ss", "æ": "ae", "œ": "oe", "ø": "o", "ł": "l", "đ": "d"}
SMALL_WORDS = {"a", "an", "and", "of", "the", "with"}
HOW = ("name", "synonym", "words", "begins", "synonym_begins", "group", "slip")
# Another name and a whole word of the name are worth the same: what is in store decides.
RANK = {how: rank for rank, how in enumerate(HOW)} | {"words": HOW.index("synonym")}
# What people call a whole group, beside the name it has here.
GROUP_WORDS = dict.fromkeys(("heart", "liver", "kidney", "organ", "tripe"), "offal")


def group_words(key: str, name: str) -> str:
    """Return everything a group of foods is called."""
    return " ".join(part for part in (name, GROUP_WORDS.get(key, "")) if part)


@dataclass(frozen=True, slots=True)
class Entry:
    """What can be found: a food with its names, and what puts it before others."""

    key: str
    name: str
    also: tuple[str, ...] = ()
    group: str = ""
    is_own: bool = False
    is_in_store: bool = False


@dataclass(frozen=True, slots=True)
class Found:
    """An entry that answers to what was typed; `how` is one of HOW, the best first."""

    key: str
    how: str


def words_of(text: str) -> list[str]:
    """Return the words of a text: lower case, without accents, longer words in the singular.

    Examples
    --------
    >>> words_of("Pâté, Hearts and Berries")
    ['pate', 'heart', 'and', 'berry']
    """
    plain = "".join(LETTERS.get(letter, letter) for letter in text.lower())
    bare = "".join(
        letter
        for letter in unicodedata.normalize("NFD", plain)
        if not unicodedata.category(letter).startswith("M")
    )
    return [_singular(word) for word in WORD.findall(bare)]


def _singular(word: str) -> str:
    if len(word) <= SHORT:
        return word
    if word.endswith("ies"):
        return word[:-3] + "y"
    if word.endswith(("oes", "ches", "shes", "xes", "sses")):
        return word[:-2]
    return word[:-1] if word.endswith("s") and word[-2] != "s" else word


def search(entries: Sequence[Entry], typed: str) -> list[Found]:
    """Return the entries that answer to what was typed, the best first.

    The name itself comes first, then another name or whole words, then beginnings of words; a
    slip of one letter counts only while nothing else is found. Among equals what is in store
    comes first, then the household's own, then names that begin with it, then the shortest.
    """
    wanted = _wanted(typed)
    ranked: list[tuple[int, _Names]] = []
    for entry in entries:
        names = _Names(entry)
        how = _how(names, wanted)
        if how is not None:
            ranked.append((how, names))
    if not ranked:
        slip = len(HOW) - 1
        ranked = [(slip, names) for names in map(_Names, entries) if _slips(names, wanted)]
    ranked.sort(key=lambda found: _order(found[0], found[1], wanted))
    return [Found(names.entry.key, HOW[how]) for how, names in ranked]


def _wanted(typed: str) -> list[str]:
    words = words_of(typed)
    return [word for word in words if word not in SMALL_WORDS] or words


class _Names:
    """The words of an entry, made once for a search."""

    def __init__(self, entry: Entry) -> None:
        self.entry = entry
        self.name = _wanted(entry.name)
        self.also = [_wanted(name) for name in entry.also]
        self.group = words_of(entry.group)


def _how(names: _Names, wanted: list[str]) -> int | None:
    if not wanted:
        return HOW.index("group")
    if sorted(wanted) == sorted(names.name):
        return HOW.index("name")
    if any(sorted(wanted) == sorted(other) for other in names.also):
        return HOW.index("synonym")
    if all(word in names.name for word in wanted):
        return HOW.index("words")
    if _begin(wanted, names.name) or _joined(wanted, names.name):
        return HOW.index("begins")
    if any(_begin(wanted, [*names.name, *other]) or _joined(wanted, other) for other in names.also):
        return HOW.index("synonym_begins")
    everything = [*names.name, *(word for other in names.also for word in other), *names.group]
    return HOW.index("group") if _begin(wanted, everything) else None


def _begin(wanted: list[str], words: list[str]) -> bool:
    return all(any(word.startswith(each) for word in words) for each in wanted)


def _joined(wanted: list[str], words: list[str]) -> bool:
    # "oxheart" for "ox heart", "egg shell" for "eggshell".
    together = "".join(wanted)
    if len(wanted) == 1:
        return len(together) > SHORT and "".join(words).startswith(together)
    return any(word.startswith(together) for word in words)


def _slips(names: _Names, wanted: list[str]) -> bool:
    choices = [[*names.name, *names.group], *([*names.name, *other] for other in names.also)]
    return any(
        all(any(_is_near(each, word) for word in words) for each in wanted) for words in choices
    )


def _is_near(typed: str, word: str) -> bool:
    if word.startswith(typed):
        return True
    if len(typed) < LEAST_FOR_A_SLIP:
        return False
    ends = (len(word), len(typed), len(typed) + 1)
    return any(is_one_slip(typed, word[:end]) for end in ends)


def is_one_slip(typed: str, word: str) -> bool:
    """Return whether one letter is missing, added, wrong, or two neighbours are swapped."""
    if typed == word:
        return True
    if abs(len(typed) - len(word)) > 1:
        return False
    start = 0
    while start < min(len(typed), len(word)) and typed[start] == word[start]:
        start += 1
    a, b = typed[start:], word[start:]
    return (
        a[1:] == b
        or a == b[1:]
        or a[1:] == b[1:]
        or (len(a) > 1 and len(b) > 1 and a[0] == b[1] and a[1] == b[0] and a[2:] == b[2:])
    )


def _order(how: int, names: _Names, wanted: list[str]) -> tuple[object, ...]:
    entry = names.entry
    begins = bool(wanted) and bool(names.name) and names.name[0].startswith(wanted[0])
    return (
        RANK[HOW[how]],
        not entry.is_in_store,
        not entry.is_own,
        not begins,
        len(names.name) if wanted else 0,
        " ".join(names.name),
        entry.key,
    )
