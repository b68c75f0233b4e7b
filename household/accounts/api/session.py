"""Signing up, in and out, and the session that results."""

from typing import Any

from django.contrib.auth import authenticate, login, logout, update_session_auth_hash
from django.middleware.csrf import get_token
from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework.permissions import AllowAny
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from household.accounts import actions
from household.accounts.errors import WrongCredentials
from household.accounts.models import User
from household.accounts.queries import memberships
from household.accounts.serializers import (
    ApiErrorSerializer,
    EmptySerializer,
    PasswordChangeSerializer,
    SessionSerializer,
    SignInSerializer,
    SignUpSerializer,
)
from household.accounts.throttles import (
    PasswordFailures,
    SignInFailures,
    SignInFailuresPerPerson,
    SignUps,
)

_BACKEND = "django.contrib.auth.backends.ModelBackend"
ERRORS = {400: ApiErrorSerializer, 403: ApiErrorSerializer, 429: ApiErrorSerializer}


def signed_in(request: Request) -> User:
    """The user of a request that has passed IsAuthenticated."""
    if not isinstance(request.user, User):
        raise TypeError("This view must not be open to everybody.")
    return request.user


def session_answer(request: Request, status: int = 200) -> Response:
    """Who is signed in, where they belong, and the token that changes must carry."""
    user = request._request.user
    known = isinstance(user, User)
    data: dict[str, Any] = {
        "csrf_token": get_token(request._request),
        "user": user if known else None,
        "households": [
            {
                "id": member.household_id,
                "name": member.household.name,
                "role": member.role,
                "member_id": member.pk,
                "time_zone": member.household.time_zone,
                "units": member.units,
            }
            for member in (memberships(user) if isinstance(user, User) else [])
        ],
        "secure": request.is_secure(),
    }
    return Response(
        SessionSerializer(data).data, status=status, headers={"Cache-Control": "no-store"}
    )


def _prolong(request: Request) -> None:
    """Counts the session's life anew, once a day: a device in use is never signed out by time."""
    today = timezone.now().date().isoformat()
    if request._request.session.get("last_day") != today:
        request._request.session["last_day"] = today


class SessionView(APIView):
    permission_classes = (AllowAny,)

    @extend_schema(responses=SessionSerializer, description="Who is signed in on this device.")
    def get(self, request: Request) -> Response:
        if isinstance(request.user, User):
            _prolong(request)
        return session_answer(request)


class SignUpView(APIView):
    permission_classes = (AllowAny,)
    throttle_classes = (SignUps,)

    @extend_schema(
        request=SignUpSerializer,
        responses={201: SessionSerializer, 410: ApiErrorSerializer, **ERRORS},
        description="Make an account, with a new household or by invitation, and sign in.",
    )
    def post(self, request: Request) -> Response:
        given = SignUpSerializer(data=request.data)
        given.is_valid(raise_exception=True)
        person = {key: given.validated_data[key] for key in ("name", "email", "password")}
        if "invitation" in given.validated_data:
            user = actions.sign_up_by_invitation(
                **person, token=given.validated_data["invitation"], now=timezone.now()
            )
        else:
            user = actions.sign_up_with_household(
                **person,
                household_name=given.validated_data["household_name"],
                time_zone=given.validated_data["time_zone"],
            )
        login(request._request, user, backend=_BACKEND)
        return session_answer(request, status=201)


class SignInView(APIView):
    permission_classes = (AllowAny,)
    throttle_classes = (SignInFailures, SignInFailuresPerPerson)

    @extend_schema(request=SignInSerializer, responses={200: SessionSerializer, **ERRORS})
    def post(self, request: Request) -> Response:
        given = SignInSerializer(data=request.data)
        given.is_valid(raise_exception=True)
        user = authenticate(
            request._request,
            username=given.validated_data["email"],
            password=given.validated_data["password"],
        )
        if not isinstance(user, User):
            for throttle in (SignInFailures(), SignInFailuresPerPerson()):
                throttle.record_failure(request, self)
            raise WrongCredentials
        login(request._request, user)
        return session_answer(request)


class SignOutView(APIView):
    permission_classes = (AllowAny,)

    @extend_schema(
        request=None,
        responses=SessionSerializer,
        description="End the session. What the phone has not sent yet stays on the phone.",
    )
    def post(self, request: Request) -> Response:
        logout(request._request)
        return session_answer(request)


class PasswordView(APIView):
    throttle_classes = (PasswordFailures,)

    @extend_schema(
        request=PasswordChangeSerializer,
        responses={200: EmptySerializer, **ERRORS},
        description="Set a new password; sessions on other devices end.",
    )
    def post(self, request: Request) -> Response:
        given = PasswordChangeSerializer(data=request.data)
        given.is_valid(raise_exception=True)
        user = signed_in(request)
        try:
            actions.change_password(user, **given.validated_data)
        except WrongCredentials:
            PasswordFailures().record_failure(request, self)
            raise
        update_session_auth_hash(request._request, user)
        return Response({})
