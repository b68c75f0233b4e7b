"""On which days a rota falls, and whose turn each is: worked out from the rota alone."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

WEEK = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")


@dataclass(frozen=True)
class Repetition:
    """When a duty comes again: every so many days [d], or on these days of the week.

    ``turns`` are members, one occurrence each, over and over; without any it is anyone's.
    """

    starts_on: date
    ends_on: date | None = None
    every_days: int | None = None
    weekdays: Sequence[str] = ()
    turns: Sequence[str] = ()


@dataclass(frozen=True)
class Turn:
    day: date
    assignee: str | None


def turns_between(repetition: Repetition, first: date, last: date) -> list[Turn]:
    """The occurrences from first to last day inclusive, each with whose turn it is."""
    start = max(first, repetition.starts_on)
    end = min(last, repetition.ends_on or last)
    days = [start + timedelta(days=number) for number in range((end - start).days + 1)]
    return [
        Turn(day, _assignee(repetition, _number(repetition, day)))
        for day in days
        if _falls_on(repetition, day)
    ]


def _falls_on(repetition: Repetition, day: date) -> bool:
    if repetition.every_days:
        return (day - repetition.starts_on).days % repetition.every_days == 0
    return WEEK[day.weekday()] in repetition.weekdays


def _number(repetition: Repetition, day: date) -> int:
    """How many occurrences lie before this one."""
    past_days = (day - repetition.starts_on).days
    if repetition.every_days:
        return past_days // repetition.every_days
    # Whole weeks are counted, not walked: a rota may be years old.
    weeks, rest_days = divmod(past_days, 7)
    rest = [repetition.starts_on + timedelta(days=number) for number in range(rest_days)]
    return weeks * len(set(repetition.weekdays)) + sum(
        WEEK[each.weekday()] in repetition.weekdays for each in rest
    )


def _assignee(repetition: Repetition, number: int) -> str | None:
    turns = repetition.turns
    return turns[number % len(turns)] if turns else None
