"""The few things of a week to act on: what, since when, how sure, what to do next.

None of them is a diagnosis. Each carries its published reason, or says that there is none; figures
marked "from memory" were not read in the source.
"""

from dataclasses import dataclass
from datetime import date
from typing import TypedDict

from household.review.queries import stool, wording
from household.review.queries.appetite import AppetiteChange, appetite_change
from household.review.queries.intake import LowIntake, low_intake
from household.review.queries.pantry import Pantry
from household.review.queries.records import DogRecords
from household.review.queries.weeks import Week
from household.review.queries.weight import WeightLoss, weight_loss

JERGENS = (
    "Weight lost: under 5 % mild, 5 to 10 % moderate, over 10 % severe, after the canine activity"
    " index of Jergens and others 2003, J Vet Intern Med 17:291-297 (wording from memory)."
)
TOO_FAST = (
    "Over 2 % of body weight a week is too fast even when planned: Small Animal Clinical Nutrition,"
    " 5th ed. 2010, p. 540."
)
APPETITE = (
    "Terms after Johnson and Freeman 2017, J Am Vet Med Assoc 251:1260-1266. The rule (poor meals"
    " on three days, and more of them than chance deals from the dog's own eight weeks before) is"
    " Trencher's own."
)
INTAKE = (
    "Under 75 % of the resting requirement for three days, or nothing for a day, is a call: usual"
    " veterinary rule (from memory). Resting requirement 70 kcal per kg^0.75."
)
SIGNS = "A sign to call the vet about: general veterinary advice (from memory)."
VOMITING_IN_A_DAY = (
    2  # [-] Notes within 24 hours; "repeated" in SIGNS, read here as more than once.
)


class Alert(TypedDict):
    key: str
    title: str
    since: str
    certainty: str
    text: str
    next: str
    source: str


@dataclass(frozen=True)
class Subject:
    """The dog an alert is about, in the words a sentence needs."""

    name: str
    sex: str | None

    @property
    def her(self) -> str:
        return wording.her(self.sex)

    @property
    def her_own(self) -> str:
        return wording.her_own(self.sex)


def alerts(
    records: DogRecords, week: Week, pantry: Pantry, resting_kcal_per_day: float | None
) -> list[Alert]:
    """What needs deciding about one dog, the most pressing first."""
    dog = Subject(records.dog.name, records.dog.sex or None)
    found = [
        _blood(dog, records, week),
        _vomiting(dog, records, week),
        _low_intake(dog, low_intake(records, week, pantry, resting_kcal_per_day)),
        *_decline(
            dog,
            weight_loss(records.weighings, week, records.bcs),
            appetite_change(records.servings, week),
        ),
    ]
    return [alert for alert in found if alert is not None]


def _alert(
    key: str, title: str, since: date, certainty: str, text: str, next_step: str, source: str
) -> Alert:
    return {
        "key": key,
        "title": title,
        "since": since.isoformat(),
        "certainty": certainty,
        "text": text,
        "next": next_step,
        "source": source,
    }


def _blood(dog: Subject, records: DogRecords, week: Week) -> Alert | None:
    notes = [
        o for o in stool.in_week(records.observations, "stool", week) if stool.BLOOD & {*o.flags}
    ]
    if not notes:
        return None
    seen = sorted({flag for o in notes for flag in o.flags if flag in stool.BLOOD})
    words = wording.listed([stool.FLAG_NAMES[flag] for flag in seen])
    return _alert(
        "blood_in_stool",
        f"{dog.name}'s stool had a sign of blood",
        notes[0].day,
        f"Written down {_times(len(notes))}; only a vet can say what it is.",
        f"Noted as {words}, first on {wording.day_words(notes[0].day)}.",
        "ring the vet today and say what was seen and when; keep a sample if you can.",
        SIGNS,
    )


