"""Who belongs where."""

import uuid

from django.contrib.auth.models import AnonymousUser
from django.db.models import QuerySet
from django.http import Http404

from household.accounts.errors import NotMember
from household.accounts.models import Household, Member, User


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
