"""Mealtimes, meals and what each dog was served. Written by sync."""

from django.db import models

from household.sync.models import Projected


class Mealtime(Projected):
    name = models.CharField(max_length=40)
    time = models.TimeField()
    dogs = models.JSONField(null=True)
    archived = models.BooleanField(null=True)

    class Meta:
        indexes = [models.Index(fields=["household", "time"], name="mealtime_by_time")]

    def __str__(self) -> str:
        return self.name


class Meal(Projected):
    mealtime = models.UUIDField(null=True)
    name = models.CharField(max_length=40, blank=True)
    day = models.DateField()
    at = models.DateTimeField()
    note = models.TextField(blank=True)

    class Meta:
        indexes = [models.Index(fields=["household", "day"], name="meal_by_day")]

    def __str__(self) -> str:
        return f"{self.name or 'meal'} on {self.day}"


class Serving(Projected):
    """One dog's part of a meal: exactly one of a food, a batch or a bag."""

    meal = models.ForeignKey(Meal, on_delete=models.CASCADE, related_name="servings")
    dog = models.UUIDField()
    what_food = models.CharField(max_length=64, blank=True)
    what_batch = models.UUIDField(null=True)
    what_bag = models.UUIDField(null=True)
    offered_g = models.FloatField()
    left_g = models.FloatField(null=True)
    left_share = models.FloatField(null=True)
    appetite = models.CharField(max_length=7, blank=True)
    note = models.TextField(blank=True)

    class Meta:
        indexes = [models.Index(fields=["household", "dog"], name="serving_by_dog")]

    def __str__(self) -> str:
        return f"{self.offered_g:g} g"
