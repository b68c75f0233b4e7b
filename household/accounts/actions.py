"""What people do with accounts, households and invitations; each action is one transaction."""

import secrets
import uuid
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.contrib.auth import password_validation
from django.core.exceptions import ValidationError
from django.db import transaction
from django.http import Http404

from household.accounts.errors import (
    AlreadyMember,
    EmailTaken,
    Forbidden,
    InvitationSettled,
    InvitationUsed,
    LastOwner,
    MemberGone,
    WrongCredentials,
)
from household.accounts.models import Household, Invitation, Member, Role, Units, User
from household.accounts.queries import open_invitation, token_hash

INVITATION_LASTS = timedelta(days=7)
_TOKEN_BYTES = 24  # 192 bits: it cannot be guessed, and its QR code stays coarse enough to scan.


@dataclass(frozen=True)
class NewInvitation:
    invitation: Invitation
    token: str  # Known only here and to whoever gets the link.


@transaction.atomic
def sign_up_with_household(
    *, name: str, email: str, password: str, household_name: str, time_zone: str
) -> User:
    """Makes an account and a household that it owns.

    Raises EmailTaken, or ValidationError for a weak password.
    """
    user = _new_user(name=name, email=email, password=password)
    found_household(user, name=household_name, time_zone=time_zone)
    return user


@transaction.atomic
def sign_up_by_invitation(
    *, name: str, email: str, password: str, token: str, now: datetime
) -> User:
    """Makes an account that joins the inviting household; without a good invitation, nothing.

    Raises what accept_invitation() raises, EmailTaken, or ValidationError for a weak password.
    """
    joined = _joined_by(token)
    if joined is not None and joined.user.email == User.objects.canonical(email):
        raise EmailTaken  # Sent again, since the first reply was lost: there is the account.
    open_invitation(token, now=now)
    user = _new_user(name=name, email=email, password=password)
    accept_invitation(user, token=token, now=now)
    return user


@transaction.atomic
def change_password(user: User, *, current: str, new: str) -> None:
    """Sets a new password, which ends the person's sessions on other devices."""
    if not user.check_password(current):
        raise WrongCredentials(
            "This is not your present password.", fields={"current": ["Not your present password."]}
        )
    _require_good_password(new, user, field="new")
    user.set_password(new)
    user.save(update_fields=["password"])


@transaction.atomic
def found_household(user: User, *, name: str, time_zone: str) -> Member:
    """Makes a household with the user as its owner."""
    household = Household(name=name, time_zone=time_zone)
    household.full_clean()
    household.save()
    return _new_member(household, user, Role.OWNER)


@transaction.atomic
def change_household(
    by: Member, *, name: str | None = None, time_zone: str | None = None
) -> Household:
    """Renames a household or moves it to another time zone; owners only."""
    require_owner(by)
    household = _locked(by.household_id)
    household.name = household.name if name is None else name
    household.time_zone = household.time_zone if time_zone is None else time_zone
    household.full_clean()
    household.save(update_fields=["name", "time_zone"])
    return household


@transaction.atomic
def change_role(by: Member, *, member_id: uuid.UUID, role: str) -> Member:
    """Gives a member another role; owners only. Raises LastOwner."""
    _locked(by.household_id)
    require_owner(by)
    member = _living(by.household_id, member_id)
    if member.is_owner and role != Role.OWNER:
        _require_another_owner(member)
    member.role = role
    member.full_clean()
    member.save(update_fields=["role"])
    return member


@transaction.atomic
def change_units(by: Member, *, member_id: uuid.UUID, units: str) -> Member:
    """Sets the units in which a member reads and types; everybody sets their own."""
    member = _living(by.household_id, member_id)
    if member.pk != by.pk:
        raise Forbidden("Units are personal: each member sets their own.")
    member.units = Units(units)
    member.full_clean()
    member.save(update_fields=["units"])
    return member


@transaction.atomic
def change_member(
    by: Member, *, member_id: uuid.UUID, role: str | None = None, units: str | None = None
) -> Member:
    """Changes role, units or both; all or nothing."""
    member = _living(by.household_id, member_id)
    if role is not None:
        member = change_role(by, member_id=member_id, role=role)
    if units is not None:
        member = change_units(by, member_id=member_id, units=units)
    return member


