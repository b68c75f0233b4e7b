"""The kind of the review app: the weekly summary of one dog, written by the server alone."""

from household.sync.vocabulary import PLANNERS, SERVER_ONLY, Kind, Register, ref, text

SUMMARY = Kind(
    entity="summary",
    app="review",
    label="weekly summary",
    model="review.Summary",
    write=SERVER_ONLY,
    see=PLANNERS,
    registers={
        "dog": ref("dog", "dog", required=True, immutable=True),
        "week": text("week", 8, min_length=8, required=True, immutable=True),
        "body": Register(type="json", label="summary", max_length=40),
    },
)

KINDS = (SUMMARY,)
