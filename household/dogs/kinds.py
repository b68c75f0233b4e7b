"""The kinds of the dogs app: the dog and what is noted about it over time."""

from household.sync.vocabulary import (
    EVERYONE,
    ChoiceBy,
    Kind,
    boolean,
    choice,
    date,
    grouped,
    instant,
    integer,
    list_of,
    name,
    note,
    number,
    ref,
    text,
)

# Each scale is ordered; the words are stored, never a number.
STOOL = ("dry_pellets", "firm", "shaped_moist", "soft_shaped", "soft_heap", "liquid")
STOOL_FLAGS = (
    "straining",
    "urgent",
    "mucus",
    "fresh_blood",
    "black_tarry",
    "pale_chalky",
    "bone_bits",
    "undigested",
    "worms",
    "grass",
)
APPETITE = ("left_it", "picked", "slow", "keen")
VOMITING = ("food", "bile", "foam", "bone_bits", "other")
BEHAVIOUR = ("bright", "quiet", "restless", "stiff", "other")
WORDS = {
    "stool": STOOL,
    "appetite": APPETITE,
    "vomiting": VOMITING,
    "behaviour": BEHAVIOUR,
    "note": (),
}
FLAGS = {"stool": STOOL_FLAGS, "appetite": (), "vomiting": (), "behaviour": (), "note": ()}

DOG = Kind(
    entity="dog",
    app="dogs",
    label="dog",
    model="dogs.Dog",
    registers={
        "name": name("name", 60),
        "breed": text("breed", 80),
        "born": grouped(
            "born",
            date=date("date of birth", required=True, not_future=True),
            estimated=boolean("estimated"),
        ),
        "sex": choice("sex", ("female", "male")),
        "neutered": boolean("neutered"),
        "adult_weight_g": number("adult weight", 300, 150_000, "g"),
        "activity": choice("activity", ("low", "moderate", "high", "working")),
        "energy_vet": grouped(
            "the vet's energy figure",
            kcal_per_day=number("energy", 20, 15_000, "kcal/day", required=True),
            note=text("note", 4000),
        ),
        "vet_notes": text("vet notes", 4000),
        "archived": boolean("archived"),
    },
)

WEIGHING = Kind(
    entity="weighing",
    app="dogs",
    label="weighing",
    model="dogs.Weighing",
    owner="dog",
    write=EVERYONE,
    registers={
        "dog": ref("dog", "dog", required=True, immutable=True),
        "at": instant("weighed at", required=True, not_future=True),
        "mass_g": number("weight", 100, 150_000, "g", required=True),
        "note": note(),
    },
)

CONDITION = Kind(
    entity="condition",
    app="dogs",
    label="condition",
    model="dogs.Condition",
    owner="dog",
    registers={
        "dog": ref("dog", "dog", required=True, immutable=True),
        "at": instant("judged at", required=True, not_future=True),
        "bcs": integer("body condition score", 1, 9),
        "mcs": choice("muscle condition", ("normal", "mild", "moderate", "marked")),
        "note": note(),
    },
)

OBSERVATION = Kind(
    entity="observation",
    app="dogs",
    label="observation",
    model="dogs.Observation",
    owner="dog",
    write=EVERYONE,
    registers={
        "dog": ref("dog", "dog", required=True, immutable=True),
        "at": instant("seen at", required=True, not_future=True),
        "topic": choice("topic", tuple(WORDS), required=True),
        "word": choice("word", dict.fromkeys(w for words in WORDS.values() for w in words)),
        "flags": list_of("signs", choice("sign", STOOL_FLAGS, required=True), len(STOOL_FLAGS)),
        "note": note(),
        "meal": ref("meal", "meal"),
    },
    checks=(ChoiceBy("word", "topic", WORDS), ChoiceBy("flags", "topic", FLAGS)),
)

KINDS = (DOG, WEIGHING, CONDITION, OBSERVATION)
