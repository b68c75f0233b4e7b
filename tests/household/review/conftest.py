"""A household's diary for the review: written on a phone, summed up by the server.

The week under review is 2026-W47, Monday 16 to Sunday 22 November; the phones write on Wednesday
25 November 2026.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest

from household.accounts.models import Household
from household.review.actions import write_week
from household.review.models import Summary
from household.review.queries.weeks import Week, parse_week
from tests.household.conftest import Op, Phone, new_id

W47 = parse_week("2026-W47")
MONDAY = date(2026, 11, 16)
NOW = datetime(2026, 11, 25, 12, tzinfo=UTC)


def stamp(day: date, clock: str = "08:00") -> str:
    """An instant in UTC, which is London's time in November."""
    return f"{day.isoformat()}T{clock}:00Z"


def at(day: date, clock: str = "08:00") -> datetime:
    return datetime.fromisoformat(stamp(day, clock))


def biscuit(**more: Any) -> dict[str, Any]:
    """A food of 400 kcal per 100 g, so that a gram holds 4 kcal."""
    return {
        "name": "Biscuit",
        "style": "dry",
        "label": {"protein_pct": 25, "fat_pct": 15},
        "energy_kcal_per_100g": 400,
        **more,
    }


@dataclass
class Diary:
    """What one phone writes down. Everything is pushed by :meth:`push`, in order."""

    phone: Phone
    ops: list[Op] = field(default_factory=list)

    def write(self, entity: str, values: dict[str, Any], **more: Any) -> str:
        op = self.phone.op(entity, values, **more)
        self.ops.append(op)
        return str(op["rid"])

    def dog(self, name: str = "Pascoe", **more: Any) -> str:
        return self.write("dog", {"name": name, "sex": "male", **more}, occurred_at=0)

    def feed(
        self,
        dog: str,
        day: date,
        clock: str = "07:00",
        *,
        what: dict[str, str],
        offered_g: float = 100,
        left: dict[str, float] | None = None,
        appetite: str | None = None,
    ) -> str:
        """One meal of one dog; returns the meal's id."""
        meal = self.write("meal", {"day": day.isoformat(), "at": stamp(day, clock)})
        self.serve(dog, meal, what=what, offered_g=offered_g, left=left, appetite=appetite)
        return meal

    def serve(
        self,
        dog: str,
        meal: str,
        *,
        what: dict[str, str],
        offered_g: float = 100,
        left: dict[str, float] | None = None,
        appetite: str | None = None,
    ) -> str:
        said = {"left": left, "appetite": appetite}
        known = {name: value for name, value in said.items() if value is not None}
        return self.write(
            "serving", {"meal": meal, "dog": dog, "what": what, "offered_g": offered_g, **known}
        )

    def weigh(self, dog: str, day: date, mass_g: float, clock: str = "08:00") -> str:
        return self.write("weighing", {"dog": dog, "at": stamp(day, clock), "mass_g": mass_g})

    def note(self, dog: str, day: date, topic: str, clock: str = "09:00", **more: Any) -> str:
        values = {"dog": dog, "at": stamp(day, clock), "topic": topic, **more}
        return self.write("observation", values)

    def push(self) -> None:
        for start in range(0, len(self.ops), 500):
            results = self.phone.results(*self.ops[start : start + 500])
            assert {each["status"] for each in results} <= {"applied"}, results
        self.ops = []


@pytest.fixture
def diary(ines: Phone) -> Diary:
    return Diary(ines)


@pytest.fixture
def summed_up(cast: Any) -> Callable[..., dict[str, Any]]:
    """Sums a week of Larch Row up; answers with the bodies by dog."""

    def sum_up(week: Week = W47, now: datetime = NOW) -> dict[str, Any]:
        household = Household.objects.get(pk=cast.household.pk)
        write_week(household, week, now=now)
        return {
            str(summary.dog): summary.body
            for summary in Summary.living(household.pk).filter(week=str(week))
        }

    return sum_up


def days(count: int, first: date = MONDAY) -> list[date]:
    return [first + timedelta(days=n) for n in range(count)]


__all__ = ["MONDAY", "NOW", "W47", "Diary", "at", "biscuit", "days", "new_id", "stamp"]
