"""What was written about stool and vomiting in a week."""

from collections.abc import Sequence
from datetime import date, timedelta
from typing import TypedDict

from household.review.queries import wording
from household.review.queries.records import Observation
from household.review.queries.weeks import Week

# Hard to liquid, in words; numbers would borrow a chart, and the charts run in opposite directions.
WORDS = ("dry_pellets", "firm", "shaped_moist", "soft_shaped", "soft_heap", "liquid")
NAMES = {
    "dry_pellets": "dry pellets",
    "firm": "firm",
    "shaped_moist": "shaped and moist",
    "soft_shaped": "soft but shaped",
    "soft_heap": "a soft heap",
    "liquid": "liquid",
}
FLAG_NAMES = {
    "straining": "straining",
    "urgent": "urgent",
    "mucus": "mucus",
    "fresh_blood": "fresh blood",
    "black_tarry": "black and tarry",
    "pale_chalky": "pale and chalky",
    "bone_bits": "bits of bone",
    "undigested": "undigested pieces",
    "worms": "worms",
    "grass": "grass",
}
BLOOD = frozenset({"fresh_blood", "black_tarry"})


class StoolPart(TypedDict):
    counts: dict[str, int]
    flags: dict[str, int]
    sentence: str


def in_week(observations: Sequence[Observation], topic: str, week: Week) -> list[Observation]:
    """The week's notes on one topic, oldest first."""
    return between(observations, topic, week.monday, week.sunday)


def between(
    observations: Sequence[Observation], topic: str, first: date, last: date
) -> list[Observation]:
    """The notes on one topic from the first to the last day, oldest first."""
    kept = [o for o in observations if o.topic == topic and first <= o.day <= last]
    return sorted(kept, key=lambda o: o.at)


def stool_part(observations: Sequence[Observation], week: Week) -> StoolPart:
    """The week's stool notes, counted by word and by flag."""
    notes = in_week(observations, "stool", week)
    counts = {word: sum(o.word == word for o in notes) for word in WORDS}
    seen = {flag: sum(flag in o.flags for o in notes) for flag in FLAG_NAMES}
    flags = {flag: count for flag, count in seen.items() if count}
    return {"counts": counts, "flags": flags, "sentence": _sentence(len(notes), counts, flags)}


def _sentence(notes: int, counts: dict[str, int], flags: dict[str, int]) -> str:
    if not notes:
        return "No stool was written down."
    words = [f"{NAMES[w]} {wording.number(n)}" for w, n in counts.items() if n]
    marks = [f"{FLAG_NAMES[f]} {wording.number(n)}" for f, n in flags.items()]
    text = wording.capital(wording.counted(notes, "note"))
    text += f": {wording.listed(words)}." if words else ", none with a word for it."
    return f"{text} With {wording.listed(marks)}." if marks else text


def most_within_a_day(
    observations: Sequence[Observation], topic: str, week: Week
) -> tuple[int, Observation | None]:
    """The most notes on a topic inside any 24 hours that reach into the week, and the first of
    those; 0 and None without notes.

    The night from Sunday to Monday lies in two weeks; what happens in it is told in the second.
    """
    notes = between(observations, topic, week.monday - timedelta(days=1), week.sunday)
    best, first = 0, None
    for i, start in enumerate(notes):
        inside = [o for o in notes[i:] if o.at - start.at < timedelta(hours=24)]
        if inside[-1].day >= week.monday and len(inside) > best:
            best, first = len(inside), start
    return best, first
