"""Limits on guessing. Failures are counted, by where they come from: nobody can lock a household
out by typing its members' addresses, and nobody who types correctly is ever slowed down.
"""

from typing import Any

from rest_framework.request import Request
from rest_framework.throttling import SimpleRateThrottle
from rest_framework.views import APIView

from household.accounts.queries import token_hash


class FailureThrottle(SimpleRateThrottle):
    """Refuses further attempts after too many failures; the view reports each one."""

    num_requests: int  # Set by DRF from the rate.
    duration: int  # [s]

    def throttle_success(self) -> bool:
        return True  # Asking is free: only record_failure() counts.

    def record_failure(self, request: Request, view: APIView) -> None:
        self.key = self.get_cache_key(request, view)
        self.history = [self.timer(), *self.cache.get(self.key, [])]
        self.cache.set(self.key, self.history[: self.num_requests], self.duration)

    def get_cache_key(self, request: Request, view: APIView) -> str:
        return self.cache_format % {"scope": self.scope, "ident": self.ident_of(request)}

    def ident_of(self, request: Request) -> str:
        return str(self.get_ident(request))


class SignInFailures(FailureThrottle):
    scope = "sign_in"
    rate = "60/hour"


class SignInFailuresPerPerson(FailureThrottle):
    scope = "sign_in_person"
    rate = "15/hour"

    def ident_of(self, request: Request) -> str:
        data: Any = request.data
        email = str(data.get("email", "")) if isinstance(data, dict) else ""
        # Hashed, because a cache key may not hold spaces, and an address need not lie about.
        return f"{super().ident_of(request)}-{token_hash(email.strip().lower())[:32]}"


class PasswordFailures(FailureThrottle):
    scope = "password"
    rate = "15/hour"

    def ident_of(self, request: Request) -> str:
        return str(request.user.pk)


class InvitationFailures(FailureThrottle):
    scope = "invitation"
    rate = "60/hour"


class SignUps(SimpleRateThrottle):
    """Counts every new account from one place."""

    scope = "sign_up"
    rate = "60/hour"

    def get_cache_key(self, request: Request, view: APIView) -> str:
        return self.cache_format % {"scope": self.scope, "ident": self.get_ident(request)}