def _vomiting(dog: Subject, records: DogRecords, week: Week) -> Alert | None:
    notes = stool.in_week(records.observations, "vomiting", week)
    most, first = stool.most_within_a_day(records.observations, "vomiting", week)
    if first is None or most < VOMITING_IN_A_DAY:
        return None
    return _alert(
        "repeated_vomiting",
        f"{dog.name} vomited more than once in a day",
        first.day,
        f"Written down {_times(most)} within 24 hours.",
        f"From {wording.day_words(first.day)}; {wording.counted(len(notes), 'note')} in the week.",
        f"ring the vet today. Say what {dog.name} ate before, and whether water stays down.",
        SIGNS,
    )


def _low_intake(dog: Subject, low: LowIntake | None) -> Alert | None:
    if low is None:
        return None
    if low.ate_nothing:
        title = f"{dog.name} ate nothing for a day"
        text = f"Nothing eaten on {wording.day_words(low.since)}."
    else:
        title = f"{dog.name} is eating too little to rest on"
        text = (
            f"{wording.capital(wording.counted(low.days, 'day'))} in a row under 75 % of the"
            f" resting requirement, about {wording.percent(low.share)} of it."
        )
    return _alert(
        "low_intake",
        title,
        low.since,
        "Fairly sure: what nobody noted as left counts as eaten, and the energy of the food is"
        " from tables.",
        text,
        "ring the vet today. Treats and what was found outside count too: write them down.",
        INTAKE,
    )


def _decline(
    dog: Subject, loss: WeightLoss | None, change: AppetiteChange | None
) -> list[Alert | None]:
    """Weight and appetite going down together are one thing to decide, and a more pressing one."""
    if loss is not None and change is not None:
        both = _weight(dog, loss)
        both["key"] = "weight_and_appetite"
        both["title"] = f"{dog.name} is losing weight and eating less"
        both["text"] += f" {_appetite_text(dog, change)}"
        both["certainty"] += f" Appetite: {_chance_words(change)}"
        both["source"] += f" {APPETITE}"
        both["since"] = min(loss.since, change.since).isoformat()
        if not loss.is_urgent:
            both["next"] = (
                f"weigh {dog.her} again on the same scale within three days, and ring the vet this"
                f" week with the weights and {dog.her_own} meals."
            )
        return [both]
    return [
        _weight(dog, loss) if loss is not None else None,
        _appetite(dog, change) if change is not None else None,
    ]


def _weight(dog: Subject, loss: WeightLoss) -> Alert:
    next_step = (
        "ring the vet today with the weights."
        if loss.is_urgent
        else "ring the vet this week with the weights."
        if loss.grade != "mild"
        else f"weigh {dog.her} twice a week on the same scale; if it goes on for two weeks,"
        " ring the vet."
    )
    return _alert(
        "weight_loss",
        f"{dog.name} is losing weight" + " fast" * loss.is_too_fast,
        loss.since,
        loss.certainty,
        loss.text,
        next_step,
        f"{JERGENS} {TOO_FAST}" if loss.is_too_fast else JERGENS,
    )


def _appetite(dog: Subject, change: AppetiteChange) -> Alert:
    return _alert(
        "appetite",
        f"{dog.name} is eating less keenly",
        change.since,
        _chance_words(change),
        _appetite_text(dog, change),
        f"watch {dog.her} at every meal and weigh {dog.her}; a whole day without eating, or a"
        " second week like this, is a reason to ring the vet.",
        APPETITE,
    )


def _appetite_text(dog: Subject, change: AppetiteChange) -> str:
    usual = change.usual_poor / change.usual_said * change.said
    return (
        f"Picked at or left {change.poor} of {change.said} meals;"
        f" {dog.her_own} usual, from the eight weeks before, would be {usual:.1f}."
    )


def _chance_words(change: AppetiteChange) -> str:
    if change.chance < 0.02:
        return "fairly sure: a week like this comes by chance less than once in fifty."
    return f"not sure: a week like this comes by chance about once in {round(1 / change.chance)}."


def _times(count: int) -> str:
    return {1: "once", 2: "twice"}.get(count, f"{wording.number(count)} times")
