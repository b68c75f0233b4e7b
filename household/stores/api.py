"""Typed reads of what is in store, for scripts and tests; the phone reads its own records."""

from typing import Any
from uuid import UUID

from django.http import HttpResponse
from django.utils.cache import get_conditional_response
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiParameter, extend_schema
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from household.accounts.errors import Forbidden
from household.accounts.queries import member_for
from household.accounts.serializers import ApiErrorSerializer
from household.stores import queries
from household.stores.models import Lot
from household.sync.vocabulary import PLANNERS
from nutrition.search import HOW


class LotSerializer(serializers.ModelSerializer[Lot]):
    """A lot with what is left of it by its ledger."""

    stock_g = serializers.IntegerField(help_text="May be negative: then the ledger is wrong")
    flags = serializers.ListField(child=serializers.CharField())

    class Meta:
        model = Lot
        fields = [
            "rid",
            "food",
            "pack_mass_g",
            "place",
            "place_name",
            "shelf",
            "form",
            "thickness_mm",
            "own",
            "frozen_on",
            "bought_on",
            "best_by",
            "price_minor",
            "price_currency",
            "seller",
            "bought_as_packs",
            "bought_as_pack_mass_g",
            "divided_from",
            "note",
            "stock_g",
            "flags",
        ]


class LotsView(APIView):
    @extend_schema(
        responses={
            200: LotSerializer(many=True),
            403: ApiErrorSerializer,
            404: ApiErrorSerializer,
        },
        operation_id="lots_list",
    )
    def get(self, request: Request, household_id: UUID) -> Response:
        member = member_for(request.user, household_id)
        if member.role not in PLANNERS:
            raise Forbidden
        return Response(LotSerializer(_lots(household_id), many=True).data)


MOST_FOUND = 50
MOST_TYPED = 100


class FoundFoodSerializer(serializers.Serializer[Any]):
    """A food of the tables that answers to what was typed."""

    key = serializers.CharField()
    name = serializers.CharField()
    also = serializers.ListField(child=serializers.CharField())
    group = serializers.CharField()
    state = serializers.CharField(help_text="raw, cooked or dry")
    energy_kcal_per_100g = serializers.FloatField()
    how = serializers.ChoiceField(HOW, help_text="How it was found, the best first")


class FoodSearchView(APIView):
    """The tables' foods by what people call them; the phone searches its own copy the same way."""

    @extend_schema(
        parameters=[
            OpenApiParameter("q", str, required=True, description="What was typed"),
        ],
        responses={200: FoundFoodSerializer(many=True), 403: ApiErrorSerializer},
        operation_id="nutrition_foods",
    )
    def get(self, request: Request) -> Response:
        typed = request.query_params.get("q", "")[:MOST_TYPED]
        found = [
            {
                "key": food.key,
                "name": food.name,
                "also": list(food.also),
                "group": group,
                "state": food.style,
                "energy_kcal_per_100g": food.energy_kcal_per_100g,
                "how": how,
            }
            for food, group, how in queries.foods_called(typed, MOST_FOUND)
        ]
        return Response(FoundFoodSerializer(found, many=True).data)


class NutritionTablesView(APIView):
    """The published tables, the same for everybody; the ETag is the hash of their content."""

    @extend_schema(
        responses={200: OpenApiTypes.OBJECT, 304: None, 403: ApiErrorSerializer},
        operation_id="nutrition_tables",
    )
    def get(self, request: Request) -> HttpResponse:
        version, text = queries.published_tables()
        etag = f'"{version}"'
        response = get_conditional_response(request._request, etag=etag) or HttpResponse(
            text, content_type="application/json"
        )
        response["ETag"] = etag
        response["Cache-Control"] = "private, no-cache"  # Kept, but asked about each time.
        return response


def _lots(household_id: UUID) -> list[Any]:
    lots: list[Any] = []
    for lot, stock in queries.lots_in_store(household_id):
        lot.stock_g, lot.flags = stock.mass_g, sorted(stock.flags)  # type: ignore[attr-defined]
        lots.append(lot)
    return lots
