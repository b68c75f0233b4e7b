"""A household with years behind it, made through the API as its phones would have made it."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from typing import Any

from tests.browser.api import Api

DOGS = ("Morag", "Tansy", "Pascoe")
MEALTIMES = {"Breakfast": "06:30", "Supper": "17:30"}
DAYS_PER_BATCH = 14
FOODS = ("usda-13323", "usda-05062", "usda-11457")
BATCH = 500
Op = dict[str, Any]


def write_history(api: Api, *, days: int) -> int:
    """Writes so many days up to yesterday; returns how many records that makes."""
    ops = list(_ops(api, days))
    for start in range(0, len(ops), BATCH):
        api.push(ops[start : start + BATCH])
    return len(ops)


def _ops(api: Api, days: int) -> Iterator[Op]:
    now = datetime.now(UTC)
    begun = now - timedelta(days=days)

    def op(moment: datetime, entity: str, **values: Any) -> Op:
        return {**api.op(entity, values), "occurred_at": int(moment.timestamp() * 1000)}

    dogs = [op(begun, "dog", name=name, activity="low", adult_weight_g=17_000) for name in DOGS]
    rids = [str(dog["rid"]) for dog in dogs]
    mealtimes = [
        op(begun, "mealtime", name=name, time=time, dogs=rids) for name, time in MEALTIMES.items()
    ]
    yield from [*dogs, *mealtimes]
    bags: list[str] = []
    for day in range(days):
        moment = begun + timedelta(days=day)
        at = f"{moment:%Y-%m-%dT%H:%M:%SZ}"
        if day % DAYS_PER_BATCH == 0:
            bags = []
            for made in _batch(op, moment, at, number=day // DAYS_PER_BATCH + 1):
                bags += [str(made["rid"])] if made["entity"] == "bag" else []
                yield made
        if day % 7 == 0:
            for dog in rids:
                yield op(moment, "weighing", dog=dog, at=at, mass_g=17_000 + day % 400)
        for mealtime in mealtimes:
            name = mealtime["set"]["name"]
            fed = {"mealtime": mealtime["rid"], "name": name, "day": at[:10], "at": at}
            meal = op(moment, "meal", **fed)
            yield meal
            bag = bags[day % len(bags)]
            for dog in rids:
                part = {"meal": meal["rid"], "dog": dog, "what": {"bag": bag}, "offered_g": 240}
                serving = op(moment, "serving", **part)
                taken = {"of": bag, "what": "used", "mass_g": 240, "at": at}
                yield from (serving, op(moment, "movement", serving=serving["rid"], **taken))


def _batch(op: Any, moment: datetime, at: str, *, number: int) -> Iterator[Op]:
    batch = op(moment, "batch", number=number, method="ground", stage="done", made_at=at)
    yield batch
    for food in FOODS:
        yield op(moment, "weigh_in", batch=batch["rid"], food=food, mass_g=7000, at=at)
    for _ in range(7):
        put_by = {"mass_g": 3000, "count": 1, "place": "freezer", "packed_at": at}
        yield op(moment, "bag", batch=batch["rid"], **put_by)
