"""Batches, what was weighed into them, bags, pulls, duties, rotas and travels, written by sync;
and the private addresses of calendars, which are not.
"""

from django.db import models
from django.utils import timezone

from household.accounts.models import Member
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
    mix_even = models.BooleanField(null=True)
    mix_bone = models.CharField(max_length=6, blank=True)
    mix_at = models.DateTimeField(null=True)
    mix_by = models.UUIDField(null=True)
    favourite = models.BooleanField(null=True)
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
    place_name = models.CharField(max_length=40, blank=True)
    shelf = models.CharField(max_length=40, blank=True)
    form = models.CharField(max_length=8, blank=True)
    thickness_mm = models.FloatField(null=True)
    packed_at = models.DateTimeField()
    use_by = models.DateField(null=True)
    note = models.TextField(blank=True)

    class Meta:
        indexes = [models.Index(fields=["household", "use_by"], name="bag_by_use_by")]

    def __str__(self) -> str:
        return f"{self.count} × {self.mass_g} g"


class Pull(Projected):
    """The duty of moving packs from freezer to fridge, for a batch or for a meal fed straight.

    Which of them were moved, by whom and when, is in the ledger: movements that name the pull.
    """

    of = models.UUIDField()
    pack_mass_g = models.PositiveIntegerField()
    packs = models.PositiveSmallIntegerField()
    needed_at = models.DateTimeField()
    batch = models.UUIDField(null=True)
    mealtime = models.UUIDField(null=True)
    assignee = models.UUIDField(null=True)
    note = models.TextField(blank=True)

    class Meta:
        indexes = [models.Index(fields=["household", "needed_at"], name="pull_by_need")]

    def __str__(self) -> str:
        return f"{self.packs} × {self.pack_mass_g} g from the freezer"


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


class Rota(Projected):
    """A duty that comes again, in turns. What was done about one of its days is a Duty."""

    what = models.CharField(max_length=8)
    title = models.CharField(max_length=120, blank=True)
    dog = models.UUIDField(null=True)
    starts_on = models.DateField()
    ends_on = models.DateField(null=True)
    time = models.TimeField()
    repeats_every_days = models.PositiveSmallIntegerField(null=True)
    repeats_weekdays = models.JSONField(null=True)
    turns = models.JSONField(null=True)
    note = models.TextField(blank=True)

    def __str__(self) -> str:
        return self.title or self.what


class Travel(Projected):
    """Days, first to last, on which every meal offers a dry food of the household's own."""

    days_first = models.DateField()
    days_last = models.DateField()
    food = models.UUIDField()

    def __str__(self) -> str:
        return f"{self.days_first} to {self.days_last}"


class CalendarAddress(models.Model):
    """The one address of a member's calendar; its token is never stored, only the token's hash."""

    member = models.OneToOneField(Member, on_delete=models.CASCADE, related_name="calendar_address")
    token_sha256 = models.CharField(max_length=64, unique=True)
    made_at = models.DateTimeField(default=timezone.now, editable=False)

    class Meta:
        verbose_name_plural = "calendar addresses"

    def __str__(self) -> str:
        return f"calendar of {self.member}"
