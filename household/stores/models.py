"""What is in store: the household's own foods, lots, and the ledger of each lot or bag."""

from django.db import models

from household.sync.models import Projected


class Food(Projected):
    """A food of the household's own, as its label or a person states it.

    ``copied_from`` is the key of the table's food that this one is an edited copy of.
    """

    name = models.CharField(max_length=60)
    style = models.CharField(max_length=6, blank=True)
    label_protein_pct = models.FloatField(null=True)
    label_fat_pct = models.FloatField(null=True)
    label_fibre_pct = models.FloatField(null=True)
    label_moisture_pct = models.FloatField(null=True)
    label_ash_pct = models.FloatField(null=True)
    label_means = models.CharField(max_length=10, blank=True)
    label_basis = models.CharField(max_length=10, blank=True)
    lines = models.JSONField(null=True)
    serving_unit = models.CharField(max_length=8, blank=True)
    serving_mass_g = models.FloatField(null=True)
    serving_count = models.FloatField(null=True)
    copied_from = models.CharField(max_length=64, blank=True)
    bone_share_pct = models.FloatField(null=True)
    energy_kcal_per_100g = models.FloatField(null=True)
    nutrients_per_100g = models.JSONField(null=True)
    note = models.TextField(blank=True)
    archived = models.BooleanField(null=True)

    class Meta:
        indexes = [models.Index(fields=["household", "name"], name="food_by_name")]

    def __str__(self) -> str:
        return self.name


class Lot(Projected):
    """One purchase put in store. ``food`` is the key of a table's food or the id of an own one.

    A lot that was divided is two: what was taken from the first moved ``into`` the second.
    """

    food = models.CharField(max_length=64)
    pack_mass_g = models.PositiveIntegerField()
    place = models.CharField(max_length=7, blank=True)
    place_name = models.CharField(max_length=40, blank=True)
    shelf = models.CharField(max_length=40, blank=True)
    form = models.CharField(max_length=8, blank=True)
    thickness_mm = models.FloatField(null=True)
    own = models.BooleanField(null=True)
    frozen_on = models.DateField(null=True)
    bought_on = models.DateField(null=True)
    best_by = models.DateField(null=True)
    price_minor = models.PositiveIntegerField(null=True)
    price_currency = models.CharField(max_length=3, blank=True)
    seller = models.CharField(max_length=80, blank=True)
    bought_as_packs = models.PositiveSmallIntegerField(null=True)
    bought_as_pack_mass_g = models.PositiveIntegerField(null=True)
    divided_from = models.UUIDField(null=True)
    note = models.TextField(blank=True)

    class Meta:
        indexes = [models.Index(fields=["household", "food"], name="lot_by_food")]

    def __str__(self) -> str:
        return f"{self.food}, packs of {self.pack_mass_g} g"


class Movement(Projected):
    """An entry in the ledger of a lot or a bag (``of``): never edited, only deleted.

    What was moved for a ``pull`` has an id computed from the pull and the number of the pack, so
    that two phones which move the same pack enter it once.
    """

    of = models.UUIDField()
    what = models.CharField(max_length=9)
    mass_g = models.PositiveIntegerField()
    at = models.DateTimeField()
    batch = models.UUIDField(null=True)
    serving = models.UUIDField(null=True)
    pull = models.UUIDField(null=True)
    way = models.CharField(max_length=10, blank=True)
    into = models.UUIDField(null=True)
    note = models.TextField(blank=True)

    class Meta:
        indexes = [models.Index(fields=["household", "of"], name="movement_by_owner")]

    def __str__(self) -> str:
        return f"{self.what} {self.mass_g} g"


class Count(Projected):
    """A counted stock and which ledger entries were on screen when it was counted."""

    of = models.UUIDField()
    counted_g = models.PositiveIntegerField()
    knew = models.JSONField()
    at = models.DateTimeField()

    class Meta:
        indexes = [models.Index(fields=["household", "of"], name="count_by_owner")]

    def __str__(self) -> str:
        return f"counted {self.counted_g} g"
