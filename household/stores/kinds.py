"""The kinds of the stores app: the household's own foods, lots and their ledger."""

from household.sync.vocabulary import (
    PLANNERS,
    Kind,
    boolean,
    choice,
    date,
    grouped,
    instant,
    integer,
    json_map,
    list_of,
    name,
    note,
    number,
    ref,
    text,
)

PLACES = ("freezer", "fridge", "shelf")
MOVES = ("stored", "thawed", "used", "discarded")
LEDGER_FLAGS = "household.stores.queries.ledger_flags"

FOOD = Kind(
    entity="food",
    app="stores",
    label="food",
    model="stores.Food",
    registers={
        "name": name("name", 60),
        "style": choice("style", ("dry", "cooked", "raw", "treat")),
        "label": grouped(
            "label",
            protein_pct=number("protein", 0, 100, "%", required=True),
            fat_pct=number("fat", 0, 100, "%", required=True),
            fibre_pct=number("fibre", 0, 100, "%"),
            moisture_pct=number("moisture", 0, 100, "%"),
            ash_pct=number("ash", 0, 100, "%"),
        ),
        "energy_kcal_per_100g": number("energy", 10, 950, "kcal/100 g"),
        "nutrients_per_100g": json_map(
            "nutrients per 100 g", number("amount", 0, 1_000_000, required=True), 80
        ),
        "note": note(),
        "archived": boolean("archived"),
    },
)

LOT = Kind(
    entity="lot",
    app="stores",
    label="lot",
    model="stores.Lot",
    see=PLANNERS,
    registers={
        "food": text("food", 64, min_length=1, required=True),
        "pack_mass_g": integer("mass of a pack", 1, 50_000, "g", required=True),
        "place": choice("place", PLACES),
        "place_name": text("name of the place", 40),
        "frozen_on": date("frozen on", not_future=True),
        "bought_on": date("bought on", not_future=True),
        "best_by": date("best by"),
        "price": grouped(
            "price",
            minor=integer("amount in the smallest coin", 0, 100_000_000, required=True),
            currency=text("currency", 3, min_length=3, required=True),
        ),
        "seller": text("seller", 80),
        "note": note(),
    },
)

# The ledger is never edited: a wrong entry is deleted and another one made.
MOVEMENT = Kind(
    entity="movement",
    app="stores",
    label="movement",
    model="stores.Movement",
    owner="of",
    owner_flags=LEDGER_FLAGS,
    registers={
        "of": ref("lot or bag", "lot", "bag", required=True, immutable=True),
        "what": choice("movement", MOVES, required=True, immutable=True),
        "mass_g": integer("mass", 1, 1_000_000, "g", required=True, immutable=True),
        "at": instant("moved at", required=True),
        "batch": ref("batch", "batch"),
        "serving": ref("serving", "serving"),
        "note": note(),
    },
)

COUNT = Kind(
    entity="count",
    app="stores",
    label="count",
    model="stores.Count",
    owner="of",
    see=PLANNERS,
    owner_flags=LEDGER_FLAGS,
    registers={
        "of": ref("lot or bag", "lot", "bag", required=True, immutable=True),
        "counted_g": integer("counted mass", 0, 1_000_000, "g", required=True, immutable=True),
        "knew": list_of(
            "movements and counts on screen",
            ref("entry", "movement", "count", required=True),
            5000,
            required=True,
            immutable=True,
        ),
        "at": instant("counted at", required=True),
    },
)

KINDS = (FOOD, LOT, MOVEMENT, COUNT)
