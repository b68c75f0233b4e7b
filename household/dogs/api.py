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
EDITION = OpenApiParameter("edition", str, description=f"A standard; {queries.YARDSTICK} if absent")
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


class NutrientNeedSerializer(serializers.Serializer[Any]):
    nutrient = serializers.CharField()
    unit = serializers.CharField(help_text="Of the amounts per 1000 kcal ME")
    minimum = serializers.FloatField(allow_null=True)
    recommended = serializers.FloatField(allow_null=True)
    maximum = serializers.FloatField(allow_null=True)
    source = serializers.CharField()  # type: ignore[assignment]  # A word of the API.
    locator = serializers.CharField()
    verified = serializers.CharField()


class DogRequirementSerializer(serializers.Serializer[Any]):
    """What a dog needs. Without a weight the energy is null and ``why_not`` says so."""

    dog = serializers.UUIDField()
    weighing = WeighingSerializer(allow_null=True)
    energy = EnergyNeedSerializer(allow_null=True)
    why_not = serializers.CharField(allow_blank=True)
    edition = serializers.CharField()
    edition_name = serializers.CharField()
    stage = serializers.CharField()
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
        need = queries.need_of(dog, now.weighing, on=on, edition=edition_asked(request))
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


def edition_asked(request: Request) -> str:
    return request.query_params.get("edition") or queries.YARDSTICK


def limits_as_rows(need: queries.Need) -> list[dict[str, Any]]:
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
        }
        for key, limits in need.targets.limits.items()
    ]
