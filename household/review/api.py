"""The weekly summaries, for scripts and tests; the phone reads its own records."""

from uuid import UUID

from drf_spectacular.utils import OpenApiParameter, extend_schema
from rest_framework import serializers
from rest_framework.exceptions import ValidationError
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from household.accounts.errors import Forbidden
from household.accounts.queries import member_for
from household.accounts.serializers import ApiErrorSerializer
from household.review.kinds import SUMMARY
from household.review.models import Summary
from household.review.queries.stored import summaries_of
from household.review.queries.weeks import Week, WeekError, parse_week

ERRORS = {400: ApiErrorSerializer, 403: ApiErrorSerializer, 404: ApiErrorSerializer}
WEEK = OpenApiParameter(
    "week", str, description="An ISO 8601 week such as 2026-W47; the newest summed up if absent"
)


class SummarySerializer(serializers.ModelSerializer[Summary]):
    """One dog's week. Masses in g, energy in kcal ME, shares from 0 to 1; unknown is null."""

    body = serializers.JSONField()

    class Meta:
        model = Summary
        fields = ["rid", "dog", "week", "body"]


class SummariesView(APIView):
    @extend_schema(
        parameters=[WEEK],
        responses={200: SummarySerializer(many=True), **ERRORS},
        operation_id="summaries_list",
    )
    def get(self, request: Request, household_id: UUID) -> Response:
        member = member_for(request.user, household_id)
        if member.role not in SUMMARY.see:
            raise Forbidden
        found = summaries_of(household_id, _week(request.query_params.get("week")))
        return Response(SummarySerializer(found, many=True).data)


def _week(text: str | None) -> Week | None:
    if text is None:
        return None
    try:
        return parse_week(text)
    except WeekError as error:
        raise ValidationError({"week": [str(error)]}) from error
