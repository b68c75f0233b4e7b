"""The kinds of the prep app: batches, what was weighed in, bags, pulls, duties, rotas, travels."""

from household.prep.rota import WEEK
from household.stores.kinds import THICKNESS_MM
from household.sync.vocabulary import (
    PLANNERS,
    First,
    InOrder,
    Kind,
    boolean,
    choice,
    clock_time,
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
from nutrition.shapes import FORMS

METHODS = ("ground", "chopped", "cooked", "bone_in", "dry_mix")
BONE_FELT = ("none", "pieces")
STAGES = ("planned", "weighing", "mixed", "done")
DUTIES = ("pull", "grind", "feed", "weigh", "shop", "ring_vet", "other")

BATCH = Kind(
    entity="batch",
    app="prep",
    label="batch",
    model="prep.Batch",
    first=First(days=120),
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
        # What somebody saw and felt once it was mixed; bone is asked only where some went in.
        "mix": grouped(
            "mix checked",
            even=boolean("even all through", required=True),
            bone=choice("bone", BONE_FELT),
            at=instant("checked at", required=True),
            by=ref("checked by", "member", required=True),
        ),
        "favourite": boolean("favourite"),
        "note": note(),
    },
)

WEIGH_IN = Kind(
    entity="weigh_in",
    app="prep",
    label="weigh-in",
    model="prep.WeighIn",
    first=First(with_owner=True),
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
    first=First(with_owner=True),
    owner="batch",
    registers={
        "batch": ref("batch", "batch", required=True, immutable=True),
        "mass_g": integer("mass of a bag", 1, 50_000, "g", required=True),
        "count": integer("number of bags", 1, 500, required=True),
        "place": choice("place", ("fridge", "freezer"), required=True),
        "place_name": text("name of the place", 40),
        "shelf": text("shelf", 40),
        "form": choice("form", FORMS),
        "thickness_mm": number("thickness", *THICKNESS_MM, "mm"),
        "packed_at": instant("packed at", required=True),
        "use_by": date("use by"),
        "note": note(),
    },
)

# What was moved stands in the ledger of the lot or bag, one movement to a pack; a pull without
# them is still to do. So nothing is done without being in the ledger, or counted in it twice.
PULL = Kind(
    entity="pull",
    app="prep",
    label="pull",
    model="prep.Pull",
    first=First(days=60),
    see=PLANNERS,
    registers={
        "of": ref("lot or bag", "lot", "bag", required=True, immutable=True),
        "pack_mass_g": integer("mass of a pack", 1, 50_000, "g", required=True, immutable=True),
        "packs": integer("number of packs", 1, 500, required=True),
        "needed_at": instant("needed at", required=True),
        "batch": ref("batch", "batch", immutable=True),
        "mealtime": ref("mealtime", "mealtime", immutable=True),
        "assignee": ref("assignee", "member"),
        "note": note(),
    },
)

DUTY = Kind(
    entity="duty",
    app="prep",
    label="duty",
    model="prep.Duty",
    first=First(days=60),
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

# A duty that comes again. Its days are worked out, never stored; what somebody did about one of
# them is a duty at the slot id of rota and day, so that two phones make the same one once.
ROTA = Kind(
    entity="rota",
    app="prep",
    label="rota",
    model="prep.Rota",
    first=First(),
    see=PLANNERS,
    registers={
        "what": choice("duty", DUTIES, required=True),
        "title": text("title", 120),
        "dog": ref("dog", "dog"),
        "starts_on": date("first day", required=True),
        "ends_on": date("last day"),
        "time": clock_time("time", required=True),
        "repeats": grouped(
            "repeats",
            exactly_one=True,
            required=True,
            every_days=integer("every", 1, 366, "days"),
            weekdays=list_of("weekdays", choice("weekday", WEEK, required=True), 7, min_length=1),
        ),
        # In this order, one occurrence each; nobody means anyone.
        "turns": list_of("in turns", ref("member", "member", required=True), 20),
        "note": note(),
    },
)

# Days on which every meal offers dry food. Each period is a record of its own, so that two phones
# which enter one each without network have both and disagree about nothing. A sitter sees it,
# since it says what the dogs are fed.
TRAVEL = Kind(
    entity="travel",
    app="prep",
    label="travelling",
    model="prep.Travel",
    first=First(),
    registers={
        "days": grouped(
            "days",
            required=True,
            first=date("first day", required=True),
            last=date("last day", required=True),
        ),
        "food": ref("dry food", "food", required=True),
    },
    checks=(InOrder("days", ("first", "last")),),
)

KINDS = (BATCH, WEIGH_IN, BAG, PULL, DUTY, ROTA, TRAVEL)
