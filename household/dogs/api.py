"""Typed reads of dogs, for scripts and tests; the phone reads its own store."""

from typing import Any
from uuid import UUID

from django.utils import timezone
from drf_spectacular.utils import OpenApiParameter, extend_schema
from rest_framework import serializers
from rest_framework.exceptions import NotFound
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from household.accounts.models import Member
from household.accounts.queries import member_for
from household.accounts.serializers import ApiErrorSerializer
from household.dogs import queries
from household.dogs.models import Condition, Dog, Observation, Weighing

ERRORS = {403: ApiErrorSerializer, 404: ApiErrorSerializer}
EDITION = OpenApiParameter("edition", str, description="A standard; the household's own if absent")
LATEST = 100
"""How many of the latest entries of each kind come with one dog."""


class WeighingSerializer(serializers.ModelSerializer[Weighing]):
    class Meta:
        model = Weighing
        fields = ["rid", "at", "mass_g", "note", "made_by"]


class ConditionSerializer(serializers.ModelSerializer[Condition]):
    class Meta:
        model = Condition
        fields = ["rid", "at", "bcs", "mcs", "note", "made_by"]


class ObservationSerializer(serializers.ModelSerializer[Observation]):
    flags = serializers.ListField(child=serializers.CharField(), allow_null=True)

    class Meta:
        model = Observation
        fields = ["rid", "at", "topic", "word", "flags", "note", "meal", "made_by"]


class DogFieldsSerializer(serializers.ModelSerializer[Dog]):
    class Meta:
        model = Dog
        fields = [
            "rid",
            "name",
            "breed",
            "born_date",
            "born_estimated",
            "sex",
            "neutered",
            "adult_weight_g",
            "activity",
            "energy_vet_kcal_per_day",
            "energy_vet_note",
            "vet_notes",
            "archived",
            "reproduction_mated_on",
            "reproduction_whelped_on",
            "reproduction_pups",
            "reproduction_weaned_on",
            "caps_fat_g_per_1000_kcal",
            "caps_bone_pct",
            "caps_liver_pct",
            "caps_organ_pct",
            "may_not_have",
            "weight_plan_goal",
            "weight_plan_agreed_with_vet",
            "weight_plan_target_mass_g",
        ]


class DogSerializer(serializers.Serializer[Any]):
    """A dog with its latest weight and condition; null where nobody entered one."""

    dog = DogFieldsSerializer()
    weighing = WeighingSerializer(allow_null=True)
    condition = ConditionSerializer(allow_null=True)


class DogDetailSerializer(DogSerializer):
    weighings = WeighingSerializer(many=True)
    conditions = ConditionSerializer(many=True)
    observations = ObservationSerializer(many=True)


class EnergyAlternativeSerializer(serializers.Serializer[Any]):
    method = serializers.CharField()
    energy_kcal = serializers.FloatField()
    source = serializers.CharField()  # type: ignore[assignment]  # A word of the API.


class EnergyNeedSerializer(serializers.Serializer[Any]):
    energy_kcal = serializers.FloatField(help_text="kcal ME per day")
    low_kcal = serializers.FloatField()
    high_kcal = serializers.FloatField()
    resting_kcal = serializers.FloatField()
    metabolic_mass_kg075 = serializers.FloatField()
    coefficient_kcal_per_kg075 = serializers.FloatField(allow_null=True)
    stage = serializers.CharField()
    age_band = serializers.CharField()
    method = serializers.CharField()
    source = serializers.CharField()  # type: ignore[assignment]  # A word of the API.
    verified = serializers.CharField()
    alternatives = EnergyAlternativeSerializer(many=True)
    phase = serializers.CharField(allow_null=True, help_text="Between mating and weaning")


class NutrientNeedSerializer(serializers.Serializer[Any]):
    nutrient = serializers.CharField()
    unit = serializers.CharField(help_text="Of the amounts per 1000 kcal ME")
    minimum = serializers.FloatField(allow_null=True)
    recommended = serializers.FloatField(allow_null=True)
    maximum = serializers.FloatField(allow_null=True)
    source = serializers.CharField()  # type: ignore[assignment]  # A word of the API.
    locator = serializers.CharField()
    verified = serializers.CharField()
    own_minimum = serializers.FloatField(
        allow_null=True, help_text="The least this dog needs per 1000 kcal, by what it eats"
    )
    own_maximum = serializers.FloatField(allow_null=True)


