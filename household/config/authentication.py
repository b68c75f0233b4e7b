"""Signing in by session cookie, with a CSRF token on every change."""

from typing import Any

from drf_spectacular.authentication import SessionScheme
from rest_framework import authentication, exceptions
from rest_framework.request import Request


class SessionAuthentication(authentication.SessionAuthentication):
    """DRF's, except that sign-in and sign-up are protected from forged requests as well."""

    def authenticate(self, request: Request) -> tuple[Any, None] | None:
        self.enforce_csrf(request)
        return super().authenticate(request)

    def enforce_csrf(self, request: Request) -> None:
        try:
            super().enforce_csrf(request)
        except exceptions.PermissionDenied as refused:
            # A code of its own: the phone fetches a new token and sends again.
            raise exceptions.PermissionDenied(
                "The page's security token is missing or old. Load the page again.", "csrf_failed"
            ) from refused


class SessionAuthenticationScheme(SessionScheme):  # type: ignore[no-untyped-call]  # No hints there.
    """Describes SessionAuthentication in the OpenAPI schema."""

    target_class = "household.config.authentication.SessionAuthentication"
    name = "session"
