"""The private address of a member's calendar: making and ending it, and what stands there."""

from typing import Any
from uuid import UUID

from django.conf import settings
from django.http import HttpRequest, HttpResponse, HttpResponseNotFound
from django.utils import timezone
from django.views.decorators.http import require_safe
from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from household.accounts.queries import member_for
from household.dogs.api import ERRORS
from household.prep import actions
from household.prep.agenda import agenda
from household.prep.calendar import DAYS_AHEAD, as_ical
from household.prep.queries import address_of, calendar_member


class CalendarAddressSerializer(serializers.Serializer[Any]):
    made_at = serializers.DateTimeField(allow_null=True, help_text="null: there is no address")
    begins_with = serializers.CharField(help_text="What an address begins with that is made now.")


class CalendarAddressMadeSerializer(CalendarAddressSerializer):
    url = serializers.CharField(help_text="The address to subscribe to; it cannot be shown again.")


def reached_at(request: Request) -> str:
    """The address of this server: the one people use, else the one that was asked."""
    return settings.PUBLIC_URL or request.build_absolute_uri("/").rstrip("/")


class CalendarAddressView(APIView):
    @extend_schema(
        responses={200: CalendarAddressSerializer, **ERRORS}, operation_id="calendar_address"
    )
    def get(self, request: Request, household_id: UUID) -> Response:
        member = member_for(request.user, household_id)
        actions.require_duties(member)
        address = address_of(member)
        answer = {
            "made_at": address.made_at if address else None,
            "begins_with": reached_at(request),
        }
        return Response(CalendarAddressSerializer(answer).data)

    @extend_schema(
        request=None,
        responses={201: CalendarAddressMadeSerializer, **ERRORS},
        operation_id="calendar_address_make",
        description="Make the address of one's own calendar. An earlier one ends. Shown this once.",
    )
    def post(self, request: Request, household_id: UUID) -> Response:
        member = member_for(request.user, household_id)
        now = timezone.now()
        begins_with = reached_at(request)
        answer = {
            "url": f"{begins_with}/calendar/{actions.make_address(member, now=now)}.ics",
            "begins_with": begins_with,
            "made_at": now,
        }
        return Response(
            CalendarAddressMadeSerializer(answer).data,
            status=201,
            headers={"Cache-Control": "no-store"},
        )

    @extend_schema(responses={204: None, **ERRORS}, operation_id="calendar_address_end")
    def delete(self, request: Request, household_id: UUID) -> Response:
        actions.withdraw_address(member_for(request.user, household_id))
        return Response(status=204)


@require_safe
def calendar(request: HttpRequest, token: str) -> HttpResponse:
    """The calendar at a private address, for whoever knows it; nobody signs in here."""
    member = calendar_member(token)
    headers = {"Cache-Control": "no-store"}
    if member is None:
        # The same whatever is wrong: whoever guesses learns nothing.
        return HttpResponseNotFound(
            "There is nothing at this address.\n", content_type="text/plain", headers=headers
        )
    dues = agenda(member, days=DAYS_AHEAD, now=timezone.now())
    return HttpResponse(
        as_ical(f"Duties of {member.user.name}", dues),
        content_type="text/calendar; charset=utf-8",
        headers=headers,
    )