class DogRequirementSerializer(serializers.Serializer[Any]):
    """What a dog needs. Without a weight the energy is null and ``why_not`` says so."""

    dog = serializers.UUIDField()
    weighing = WeighingSerializer(allow_null=True)
    energy = EnergyNeedSerializer(allow_null=True)
    why_not = serializers.CharField(allow_blank=True)
    edition = serializers.CharField()
    edition_name = serializers.CharField()
    stage = serializers.CharField()
    variant = serializers.CharField(allow_blank=True)
    factor = serializers.FloatField(
        allow_null=True, help_text="What the table's amounts are multiplied by for this dog"
    )
    correction = serializers.CharField(allow_null=True)
    nutrients = NutrientNeedSerializer(many=True)


class DogsView(APIView):
    @extend_schema(responses={200: DogSerializer(many=True), **ERRORS}, operation_id="dogs_list")
    def get(self, request: Request, household_id: UUID) -> Response:
        member_for(request.user, household_id)
        dogs = list(queries.dogs_of(household_id))
        return Response(DogSerializer(queries.dogs_now(household_id, dogs), many=True).data)


class DogView(APIView):
    @extend_schema(responses={200: DogDetailSerializer, **ERRORS}, operation_id="dogs_one")
    def get(self, request: Request, household_id: UUID, rid: UUID) -> Response:
        _, dog = member_and_dog(request, household_id, rid)
        (now,) = queries.dogs_now(household_id, [dog])
        latest = {
            name: list(entries.filter(gone=False).order_by("-at", "-rid")[:LATEST])
            for name, entries in (
                ("weighings", dog.weighings.all()),
                ("conditions", dog.conditions.all()),
                ("observations", dog.observations.all()),
            )
        }
        answer = {"dog": dog, "weighing": now.weighing, "condition": now.condition, **latest}
        return Response(DogDetailSerializer(answer).data)


class DogRequirementView(APIView):
    @extend_schema(
        parameters=[EDITION],
        responses={200: DogRequirementSerializer, 400: ApiErrorSerializer, **ERRORS},
        operation_id="dogs_requirement",
    )
    def get(self, request: Request, household_id: UUID, rid: UUID) -> Response:
        member, dog = member_and_dog(request, household_id, rid)
        (now,) = queries.dogs_now(household_id, [dog])
        on = queries.today_of(member.household, timezone.now())
        need = queries.need_of(
            dog, now.weighing, on=on, edition=edition_asked(request, household_id)
        )
        return Response(
            DogRequirementSerializer(
                {
                    "dog": dog.rid,
                    "weighing": need.weighing,
                    "energy": need.energy,
                    "why_not": need.why_not,
                    "edition": need.targets.edition,
                    "edition_name": need.targets.name,
                    "stage": need.targets.stage,
                    "variant": need.targets.variant,
                    "factor": need.own.factor if need.own else None,
                    "correction": need.own.correction if need.own else None,
                    "nutrients": limits_as_rows(need),
                }
            ).data
        )


def member_and_dog(request: Request, household_id: UUID, rid: UUID) -> tuple[Member, Dog]:
    """The asking member and the dog. A dog of another household is not found."""
    member = member_for(request.user, household_id)
    dog = queries.dog(household_id, rid)
    if dog is None:
        raise NotFound(f"The household has no dog {rid}.")
    return member, dog


def edition_asked(request: Request, household_id: UUID) -> str:
    """The edition named in the address, or the household's yardstick."""
    return request.query_params.get("edition") or queries.yardstick(household_id)


def limits_as_rows(need: queries.Need) -> list[dict[str, Any]]:
    own = need.own.limits if need.own else {}
    return [
        {
            "nutrient": key,
            "unit": queries.unit_of(key),
            "minimum": limits.minimum,
            "recommended": limits.recommended,
            "maximum": limits.maximum,
            "source": limits.source,
            "locator": limits.locator,
            "verified": limits.verified,
            "own_minimum": queries.least(own[key]) if key in own else None,
            "own_maximum": own[key].maximum if key in own else None,
        }
        for key, limits in need.targets.limits.items()
    ]
