"""Dogs and what is noted about them. Written by sync; the words are those of kinds.py."""

from django.db import models

from household.sync.models import Projected


class Dog(Projected):
    """A dog of the household. Unknown numbers are null, unknown words empty."""

    name = models.CharField(max_length=60)
    breed = models.CharField(max_length=80, blank=True)
    born_date = models.DateField(null=True)
    born_estimated = models.BooleanField(null=True)
    sex = models.CharField(max_length=6, blank=True)
    neutered = models.BooleanField(null=True)
    adult_weight_g = models.FloatField(null=True)
    activity = models.CharField(max_length=8, blank=True)
    energy_vet_kcal_per_day = models.FloatField(null=True)
    energy_vet_note = models.TextField(blank=True)
    vet_notes = models.TextField(blank=True)
    archived = models.BooleanField(null=True)
    reproduction_mated_on = models.DateField(null=True)
    reproduction_whelped_on = models.DateField(null=True)
    reproduction_pups = models.PositiveSmallIntegerField(null=True)
    reproduction_weaned_on = models.DateField(null=True)
    caps_fat_g_per_1000_kcal = models.FloatField(null=True)
    caps_bone_pct = models.FloatField(null=True)
    caps_liver_pct = models.FloatField(null=True)
    caps_organ_pct = models.FloatField(null=True)
    may_not_have = models.JSONField(null=True)
    weight_plan_goal = models.CharField(max_length=4, blank=True)
    weight_plan_agreed_with_vet = models.BooleanField(null=True)
    weight_plan_target_mass_g = models.FloatField(null=True)

    class Meta:
        indexes = [models.Index(fields=["household", "name"], name="dog_by_name")]

    def __str__(self) -> str:
        return self.name

    @property
    def is_archived(self) -> bool:
        return bool(self.archived)

    @property
    def is_entire_female(self) -> bool:
        """Whether mating and pups can be meant; what contradicts it is left aside."""
        return self.sex == "female" and self.neutered is False


class Preference(Projected):
    """What the household has chosen for all its members: one record at a known id."""

    standard = models.CharField(max_length=20, blank=True)
    fridge_c = models.FloatField(null=True)

    def __str__(self) -> str:
        return self.standard or "no yardstick chosen"


class OfDog(Projected):
    """Something noted about one dog at one time."""

    dog = models.ForeignKey(Dog, on_delete=models.CASCADE, related_name="%(class)ss")
    at = models.DateTimeField()
    note = models.TextField(blank=True)

    class Meta:
        abstract = True
        indexes = [models.Index(fields=["dog", "at"], name="%(class)s_by_dog")]


class Weighing(OfDog):
    mass_g = models.FloatField()

    def __str__(self) -> str:
        return f"{self.mass_g:g} g"


class Condition(OfDog):
    """Body condition score (1 to 9) and muscle condition, as a person judged them."""

    bcs = models.PositiveSmallIntegerField(null=True)
    mcs = models.CharField(max_length=8, blank=True)

    def __str__(self) -> str:
        return f"BCS {self.bcs}, muscle {self.mcs or 'not judged'}"


class Observation(OfDog):
    topic = models.CharField(max_length=9)
    word = models.CharField(max_length=16, blank=True)
    flags = models.JSONField(null=True)
    meal = models.UUIDField(null=True)

    def __str__(self) -> str:
        return f"{self.topic}: {self.word or 'noted'}"
