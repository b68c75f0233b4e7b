"""What a member does with the private address of their calendar."""

import secrets
from datetime import datetime

from django.db import transaction

from household.accounts.errors import Forbidden
from household.accounts.models import Member
from household.accounts.queries import token_hash
from household.prep.models import CalendarAddress
from household.sync.vocabulary import PLANNERS

_TOKEN_BYTES = 24  # 192 bits: it cannot be guessed.


def require_duties(member: Member) -> None:
    """Raises Forbidden for a role that may not see duties."""
    if member.role not in PLANNERS:
        raise Forbidden


@transaction.atomic
def make_address(member: Member, *, now: datetime) -> str:
    """Makes the address of the member's calendar and returns its token, known only here.

    An earlier address ends. Raises Forbidden for a sitter.
    """
    require_duties(member)
    token = secrets.token_urlsafe(_TOKEN_BYTES)
    CalendarAddress.objects.update_or_create(
        member=member, defaults={"token_sha256": token_hash(token), "made_at": now}
    )
    return token


def withdraw_address(member: Member) -> None:
    """Ends the address of the member's calendar; doing so twice is no error."""
    CalendarAddress.objects.filter(member=member).delete()
