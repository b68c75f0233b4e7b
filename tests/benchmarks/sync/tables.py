"""What was measured, as Markdown."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from statistics import median

from tests.benchmarks.sync.races import Times

PHASES = {
    "write": "write 10,000 on the phone",
    "push": "push them",
    "pull": "pull them, fresh",
    "resend": "push them again",
}


@dataclass(frozen=True)
class Goal:
    words: str
    ratio: float
    most: float

    def line(self) -> str:
        kept = "met" if self.ratio <= self.most else "**not met**"
        return f"| {self.words} | {self.ratio:.2f} | ≤ {self.most:g} | {kept} |"


def table(head: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    lines = [head, ["---", *(["---:"] * (len(head) - 1))], *rows]
    return "\n".join(f"| {' | '.join(line)} |" for line in lines)


def spread(times_ms: Sequence[float]) -> str:
    """Median and range in milliseconds."""
    if not times_ms:
        return "–"
    return f"{median(times_ms):,.0f} ({min(times_ms):,.0f}–{max(times_ms):,.0f})"


def race_table(times: Mapping[str, Times], count: int) -> str:
    phases = {key: words.replace("10,000", f"{count:,}") for key, words in PHASES.items()}
    rows = [[name, *(spread(of.get(phase, [])) for phase in phases)] for name, of in times.items()]
    return table(["median ms (range)", *phases.values()], rows)


def floor_table(times: Mapping[str, Times]) -> str:
    rows = [
        [name, spread(of["plain"]), spread(of["bulk"]), spread(of["echo"])]
        for name, of in times.items()
        if "plain" in of
    ]
    head = ["median ms (range)", "records alone, plain store", "our rows in bulk", "own rows back"]
    return table(head, rows)


def goals(times: Mapping[str, Times], ours: str) -> list[Goal]:
    peers = [of for name, of in times.items() if "plain" not in of]
    own = {phase: median(values) for phase, values in times[ours].items()}

    def best(phase: str) -> float:
        return min(median(of[phase]) for of in peers)

    found = [
        Goal("the local part / our rows in bulk", own["write"] / own["bulk"], 1.5),
        Goal("resend / our push", own["resend"] / own["push"], 0.2),
    ]
    if peers:
        found[:0] = [
            Goal("local write / the better peer", own["write"] / best("write"), 1.2),
            Goal("push / the better peer", own["push"] / best("push"), 0.8),
            Goal("fresh pull / the better peer", own["pull"] / best("pull"), 0.6),
        ]
    return found


def goal_table(found: Sequence[Goal]) -> str:
    return "\n".join(
        ["| ratio | measured | goal | |", "| --- | ---: | ---: | --- |", *(g.line() for g in found)]
    )
