"""Which tests inject which numbered fault: read from the names of the tests themselves.

A test that injects a fault carries its number in its name, as in `fault_07`. `python -m
tests.fault_table` writes the table of DEVELOPERS.md anew; a test fails while it is stale or a
fault lacks a test of a kind that it needs.
"""

import ast
import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
PAGE = ROOT / "DEVELOPERS.md"
BEGIN, END = "<!-- faults: begin -->", "<!-- faults: end -->"

# H: the server's endpoints, driven by simulated phones. V: the phone's own code.
# P: Chromium through the fault proxy. D: threads and processes on the real database.
CONCURRENT = ("test_concurrency.py", "test_killed.py", "test_guards.py")
KINDS = "HVPD"


@dataclass(frozen=True)
class Fault:
    number: int
    needs: str
    """The kinds of test it must have."""
    words: str

    @property
    def tag(self) -> str:
        return f"fault_{self.number:02d}"


FAULTS = [
    Fault(1, "HP", "reply lost after the commit"),
    Fault(2, "V", "failure between record and op"),
    Fault(3, "P", "page killed after “saved”"),
    Fault(4, "P", "page killed in the middle of a push"),
    Fault(5, "D", "server killed in the middle of a batch"),
    Fault(6, "HVP", "two tabs push, the lock disabled"),
    Fault(7, "D", "commits out of order"),
    Fault(8, "H", "row changes between pages; one op touches two rows"),
    Fault(9, "HP", "one invalid op in a batch"),
    Fault(10, "V", "one op that always breaks the server"),
    Fault(11, "HV", "clock ahead, by hours and by years"),
    Fault(12, "H", "clock three days behind, edit of a value that was seen"),
    Fault(13, "HV", "clock jumps back between two entries"),
    Fault(14, "HP", "one register, concurrently; several offline; the first refused"),
    Fault(15, "H", "different registers, concurrently"),
    Fault(16, "H", "edit or new child against a delete"),
    Fault(17, "H", "movements shuffled and repeated"),
    Fault(18, "H", "count beside a movement, and beside a count"),
    Fault(19, "H", "an op id used again with another body"),
    Fault(20, "HV", "owner refused, then corrected"),
    Fault(21, "P", "403, redirect, login page as 200"),
    Fault(22, "P", "another member signs in on the phone"),
    Fault(23, "P", "sign-out with entries waiting"),
    Fault(24, "HP", "app updated with entries waiting"),
    Fault(25, "HV", "server rolled back to an older schema"),
    Fault(26, "V", "unknown kind, unknown register"),
    Fault(27, "P", "upgrade of the store blocked by another tab"),
    Fault(28, "VP", "older build opens a newer store"),
    Fault(29, "V", "no room on the phone"),
    Fault(30, "V", "connection to the store lost"),
    Fault(31, "P", "store wiped"),
    Fault(32, "H", "server restored from a backup, in all orders"),
    Fault(33, "HP", "role changed; removed and invited again"),
    Fault(34, "P", "first sync cut halfway"),
    Fault(35, "P", "link that comes and goes, slow link"),
    Fault(36, "VP", "portal's or offline page as 200"),
    Fault(37, "P", "tab that holds the lock is frozen"),
    Fault(38, "H", "export taken in after the push"),
    Fault(39, "D", "a write on the server that goes round the log"),
]


@dataclass(frozen=True, order=True)
class Found:
    """A test, or a rule of a state machine, with faults in its name."""

    kind: str
    file: str
    name: str

    @property
    def numbers(self) -> set[int]:
        return {int(number) for number in re.findall(r"fault_(\d\d)", self.name)}

    def injects(self, fault: Fault) -> bool:
        if (span := re.search(r"faults_(\d\d)_to_(\d\d)", self.name)) and "H" in fault.needs:
            # The campaign mixes all that simulated phones can meet.
            return int(span[1]) <= fault.number <= int(span[2])
        return fault.number in self.numbers


def kind_of(path: Path) -> str:
    if path.suffix == ".ts":
        return "V"
    if "browser" in path.parts:
        return "P"
    return "D" if path.name in CONCURRENT else "H"


def names_in(path: Path) -> Iterator[str]:
    text = path.read_text(encoding="utf-8")
    if path.suffix == ".ts":
        yield from (name for _, name in re.findall(r"(['\"`])(fault_\d\d.*?)\1", text))
        return
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.FunctionDef | ast.ClassDef) and re.search(
            r"faults?_\d\d", node.name
        ):
            yield node.name


@cache
def found() -> list[Found]:
    """Every one in the sources, in a fixed order."""
    paths = [
        *(ROOT / "tests" / "household").rglob("*.py"),
        *(ROOT / "tests" / "browser").glob("*.py"),
        *(ROOT / "frontend" / "src").rglob("*.test.ts"),
    ]
    every = {
        Found(kind_of(path), path.relative_to(ROOT).as_posix(), name)
        for path in paths
        for name in names_in(path)
    }
    return sorted(every, key=lambda each: (KINDS.index(each.kind), each.file, each.name))


def missing(tests: list[Found]) -> list[str]:
    """What the faults need and do not have, in words."""
    return [
        f"{fault.tag} ({fault.words}) needs a test of the kind {kind}"
        for fault in FAULTS
        for kind in fault.needs
        if not any(each.injects(fault) and each.kind == kind for each in tests)
    ]


def row(fault: Fault, tests: list[Found]) -> str:
    own = [each for each in tests if each.injects(fault)]
    cells = [f"{each.kind} `{short(each.file)}::{each.name}`" for each in own]
    return f"| {fault.number} | {fault.words} | {fault.needs} | {'<br>'.join(cells)} |"


def short(file: str) -> str:
    return file.removeprefix("tests/").removeprefix("frontend/src/")


def table() -> str:
    head = ["| fault | what is injected | needs | tests |", "| --- | --- | --- | --- |"]
    tests = found()
    return "\n".join([BEGIN, "", *head, *(row(fault, tests) for fault in FAULTS), "", END])


def written() -> str:
    """The table as DEVELOPERS.md has it."""
    page = PAGE.read_text(encoding="utf-8")
    return page[page.index(BEGIN) : page.index(END) + len(END)]


def main() -> None:
    page = PAGE.read_text(encoding="utf-8")
    PAGE.write_text(page.replace(written(), table()), encoding="utf-8")


if __name__ == "__main__":
    main()
