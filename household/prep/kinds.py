"""The kinds of the prep app: batches, what was weighed into them, their bags, and duties."""

from household.sync.vocabulary import (
    PLANNERS,
    Kind,
    choice,
    date,
    grouped,
    instant,
    integer,
    list_of,
    note,
    number,
    ref,
    text,
)

METHODS = ("ground", "chopped", "cooked", "bone_in")
STAGES = ("planned", "weighing", "mixed", "done")
DUTIES = ("pull", "grind", "feed", "weigh", "shop", "ring_vet", "other")

BATCH = Kind(
    entity="batch",
    app="prep",
    label="batch",
    model="prep.Batch",
    # The record itself has a made_at (when it was entered), hence the other column.
    columns={"made_at": "prepared_at"},
    registers={
        "number": integer("number", 1, 99_999),
        "name": text("name", 60, min_length=1),
        "method": choice("method", METHODS, required=True),
        "plate_mm": number("plate", 1, 30, "mm"),
        "planned_for": date("planned for"),
        "days": integer("days", 1, 60, "days"),
        "dogs": list_of("dogs", ref("dog", "dog", required=True), 100),
        "plan": list_of(
            "plan",
            grouped(
                "line",
                required=True,
                food=text("food", 64, min_length=1, required=True),
                mass_g=integer("mass", 1, 100_000, "g", required=True),
            ),
            100,
        ),
        "stage": choice("stage", STAGES, required=True),
        "yield_g": integer("yield", 1, 500_000, "g"),
        "made_at": instant("made at"),
        "cautions": list_of(
            "cautions read",
            grouped(
                "caution",
                required=True,
                what=text("caution", 80, min_length=1, required=True),
                at=instant("read at", required=True),
            ),
            100,
        ),
        "note": note(),
    },
)

WEIGH_IN = Kind(
    entity="weigh_in",
    app="prep",
    label="weigh-in",
    model="prep.WeighIn",
    owner="batch",
    registers={
        "batch": ref("batch", "batch", required=True, immutable=True),
        "food": text("food", 64, min_length=1, required=True),
        "mass_g": number("mass", 1, 100_000, "g", required=True),
        "lot": ref("lot", "lot"),
        "at": instant("weighed at", required=True),
    },
)

BAG = Kind(
    entity="bag",
    app="prep",
    label="bag",
    model="prep.Bag",
    owner="batch",
    registers={
        "batch": ref("batch", "batch", required=True, immutable=True),
        "mass_g": integer("mass of a bag", 1, 50_000, "g", required=True),
        "count": integer("number of bags", 1, 500, required=True),
        "place": choice("place", ("fridge", "freezer"), required=True),
        "packed_at": instant("packed at", required=True),
        "use_by": date("use by"),
        "note": note(),
    },
)

DUTY = Kind(
    entity="duty",
    app="prep",
    label="duty",
    model="prep.Duty",
    see=PLANNERS,
    registers={
        "what": choice("duty", DUTIES, required=True),
        "title": text("title", 120),
        "dog": ref("dog", "dog"),
        "due_at": instant("due at"),
        "assignee": ref("assignee", "member"),
        "done": grouped(
            "done", at=instant("done at", required=True), by=ref("done by", "member", required=True)
        ),
        "note": note(),
    },
)

KINDS = (BATCH, WEIGH_IN, BAG, DUTY)
