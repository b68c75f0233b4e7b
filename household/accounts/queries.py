"""Who belongs where, and what an invitation is still good for."""

import hashlib
import uuid
from datetime import datetime

from django.contrib.auth.models import AnonymousUser
from django.db.models import QuerySet
from django.http import Http404

from household.accounts.errors import (
    InvitationExpired,
    InvitationUnknown,
    InvitationUsed,
    InvitationWithdrawn,
    NotMember,
)
from household.accounts.models import Household, Invitation, Member, User


def member_for(user: User | AnonymousUser, household_id: uuid.UUID | str) -> Member:
    """The user's living membership of a household.

    Raises Http404 for a stranger, who must not learn that the household exists, and NotMember for
    somebody who belonged to it, so that their device stops sending instead of discarding.
    """
    if not user.is_authenticated:
        raise Http404("There is no such household.")
    try:
        key = uuid.UUID(str(household_id))
    except ValueError:
        raise Http404("There is no such household.") from None
    member = (
        Member.objects.select_related("household", "user")
        .filter(household_id=key, user=user)
        .first()
    )
    if member is None:
        raise Http404("There is no such household.")
    if member.is_removed:
        raise NotMember
    return member


def memberships(user: User) -> QuerySet[Member]:
    """The user's living memberships, oldest first."""
    return (
        Member.objects.select_related("household")
        .filter(user=user, removed_at__isnull=True)
        .order_by("joined_at", "id")
    )


def members_of(household: Household) -> QuerySet[Member]:
    """Everybody who belongs or belonged to the household; past members name the old records."""
    return household.members.select_related("user").order_by("joined_at", "id")


def invitations_of(household: Household) -> QuerySet[Invitation]:
    """The household's invitations, newest first."""
    return household.invitations.select_related("made_by__user", "used_by__user").order_by(
        "-made_at", "id"
    )


def token_hash(token: str) -> str:
    """The form in which a token is stored. It is random and long, so it needs no salt."""
    # What was typed is hashed before it is checked, and may hold half of a surrogate pair.
    return hashlib.sha256(token.encode(errors="surrogatepass")).hexdigest()


def open_invitation(token: str, *, now: datetime) -> Invitation:
    """The invitation of this token, if somebody can still join with it.

    Raises InvitationUnknown, InvitationWithdrawn, InvitationUsed or InvitationExpired.
    """
    invitation = (
        Invitation.objects.select_related("household", "made_by__user")
        .filter(token_sha256=token_hash(token))
        .first()
    )
    if invitation is None:
        raise InvitationUnknown
    state = invitation.state(now)
    if state == "withdrawn":
        raise InvitationWithdrawn
    if state == "used":
        raise InvitationUsed
    if state == "expired":
        raise InvitationExpired
    return invitation
