"""Typed reads of meals and of what dogs ate, for scripts and tests."""

from datetime import date, timedelta
from typing import Any
from uuid import UUID

from django.utils import timezone
from drf_spectacular.utils import OpenApiParameter, extend_schema, extend_schema_field
from rest_framework import serializers
from rest_framework.exceptions import ValidationError
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from household.accounts.queries import member_for
from household.accounts.serializers import ApiErrorSerializer
from household.dogs.api import EDITION, ERRORS, edition_asked, member_and_dog
from household.dogs.queries import least, today_of
from household.feeding import queries
from household.feeding.models import Meal, Serving
from household.prep.api import (
    ExcessSerializer,
    JudgementSerializer,
    NotComparedSerializer,
    RatioJudgementSerializer,
)
from household.sync.instants import parse_date

# One day, and the windows over which meals are taken to make up for one another.
WINDOWS_DAYS = (7, 14, 28, 1)
LONGEST_DAYS = 92
USUAL_DAYS = 7


class ServingSerializer(serializers.ModelSerializer[Serving]):
    class Meta:
        model = Serving
        fields = [
            "rid",
            "dog",
            "what_food",
            "what_batch",
            "what_bag",
            "offered_g",
            "left_g",
            "left_share",
            "appetite",
            "note",
            "made_by",
        ]


class MealSerializer(serializers.ModelSerializer[Meal]):
    servings = ServingSerializer(many=True)

    class Meta:
        model = Meal
        fields = ["rid", "mealtime", "name", "day", "at", "note", "made_by", "servings"]


class IntakeSerializer(serializers.Serializer[Any]):
    """What a dog ate. A serving without a note of what was left counts as eaten, and is said so."""

    first = serializers.DateField()
    last = serializers.DateField()
    offered_g = serializers.FloatField()
    left_g = serializers.FloatField()
    eaten_g = serializers.FloatField()
    assumed_share = serializers.FloatField(allow_null=True)
    days_with_food = serializers.IntegerField()
    foods = serializers.DictField(child=serializers.FloatField(), help_text="g by food")
    unresolved_g = serializers.FloatField(help_text="Eaten of something of unknown content")


class TableLimitsSerializer(serializers.Serializer[Any]):
    """What the edition's table prints for one nutrient, per 1000 kcal ME."""

    nutrient = serializers.CharField()
    minimum = serializers.FloatField(allow_null=True)
    maximum = serializers.FloatField(allow_null=True)


class DogAdequacySerializer(serializers.Serializer[Any]):
    edition = serializers.CharField(source="targets.edition")
    edition_name = serializers.CharField(source="targets.name")
    stage = serializers.CharField(source="targets.stage")
    factor = serializers.FloatField(
        source="targets.factor", help_text="The table's amounts times this are the dog's own"
    )
    correction = serializers.CharField(source="targets.correction")
    assumed_kcal_per_kg075 = serializers.FloatField(
        source="targets.assumed_kcal_per_kg075", allow_null=True
    )
    own_kcal_per_kg075 = serializers.FloatField(
        source="targets.own_kcal_per_kg075", allow_null=True
    )
    table = serializers.SerializerMethodField()
    intake = IntakeSerializer()
    energy_kcal = serializers.FloatField(source="totals.energy_kcal")
    known_share = serializers.FloatField(help_text="Of the eaten mass, with known composition")
    judgements = JudgementSerializer(many=True)
    not_compared = NotComparedSerializer(many=True)
    ratios = RatioJudgementSerializer(many=True)
    excesses = ExcessSerializer(many=True)

    @extend_schema_field(TableLimitsSerializer(many=True))
    def get_table(self, found: queries.WindowAdequacy) -> list[dict[str, Any]]:
        return [
            {"nutrient": nutrient, "minimum": least(limits), "maximum": limits.maximum}
            for nutrient, limits in found.table.limits.items()
        ]


class MealsView(APIView):
    @extend_schema(
        parameters=[
            OpenApiParameter("from", str, description="First day, like 2026-11-19"),
            OpenApiParameter("to", str, description=f"Last day, within {LONGEST_DAYS} days"),
        ],
        responses={200: MealSerializer(many=True), 400: ApiErrorSerializer, **ERRORS},
        operation_id="meals_list",
    )
    def get(self, request: Request, household_id: UUID) -> Response:
        member = member_for(request.user, household_id)
        last = _day(request, "to") or today_of(member.household, timezone.now())
        first = _day(request, "from") or last - timedelta(days=USUAL_DAYS - 1)
        if not timedelta(0) <= last - first < timedelta(days=LONGEST_DAYS):
            raise ValidationError(
                {
                    "from": [
                        f"{first} to {last} was asked for; allowed are 1 to {LONGEST_DAYS} days, "
                        "the first day not after the last."
                    ]
                }
            )
        meals = queries.meals_between(household_id, first, last)
        return Response(MealSerializer(meals, many=True).data)


class DogAdequacyView(APIView):
    @extend_schema(
        parameters=[
            OpenApiParameter("days", int, description="Window: 1, 7, 14 or 28 days, 7 if absent"),
            OpenApiParameter("to", str, description="Last day of the window; today if absent"),
            EDITION,
        ],
        responses={200: DogAdequacySerializer, 400: ApiErrorSerializer, **ERRORS},
        operation_id="dogs_adequacy",
    )
    def get(self, request: Request, household_id: UUID, rid: UUID) -> Response:
        member, dog = member_and_dog(request, household_id, rid)
        given = request.query_params.get("days", str(WINDOWS_DAYS[0]))
        if given not in map(str, WINDOWS_DAYS):
            raise ValidationError(
                {"days": [f"days is “{given[:40]}”; allowed: 1, 7, 14 or 28. Choose one of them."]}
            )
        last = _day(request, "to") or today_of(member.household, timezone.now())
        found = queries.adequacy(
            household_id,
            dog,
            last=last,
            days=int(given),
            edition=edition_asked(request, household_id),
        )
        return Response(DogAdequacySerializer(found).data)


def _day(request: Request, name: str) -> date | None:
    given = request.query_params.get(name)
    if given is None:
        return None
    day = parse_date(given)
    if day is None or day.year > 9000:
        raise ValidationError(
            {name: [f"{name} is “{given[:40]}”; give a date like 2026-11-25, from 1900 on."]}
        )
    return day
