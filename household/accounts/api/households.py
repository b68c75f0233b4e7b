"""Households and their members."""

import uuid

from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from household.accounts import actions
from household.accounts.api.session import session_answer, signed_in
from household.accounts.models import Member
from household.accounts.queries import member_for, members_of
from household.accounts.serializers import (
    ApiErrorSerializer,
    HouseholdChangeSerializer,
    HouseholdCreationSerializer,
    HouseholdDetailSerializer,
    HouseholdMemberSerializer,
    MemberChangeSerializer,
    SessionSerializer,
)

ERRORS = {400: ApiErrorSerializer, 403: ApiErrorSerializer, 404: ApiErrorSerializer}


def _household_answer(member: Member) -> Response:
    household = member.household
    return Response(
        HouseholdDetailSerializer(
            {
                "id": household.pk,
                "name": household.name,
                "time_zone": household.time_zone,
                "role": member.role,
                "member_id": member.pk,
                "members": members_of(household),
            }
        ).data
    )


class HouseholdsView(APIView):
    @extend_schema(
        request=HouseholdCreationSerializer,
        responses={201: SessionSerializer, 400: ApiErrorSerializer, 403: ApiErrorSerializer},
        description="Begin another household; its maker is its owner.",
    )
    def post(self, request: Request) -> Response:
        given = HouseholdCreationSerializer(data=request.data)
        given.is_valid(raise_exception=True)
        actions.found_household(signed_in(request), **given.validated_data)
        return session_answer(request, status=201)


class HouseholdView(APIView):
    @extend_schema(responses={200: HouseholdDetailSerializer, **ERRORS})
    def get(self, request: Request, household_id: uuid.UUID) -> Response:
        return _household_answer(member_for(signed_in(request), household_id))

    @extend_schema(
        request=HouseholdChangeSerializer, responses={200: HouseholdDetailSerializer, **ERRORS}
    )
    def patch(self, request: Request, household_id: uuid.UUID) -> Response:
        member = member_for(signed_in(request), household_id)
        given = HouseholdChangeSerializer(data=request.data)
        given.is_valid(raise_exception=True)
        member.household = actions.change_household(member, **given.validated_data)
        return _household_answer(member)


class MemberView(APIView):
    @extend_schema(
        request=MemberChangeSerializer,
        responses={200: HouseholdMemberSerializer, 409: ApiErrorSerializer, **ERRORS},
        description="An owner gives roles; everybody sets their own units.",
    )
    def patch(self, request: Request, household_id: uuid.UUID, member_id: uuid.UUID) -> Response:
        by = member_for(signed_in(request), household_id)
        given = MemberChangeSerializer(data=request.data)
        given.is_valid(raise_exception=True)
        member = actions.change_member(by, member_id=member_id, **given.validated_data)
        return Response(HouseholdMemberSerializer(member).data)

    @extend_schema(
        responses={204: None, 409: ApiErrorSerializer, **ERRORS},
        description="An owner removes a member; everybody may leave, save the last owner.",
    )
    def delete(self, request: Request, household_id: uuid.UUID, member_id: uuid.UUID) -> Response:
        by = member_for(signed_in(request), household_id)
        actions.remove_member(by, member_id=member_id, now=timezone.now())
        return Response(status=204)
