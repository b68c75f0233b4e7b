"""The kinds of the dogs app: the dog and what is noted about it over time."""

from household.sync.vocabulary import (
    EVERYONE,
    ChoiceBy,
    First,
    InOrder,
    Kind,
    OnlyWith,
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
from nutrition.standard_tables import EDITIONS

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
STANDARDS = tuple(EDITIONS)
"""The editions a household can choose as its yardstick."""
FLAGS = {"stool": STOOL_FLAGS, "appetite": (), "vomiting": (), "behaviour": (), "note": ()}

DOG = Kind(
    entity="dog",
    app="dogs",
    label="dog",
    model="dogs.Dog",
    first=First(),
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
        "reproduction": grouped(
            "mating and pups",
            mated_on=date("mated on", not_future=True),
            whelped_on=date("whelped on", not_future=True),
            pups=integer("pups", 0, 20),
            weaned_on=date("weaned on", not_future=True),
        ),
        # What a person settled for this dog; a batch that it eats keeps to them. The bounds only
        # catch slips: at 9 kcal a gram (Atwater) 1000 kcal cannot hold more than 111 g of fat.
        "caps": grouped(
            "limits of its own",
            fat_g_per_1000_kcal=number("fat", 10, 110, "g/1000 kcal"),
            bone_pct=number("bone", 0, 100, "% of the mass"),
            liver_pct=number("liver", 0, 100, "% of the mass"),
            organ_pct=number("organs", 0, 100, "% of the mass"),
        ),
        "may_not_have": list_of(
            "foods it may not have", text("food", 64, min_length=1, required=True), 50
        ),
        "weight_plan": grouped(
            "weight plan",
            goal=choice("goal", ("lose", "gain", "hold"), required=True),
            agreed_with_vet=boolean("agreed with the vet"),
            target_mass_g=number("target weight", 300, 150_000, "g"),
        ),
    },
    checks=(
        OnlyWith(
            "reproduction",
            {"sex": "female", "neutered": False},
            "only a female that is not spayed has pups.",
        ),
        InOrder("reproduction", ("mated_on", "whelped_on", "weaned_on")),
    ),
)

PREFERENCE = Kind(
    entity="preference",
    app="dogs",
    label="choice of the household",
    model="dogs.Preference",
    first=First(),
    registers={
        "standard": choice("yardstick", STANDARDS),
        # [degC]. Common practice, no source: colder freezes what lies in it, warmer is no fridge.
        "fridge_c": number("fridge temperature", 1, 20, "°C"),
    },
)

WEIGHING = Kind(
    entity="weighing",
    app="dogs",
    label="weighing",
    model="dogs.Weighing",
    first=First(days=120),
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
    first=First(days=3),
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

KINDS = (DOG, WEIGHING, CONDITION, OBSERVATION, PREFERENCE)
