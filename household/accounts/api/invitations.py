"""Inviting, looking an invitation up, and accepting it."""

import uuid
from typing import Any

import segno
from django.conf import settings
from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework.permissions import AllowAny
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from household.accounts import actions
from household.accounts.api.session import session_answer, signed_in
from household.accounts.errors import InvitationUnknown
from household.accounts.queries import invitations_of, member_for, open_invitation
from household.accounts.serializers import (
    ApiErrorSerializer,
    InvitationListedSerializer,
    InvitationMadeSerializer,
    InvitationPreviewSerializer,
    InvitationRequestSerializer,
    SessionSerializer,
)
from household.accounts.throttles import InvitationFailures

ERRORS = {400: ApiErrorSerializer, 403: ApiErrorSerializer, 404: ApiErrorSerializer}


def join_url(request: Request, token: str) -> str:
    """The link to pass on, at the address by which other devices reach this server."""
    path = f"/join/{token}"
    if settings.INVITATION_BASE_URL:
        return f"{settings.INVITATION_BASE_URL}{path}"
    return request.build_absolute_uri(path)


def qr_svg(text: str) -> str:
    """The text as a QR code: an svg element, dark on light whatever the theme, so that it scans."""
    return segno.make(text, error="m", micro=False).svg_inline(
        scale=5, dark="black", light="white", svgclass=None, lineclass=None, omitsize=True
    )


class HouseholdInvitationsView(APIView):
    @extend_schema(responses={200: InvitationListedSerializer(many=True), **ERRORS})
    def get(self, request: Request, household_id: uuid.UUID) -> Response:
        member = member_for(signed_in(request), household_id)
        actions.require_owner(member)
        now = timezone.now()
        listed: list[dict[str, Any]] = [
            {
                "id": invitation.pk,
                "role": invitation.role,
                "state": invitation.state(now),
                "made_by": invitation.made_by.user.name,
                "made_at": invitation.made_at,
                "expires_at": invitation.expires_at,
                "used_by": invitation.used_by and invitation.used_by.user.name,
            }
            for invitation in invitations_of(member.household)
        ]
        return Response(InvitationListedSerializer(listed, many=True).data)

    @extend_schema(
        request=InvitationRequestSerializer,
        responses={201: InvitationMadeSerializer, **ERRORS},
        description="Invite one person. The link is shown this once and lasts seven days.",
    )
    def post(self, request: Request, household_id: uuid.UUID) -> Response:
        member = member_for(signed_in(request), household_id)
        given = InvitationRequestSerializer(data=request.data)
        given.is_valid(raise_exception=True)
        made = actions.invite(member, role=given.validated_data["role"], now=timezone.now())
        url = join_url(request, made.token)
        answer = {
            "id": made.invitation.pk,
            "url": url,
            "qr_svg": qr_svg(url),
            "role": made.invitation.role,
            "expires_at": made.invitation.expires_at,
            "token": made.token,
        }
        return Response(
            InvitationMadeSerializer(answer).data, status=201, headers={"Cache-Control": "no-store"}
        )


class HouseholdInvitationView(APIView):
    @extend_schema(
        responses={204: None, 409: ApiErrorSerializer, **ERRORS},
        description="Withdraw an invitation that nobody has used yet.",
    )
    def delete(
        self, request: Request, household_id: uuid.UUID, invitation_id: uuid.UUID
    ) -> Response:
        member = member_for(signed_in(request), household_id)
        actions.withdraw_invitation(member, invitation_id=invitation_id, now=timezone.now())
        return Response(status=204)


class InvitationView(APIView):
    permission_classes = (AllowAny,)
    throttle_classes = (InvitationFailures,)

    @extend_schema(
        responses={
            200: InvitationPreviewSerializer,
            404: ApiErrorSerializer,
            410: ApiErrorSerializer,
            429: ApiErrorSerializer,
        },
        description="What an invitation offers; 410 says why it is no longer good.",
    )
    def get(self, request: Request, token: str) -> Response:
        try:
            invitation = open_invitation(token, now=timezone.now())
        except InvitationUnknown:
            InvitationFailures().record_failure(request, self)
            raise
        return Response(
            InvitationPreviewSerializer(
                {
                    "household_name": invitation.household.name,
                    "role": invitation.role,
                    "invited_by": invitation.made_by.user.name,
                    "expires_at": invitation.expires_at,
                }
            ).data
        )


class InvitationAcceptanceView(APIView):
    throttle_classes = (InvitationFailures,)

    @extend_schema(
        request=None,
        responses={
            200: SessionSerializer,
            409: ApiErrorSerializer,
            410: ApiErrorSerializer,
            429: ApiErrorSerializer,
            **ERRORS,
        },
        description="Join the inviting household with the signed-in account.",
    )
    def post(self, request: Request, token: str) -> Response:
        try:
            actions.accept_invitation(signed_in(request), token=token, now=timezone.now())
        except InvitationUnknown:
            InvitationFailures().record_failure(request, self)
            raise
        return session_answer(request)
