"""Bugs planted on purpose, one at a time, to see whether the campaign notices.

Each restores the rule that an earlier draft of the protocol had, or a rival rule: in the phone of
the campaign, or in a function of the server, and only while a test runs. M: merging; L: ledger;
P: pushing and pulling; R: restores; T: what this campaign itself found in the product.

Where the product has no such rule any more, the nearest thing is planted and the words say so.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any
from uuid import UUID

import pytest

from household.accounts.models import Household, Member
from household.sync import actions, fold, queries, refold, registry
from household.sync.envelope import Sent, read
from household.sync.fold import DELETED, DELETES, FoldOp, Row
from household.sync.judge import Bench, Verdict
from household.sync.models import Op, Record
from household.sync.queries import Changes, Mark
from tests.household.sync.campaign import phones_planted as phones
from tests.household.sync.campaign import store
from tests.household.sync.campaign.phone import Phone

Patch = Callable[[pytest.MonkeyPatch], None]


@dataclass(frozen=True)
class Plant:
    """A planted bug: the fault that brings it out, what it does, and where."""

    fault: int
    words: str
    phone: type[Phone] = Phone
    server: tuple[Patch, ...] = ()
    profile: str = "all"


def fold_by_arrival(patch: pytest.MonkeyPatch) -> None:
    """An op supersedes only what was there when it came, as a register with one current value."""
    whole = fold.fold

    def fold_(base: Any, ops: Any, has_live_children: bool) -> Row:
        listed = list(ops)
        seq = dict(
            Op.objects.filter(op_id__in=[op.op_id for op in listed]).values_list("op_id", "seq")
        )
        cut = [replace(op, seen=_seen_before(op, seq)) for op in listed]
        return whole(base, cut, has_live_children)

    patch.setattr(refold, "fold", fold_)


def _seen_before(op: FoldOp, seq: dict[UUID, int]) -> dict[str, list[str]]:
    own = seq.get(UUID(op.op_id), 0)
    return {
        name: [each for each in ids if seq.get(UUID(each), own) < own]
        for name, ids in op.seen.items()
    }


def fold_without_children(patch: pytest.MonkeyPatch) -> None:
    def fold_(base: Any, ops: Any, has_live_children: bool) -> Row:
        return whole(base, ops, False)

    whole = fold.fold
    patch.setattr(refold, "fold", fold_)
    patch.setattr(store, "fold", fold_)


def fold_deleting_unseen(patch: pytest.MonkeyPatch) -> None:
    def fold_(base: Any, ops: Any, has_live_children: bool) -> Row:
        row = whole(base, ops, has_live_children)
        if row[DELETES] and row["values"][DELETED] and not has_live_children:
            row["gone"] = True
        return row

    whole = fold.fold
    patch.setattr(refold, "fold", fold_)
    patch.setattr(store, "fold", fold_)


def parent_rejected(patch: pytest.MonkeyPatch) -> None:
    """What has no record or owner yet is refused for good, instead of waiting."""
    judge = Bench.judge

    def judge_(bench: Bench, sent: Sent) -> Verdict:
        verdict = judge(bench, sent)
        if verdict.status == "wait":
            verdict = bench.verdicts[sent.op_id] = Verdict("rejected", "parent_rejected", "")
        return verdict

    patch.setattr(Bench, "judge", judge_)


def page_by_count(patch: pytest.MonkeyPatch) -> None:
    def changes(member: Member, *, cursor: int, mark: Mark | None, limit: int) -> Changes:
        queries.check_mark(member, mark)
        newest = queries.newest_mark(member.household_id, member.role)
        visible = registry.visible_to(member.role)
        rows = list(
            Record.objects.filter(
                household_id=member.household_id, entity__in=visible, seq__gt=cursor
            ).order_by("seq", "rid")[: limit + 1]
        )
        more, page = len(rows) > limit, rows[:limit]
        sent = [record.as_sent() for record in page]
        return Changes(sent, page[-1].seq if more else newest.seq, more, newest)

    patch.setattr(queries, "changes", changes)


def hash_after_upcasting(patch: pytest.MonkeyPatch) -> None:
    def read_(raw: Any, household_id: UUID, **more: Any) -> Sent:
        sent = read(raw, household_id, **more)
        upcast = read(registry.upcast(raw, sent.schema), household_id, **more)
        return replace(sent, hash=upcast.hash)

    patch.setattr(actions, "read", read_)


def mark_without_role(patch: pytest.MonkeyPatch) -> None:
    check = queries.check_mark

    def check_mark(member: Member, mark: Mark | None) -> None:
        check(member, mark and replace(mark, role=member.role))

    patch.setattr(queries, "check_mark", check_mark)


def tombstones_purged(patch: pytest.MonkeyPatch) -> None:
    """Whatever is deleted is forgotten with the next push, log and all."""
    push = actions.push

    def push_(user: Any, household_id: UUID, **more: Any) -> actions.Pushed:
        gone = list(
            Record.objects.filter(household_id=household_id, gone=True).values_list(
                "rid", flat=True
            )
        )
        pushed = push(user, household_id, **more)
        Record.objects.filter(household_id=household_id, rid__in=gone, gone=True).delete()
        return pushed

    patch.setattr(actions, "push", push_)


def op_id_as_witness(patch: pytest.MonkeyPatch) -> None:
    newest, check = queries.newest_mark, queries.check_mark

    def newest_mark(household_id: UUID, role: str) -> Mark:
        mark = newest(household_id, role)
        entry = Op.objects.filter(household_id=household_id, seq=mark.seq).first()
        return replace(mark, token=entry.op_id.hex) if entry else mark

    def check_mark(member: Member, mark: Mark | None) -> None:
        entry = mark and Op.objects.filter(household_id=member.household_id, seq=mark.seq).first()
        known = mark and entry and entry.op_id.hex == mark.token
        check(member, replace(mark, token=entry.token) if mark and entry and known else mark)

    patch.setattr(queries, "newest_mark", newest_mark)
    patch.setattr(queries, "check_mark", check_mark)


def cursor_in_a_gap(patch: pytest.MonkeyPatch) -> None:
    changes = queries.changes

    def changes_(member: Member, **more: Any) -> Changes:
        page = changes(member, **more)
        counter = Household.objects.values_list("seq", flat=True).get(pk=member.household_id)
        return page if page.more else replace(page, cursor=counter)

    patch.setattr(queries, "changes", changes_)


def asked_by_id_alone(patch: pytest.MonkeyPatch) -> None:
    def applied_among(household_id: UUID, asked: Any) -> dict[UUID, int]:
        found = Op.objects.filter(
            household_id=household_id, op_id__in=[op_id for op_id, _ in asked], applied=True
        )
        return dict(found.values_list("op_id", "seq"))

    patch.setattr(queries, "applied_among", applied_among)


MERGE, RESTORE = "merge", "restore+roles"
PLANTS = {
    "M1": Plant(14, "seen is the own op before only", phones.NoClosure, profile=MERGE),
    "M2": Plant(14, "seen is read when the form is saved", phones.SeenAtSave, profile=MERGE),
    "M3": Plant(
        32,
        "a register has one current value, by arrival",
        server=(fold_by_arrival,),
        profile=RESTORE,
    ),
    "M4": Plant(32, "the same: a choice made between two values", server=(fold_by_arrival,)),
    "M5": Plant(
        14,
        "own entries that wait do not count as seen",
        phones.OwnUnseen,
        profile=MERGE,
    ),
    "M6": Plant(20, "without a record or owner: refused for good", server=(parent_rejected,)),
    "M7": Plant(
        16, "a live child does not keep its owner", server=(fold_without_children,), profile=MERGE
    ),
    "M8": Plant(
        16, "a delete does not compare what it saw", server=(fold_deleting_unseen,), profile=MERGE
    ),
    "L1": Plant(18, "a count is a difference", phones.CountAsDelta, profile=MERGE),
    "L2": Plant(18, "the same: over a movement that is refused", phones.CountAsDelta),
    "L3": Plant(17, "what waits is added to a total", phones.AddsPending, profile=MERGE),
    "P1": Plant(8, "an own op leaves when the cursor passes it", phones.LiftsEarly, profile=MERGE),
    "P2": Plant(8, "a page ends after so many rows", server=(page_by_count,), profile=MERGE),
    "P3": Plant(24, "the hash is taken after upcasting", server=(hash_after_upcasting,)),
    "P4": Plant(33, "the role is no part of the mark", server=(mark_without_role,)),
    "P5": Plant(16, "tombstones are purged", server=(tombstones_purged,)),
    "R1": Plant(32, "a push does not advance the mark", phones.MarkByPullOnly, profile=RESTORE),
    "R2": Plant(32, "the op id is the mark's witness", server=(op_id_as_witness,), profile=RESTORE),
    "R3": Plant(32, "the last cursor is the counter", server=(cursor_in_a_gap,), profile=RESTORE),
    "R4": Plant(32, "a row counts only with a higher seq", phones.HigherSeqOnly, profile=RESTORE),
    "R5": Plant(32, "a whole pull is merged into the base", phones.MergesSnapshot, profile=RESTORE),
    "R6": Plant(
        32, "a late reply counts wherever the phone is", phones.TakesAnyReply, profile=RESTORE
    ),
    "R7": Plant(32, "what is queued again lies on top", phones.OverlaysAgain, profile=RESTORE),
    "R8": Plant(32, "nobody asks about refused ops", phones.NeverAsks, profile=RESTORE),
    "R9": Plant(32, "nobody asks about discarded ops", phones.AsksNotDiscarded, profile=RESTORE),
    "R10": Plant(32, "asking goes by the op id alone", server=(asked_by_id_alone,)),
    "T1": Plant(33, "a change of role hides a restore", phones.ListsByReason, profile=RESTORE),
    "T2": Plant(
        32, "an own edit hides that its record is lost", phones.EditHidesLoss, profile=RESTORE
    ),
    "T3": Plant(
        32, "an unsent op vanishes with the old base", phones.UnsentHidden, profile=RESTORE
    ),
    "T4": Plant(20, "an owner is not folded when its child is orphaned", phones.OwnerLeftAlone),
}