@transaction.atomic
def remove_member(by: Member, *, member_id: uuid.UUID, now: datetime) -> None:
    """Ends a membership: an owner removes anybody, everybody removes themselves."""
    _locked(by.household_id)
    member = _living(by.household_id, member_id)
    if member.pk != by.pk:
        require_owner(by)
    if member.is_owner:
        _require_another_owner(member)
    member.removed_at = now
    member.save(update_fields=["removed_at"])


@transaction.atomic
def invite(by: Member, *, role: str, now: datetime) -> NewInvitation:
    """Makes an invitation that one person can use within seven days; owners only."""
    require_owner(by)
    token = secrets.token_urlsafe(_TOKEN_BYTES)
    invitation = Invitation(
        household=by.household,
        role=role,
        token_sha256=token_hash(token),
        made_by=by,
        made_at=now,
        expires_at=now + INVITATION_LASTS,
    )
    invitation.full_clean()
    invitation.save()
    return NewInvitation(invitation, token)


@transaction.atomic
def withdraw_invitation(by: Member, *, invitation_id: uuid.UUID, now: datetime) -> None:
    """Makes an invitation useless; doing so twice is no error. Owners only."""
    require_owner(by)
    waiting = Invitation.objects.filter(household=by.household, pk=invitation_id)
    if waiting.filter(used_at=None, withdrawn_at=None).update(withdrawn_at=now):
        return
    invitation = waiting.first()
    if invitation is None:
        raise Http404
    if invitation.used_at is not None:
        raise InvitationSettled


@transaction.atomic
def accept_invitation(user: User, *, token: str, now: datetime) -> Member:
    """Joins the household of an invitation, with its role; a past member takes their place again.

    Raises InvitationUnknown, InvitationUsed, InvitationExpired, InvitationWithdrawn, AlreadyMember.
    """
    joined = _joined_by(token)
    if joined is not None and joined.user == user:
        return joined  # Sent again, since the first reply was lost.
    invitation = open_invitation(token, now=now)
    member = Member.objects.filter(household=invitation.household, user=user).first()
    if member is not None and not member.is_removed:
        raise AlreadyMember
    # Counting the changed rows settles the race of two people with one link.
    unused = Invitation.objects.filter(pk=invitation.pk, used_at=None, withdrawn_at=None)
    if not unused.update(used_at=now):
        raise InvitationUsed
    if member is None:
        member = _new_member(invitation.household, user, invitation.role)
    else:
        member.role, member.removed_at = invitation.role, None
        member.save(update_fields=["role", "removed_at"])
    Invitation.objects.filter(pk=invitation.pk).update(used_by=member)
    return member


def _joined_by(token: str) -> Member | None:
    """Who used this invitation, and still belongs to the household."""
    used = Member.objects.filter(invitations_used__token_sha256=token_hash(token), removed_at=None)
    return used.select_related("user").first()


def _new_user(*, name: str, email: str, password: str) -> User:
    address = User.objects.canonical(email)
    if User.objects.filter(email=address).exists():
        raise EmailTaken
    _require_good_password(password, User(name=name, email=address), field="password")
    return User.objects.create_user(address, password, name=name)


def _new_member(household: Household, user: User, role: str) -> Member:
    member = Member(household=household, user=user, role=role)
    member.full_clean()
    member.save()
    return member


def _locked(household_id: uuid.UUID) -> Household:
    # Two owners who demote each other at once must not leave the household without any. SQLite has
    # no row locks, but its transactions are IMMEDIATE, which puts them in line as well.
    return Household.objects.select_for_update().get(pk=household_id)


def _living(household_id: uuid.UUID, member_id: uuid.UUID) -> Member:
    member = (
        Member.objects.select_related("user")
        .filter(household_id=household_id, pk=member_id)
        .first()
    )
    if member is None:
        raise Http404
    if member.is_removed:
        raise MemberGone
    return member


def require_owner(member: Member) -> None:
    """Raises Forbidden unless the member is an owner at this moment."""
    member.refresh_from_db(fields=["role", "removed_at"])
    if not member.is_owner:
        raise Forbidden


def _require_another_owner(member: Member) -> None:
    others = Member.objects.filter(
        household_id=member.household_id, role=Role.OWNER, removed_at=None
    ).exclude(pk=member.pk)
    if not others.exists():
        raise LastOwner


def _require_good_password(password: str, user: User, *, field: str) -> None:
    try:
        password_validation.validate_password(password, user)
    except ValidationError as weak:
        raise ValidationError({field: weak.messages}) from weak
