"""Batches, what was weighed into them, their bags, and duties. Written by sync."""

from django.db import models

from household.sync.models import Projected


class Batch(Projected):
    """Food prepared together. It was made ``prepared_at`` and entered ``made_at``."""

    number = models.PositiveIntegerField(null=True)
    name = models.CharField(max_length=60, blank=True)
    method = models.CharField(max_length=7)
    plate_mm = models.FloatField(null=True)
    planned_for = models.DateField(null=True)
    days = models.PositiveSmallIntegerField(null=True)
    dogs = models.JSONField(null=True)
    plan = models.JSONField(null=True)
    stage = models.CharField(max_length=8)
    yield_g = models.PositiveIntegerField(null=True)
    prepared_at = models.DateTimeField(null=True)
    cautions = models.JSONField(null=True)
    note = models.TextField(blank=True)

    class Meta:
        verbose_name_plural = "batches"
        indexes = [models.Index(fields=["household", "planned_for"], name="batch_by_day")]

    def __str__(self) -> str:
        return f"batch {self.number or 'without number'}"


class WeighIn(Projected):
    batch = models.ForeignKey(Batch, on_delete=models.CASCADE, related_name="weigh_ins")
    food = models.CharField(max_length=64)
    mass_g = models.FloatField()
    lot = models.UUIDField(null=True)
    at = models.DateTimeField()

    class Meta:
        indexes = [models.Index(fields=["batch", "at"], name="weigh_in_by_batch")]

    def __str__(self) -> str:
        return f"{self.mass_g:g} g of {self.food}"


class Bag(Projected):
    """Portions of a batch put by: ``count`` bags of ``mass_g`` each when packed."""

    batch = models.ForeignKey(Batch, on_delete=models.CASCADE, related_name="bags")
    mass_g = models.PositiveIntegerField()
    count = models.PositiveSmallIntegerField()
    place = models.CharField(max_length=7)
    packed_at = models.DateTimeField()
    use_by = models.DateField(null=True)
    note = models.TextField(blank=True)

    class Meta:
        indexes = [models.Index(fields=["household", "use_by"], name="bag_by_use_by")]

    def __str__(self) -> str:
        return f"{self.count} × {self.mass_g} g"


class Duty(Projected):
    what = models.CharField(max_length=8)
    title = models.CharField(max_length=120, blank=True)
    dog = models.UUIDField(null=True)
    due_at = models.DateTimeField(null=True)
    assignee = models.UUIDField(null=True)
    done_at = models.DateTimeField(null=True)
    done_by = models.UUIDField(null=True)
    note = models.TextField(blank=True)

    class Meta:
        verbose_name_plural = "duties"
        indexes = [models.Index(fields=["household", "due_at"], name="duty_by_due")]

    def __str__(self) -> str:
        return self.title or self.what
