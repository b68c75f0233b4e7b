"""The log of operations, the state of each record, and the base of all typed tables."""

import json
from collections.abc import Collection, Mapping
from typing import Any, Self
from uuid import UUID

from django.db import models
from django.utils.functional import cached_property

from household.accounts.models import Household
from household.sync import registry
from household.sync.arrival import MOST_AWAITED
from household.sync.fold import Row


class Op(models.Model):
    """One entry of a household's log: an operation as it was sent, and what came of it.

    The log is the truth; everything else can be computed from it. Entries are never changed.
    """

    household = models.ForeignKey(Household, on_delete=models.CASCADE, related_name="+")
    seq = models.PositiveBigIntegerField()
    op_id = models.UUIDField()
    token = models.CharField(max_length=32)  # Random per transaction: tells a restored log apart.
    device_id = models.CharField(max_length=36)
    n = models.PositiveBigIntegerField(null=True)
    author = models.CharField(max_length=36)
    submitted_by = models.UUIDField(null=True)  # The member whose session sent it.
    entity = models.CharField(max_length=40)
    rid = models.UUIDField(null=True)
    schema = models.PositiveIntegerField()
    occurred_at = models.BigIntegerField(null=True)  # ms since 1970, by the device's clock
    received_at = models.BigIntegerField()  # ms since 1970, by the server's clock
    hash = models.CharField(max_length=64)
    body = models.TextField()  # As sent, canonical JSON; empty if refused and very large.
    applied = models.BooleanField()
    code = models.CharField(max_length=20, blank=True)
    message = models.TextField(blank=True)
    fields = models.JSONField(default=dict, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["household", "seq"], name="op_seq_once"),
            models.UniqueConstraint(fields=["household", "op_id"], name="op_id_once"),
            models.CheckConstraint(
                condition=models.Q(applied=True, code="")
                | models.Q(applied=False) & ~models.Q(code=""),
                name="op_applied_or_refused",
            ),
        ]
        indexes = [models.Index(fields=["household", "rid"], name="op_by_record")]

    def __str__(self) -> str:
        return f"{self.seq}: {self.entity} {'applied' if self.applied else self.code}"

    @cached_property
    def content(self) -> Mapping[str, Any]:
        """The operation in the present schema."""
        return registry.upcast(json.loads(self.body), self.schema)


class Record(models.Model):
    """The state of a record: the fold of its applied operations."""

    household = models.ForeignKey(Household, on_delete=models.CASCADE, related_name="+")
    rid = models.UUIDField()
    entity = models.CharField(max_length=40)
    owner = models.UUIDField(null=True)
    seq = models.PositiveBigIntegerField()
    gone = models.BooleanField()
    # Text, not a JSON column: the phone compares bytes of numbers that jsonb would rewrite.
    state = models.TextField()
    # The ids that the record waits for (household.sync.arrival), and the schema its state is in;
    # null where the next state must be folded from the log.
    awaited = models.TextField(null=True)  # noqa: DJ001 - Unknown is not the same as none.
    schema = models.PositiveIntegerField(null=True)

    class Meta:
        constraints = [
            # By rid first: whether another household has an id is asked without its household.
            models.UniqueConstraint(fields=["rid", "household"], name="record_rid_once"),
        ]
        indexes = [
            models.Index(fields=["household", "seq"], name="record_by_seq"),
            models.Index(fields=["household", "owner"], name="record_by_owner"),
        ]

    def __str__(self) -> str:
        return f"{self.entity} {self.rid}"

    @property
    def can_be_folded_onward(self) -> bool:
        return self.awaited is not None and self.schema == registry.SCHEMA

    @property
    def awaits(self) -> list[str]:
        return (self.awaited or "").split()

    def wait_for(self, awaited: Collection[str] | None) -> None:
        """Note what the next operations are compared with; None or too much: fold from the log."""
        is_known = awaited is not None and len(awaited) <= MOST_AWAITED
        self.awaited = " ".join(sorted(awaited)) if awaited is not None and is_known else None
        self.schema = registry.SCHEMA

    @property
    def row(self) -> Row:
        row: Row = json.loads(self.state)
        return row

    def as_sent(self) -> str:
        """The row as the phone receives it: the state as it is stored, with what names it before.

        Reading the state in order to write it again took most of the time of a page.
        """
        owner = f'"{self.owner}"' if self.owner else "null"
        named = f'"rid":"{self.rid}","entity":"{self.entity}","owner":{owner},"seq":{self.seq}'
        return f"{{{named},{self.state[1:]}"


class Projected(models.Model):
    """A typed row: the displayed values of one record, kept for ordinary queries.

    Written by sync only. ``rid`` names the record; every query goes through the household.
    """

    rid = models.UUIDField(primary_key=True)
    household = models.ForeignKey(Household, on_delete=models.CASCADE, related_name="+")
    gone = models.BooleanField(default=False)
    seq = models.PositiveBigIntegerField()
    made_at = models.DateTimeField()
    made_by = models.CharField(max_length=36)
    op_at = models.DateTimeField()
    op_by = models.CharField(max_length=36)

    class Meta:
        abstract = True

    @classmethod
    def living(cls, household_id: UUID) -> "models.QuerySet[Self]":
        """The household's records of this kind that are not deleted."""
        return cls._default_manager.filter(household_id=household_id, gone=False)
