"""The kinds of the feeding app: the household's mealtimes, meals and each dog's serving."""

from household.sync.vocabulary import (
    EVERYONE,
    AtMost,
    First,
    Kind,
    boolean,
    choice,
    clock_time,
    date,
    grouped,
    instant,
    list_of,
    name,
    note,
    number,
    ref,
    text,
)

APPETITE = ("left_it", "picked", "slow", "keen")

MEALTIME = Kind(
    entity="mealtime",
    app="feeding",
    label="mealtime",
    model="feeding.Mealtime",
    first=First(),
    registers={
        "name": name("name", 40),
        "time": clock_time("time", required=True),
        "dogs": list_of("dogs", ref("dog", "dog", required=True), 100),
        "archived": boolean("archived"),
    },
)

MEAL = Kind(
    entity="meal",
    app="feeding",
    label="meal",
    model="feeding.Meal",
    first=First(days=9),
    write=EVERYONE,
    registers={
        "mealtime": ref("mealtime", "mealtime"),
        "name": text("name", 40),
        "day": date("day", required=True),
        "at": instant("fed at", required=True),
        "note": note(),
    },
)

SERVING = Kind(
    entity="serving",
    app="feeding",
    label="serving",
    model="feeding.Serving",
    first=First(with_owner=True),
    owner="meal",
    write=EVERYONE,
    registers={
        "meal": ref("meal", "meal", required=True, immutable=True),
        "dog": ref("dog", "dog", required=True, immutable=True),
        "what": grouped(
            "what was served",
            exactly_one=True,
            required=True,
            food=text("food", 64, min_length=1),
            batch=ref("batch", "batch"),
            bag=ref("bag", "bag"),
        ),
        "offered_g": number("offered", 0, 20_000, "g", required=True),
        "left": grouped(
            "left",
            exactly_one=True,
            g=number("left", 0, 20_000, "g"),
            share=number("share left", 0, 1),
        ),
        "appetite": choice("appetite", APPETITE),
        "note": note(),
    },
    checks=(AtMost("left.g", "offered_g"),),
)

KINDS = (MEALTIME, MEAL, SERVING)
