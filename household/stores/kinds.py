"""The kinds of the stores app: the household's own foods, lots and their ledger."""

from household.sync.vocabulary import (
    PLANNERS,
    First,
    Kind,
    Needs,
    OnlyWith,
    SumAtMost,
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
from nutrition.shapes import FORMS

PLACES = ("freezer", "fridge", "shelf")
MOVES = ("stored", "thawed", "refrozen", "used", "discarded")
# The counter top is no way to thaw: nothing is entered for it.
THAWS = ("fridge", "cold_water")
# [mm]. Common practice, no source: a slice is thicker, no pack of a household is.
THICKNESS_MM = (1, 500)
STYLES = ("dry", "treat", "wet", "cooked", "raw")
SERVING_UNITS = ("tablet", "capsule", "ml", "scoop", "teaspoon", "drop", "piece", "cup", "g")
AMOUNT_UNITS = ("pct", "g", "mg", "µg", "IU")
BASES = ("as_fed", "dry_matter")
# Labels round each figure, so half a percent too much is still a label and not a slip.
MOST_PCT = 100.5
SOLIDS = ("protein_pct", "fat_pct", "fibre_pct", "ash_pct")
LEDGER_FLAGS = "household.stores.queries.ledger_flags"

FOOD = Kind(
    entity="food",
    app="stores",
    label="food",
    model="stores.Food",
    first=First(),
    registers={
        "name": name("name", 60),
        "style": choice("style", STYLES),
        "label": grouped(
            "label",
            protein_pct=number("protein", 0, 100, "%", required=True),
            fat_pct=number("fat", 0, 100, "%", required=True),
            fibre_pct=number("fibre", 0, 100, "%"),
            moisture_pct=number("moisture", 0, 100, "%"),
            ash_pct=number("ash", 0, 100, "%"),
            means=choice("what the figures mean", ("typical", "guaranteed")),
            basis=choice("basis", BASES),
        ),
        # Amounts are kept as printed: what they come to per 100 g is worked out where it is read.
        "lines": list_of(
            "lines of the label",
            grouped(
                "line",
                required=True,
                nutrient=text("nutrient", 40, min_length=1, required=True),
                amount=number("amount", 0, 1_000_000_000, required=True),
                unit=choice("unit", AMOUNT_UNITS, required=True),
                per=choice("per", ("100g", "kg", "serving"), required=True),
                form=text("form", 40, min_length=1),
                bound=choice("bound", ("min", "max")),
                basis=choice("basis", BASES),
            ),
            80,
        ),
        "serving": grouped(
            "household measure",
            unit=choice("unit", SERVING_UNITS, required=True),
            mass_g=number("mass of one", 0.001, 2000, "g", required=True),
            count=number("how many the label's amounts are for", 0.1, 100),
        ),
        "copied_from": text("copied from", 64, min_length=1),
        "bone_share_pct": number("share of bone", 0, 100, "%"),
        "energy_kcal_per_100g": number("energy", 10, 950, "kcal/100 g"),
        "nutrients_per_100g": json_map(
            "nutrients per 100 g", number("amount", 0, 1_000_000, required=True), 80
        ),
        "note": note(),
        "archived": boolean("archived"),
    },
    checks=(
        SumAtMost("label", SOLIDS, MOST_PCT),
        SumAtMost("label", (*SOLIDS, "moisture_pct"), MOST_PCT, unless=("basis", "dry_matter")),
        Needs("lines", when=("unit", "IU"), part="form"),
        Needs("lines", when=("per", "serving"), other="serving"),
    ),
)

LOT = Kind(
    entity="lot",
    app="stores",
    label="lot",
    model="stores.Lot",
    first=First(days=120),
    see=PLANNERS,
    registers={
        "food": text("food", 64, min_length=1, required=True),
        "pack_mass_g": integer("mass of a pack", 1, 50_000, "g", required=True),
        "place": choice("place", PLACES),
        "place_name": text("name of the place", 40),
        "shelf": text("shelf", 40),
        "form": choice("form", FORMS),
        "thickness_mm": number("thickness", *THICKNESS_MM, "mm"),
        "own": boolean("of your own"),
        "frozen_on": date("frozen on", not_future=True),
        "bought_on": date("bought on", not_future=True),
        "best_by": date("best by"),
        "price": grouped(
            "price",
            minor=integer("amount in the smallest coin", 0, 100_000_000, required=True),
            currency=text("currency", 3, min_length=3, required=True),
        ),
        "seller": text("seller", 80),
        "bought_as": grouped(
            "bought as",
            packs=integer("packs", 1, 1000, required=True),
            pack_mass_g=integer("mass of one", 1, 500_000, "g", required=True),
        ),
        "divided_from": ref("divided from", "lot"),
        "note": note(),
    },
)

# The ledger is never edited: a wrong entry is deleted and another one made.
MOVEMENT = Kind(
    entity="movement",
    app="stores",
    label="movement",
    model="stores.Movement",
    first=First(with_owner=True),
    owner="of",
    owner_flags=LEDGER_FLAGS,
    registers={
        "of": ref("lot or bag", "lot", "bag", required=True, immutable=True),
        "what": choice("movement", MOVES, required=True, immutable=True),
        "mass_g": integer("mass", 1, 1_000_000, "g", required=True, immutable=True),
        "at": instant("moved at", required=True),
        "batch": ref("batch", "batch"),
        "serving": ref("serving", "serving"),
        "pull": ref("pull", "pull", immutable=True),
        "way": choice("way of thawing", THAWS),
        "into": ref("divided into", "lot"),
        "note": note(),
    },
    checks=(OnlyWith("way", {"what": "thawed"}, "only what is taken out to thaw thaws."),),
)

COUNT = Kind(
    entity="count",
    app="stores",
    label="count",
    model="stores.Count",
    first=First(with_owner=True),
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
