"""People, households, who belongs to which, and who is invited."""

import uuid
from datetime import datetime
from typing import Literal

from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
from django.contrib.auth.models import PermissionsMixin
from django.db import models
from django.db.models.functions import Lower
from django.utils import timezone


class UserManager(BaseUserManager["User"]):
    def create_user(self, email: str, password: str, **fields: object) -> "User":
        user = self.model(email=self.canonical(email), **fields)
        user.set_password(password)
        user.full_clean()
        user.save()
        return user

    def create_superuser(self, email: str, password: str, **fields: object) -> "User":
        return self.create_user(email, password, is_staff=True, is_superuser=True, **fields)

    def get_by_natural_key(self, username: str | None) -> "User":
        """The user with this address, however it was capitalised when typed."""
        return self.get(email=self.canonical(username or ""))

    @staticmethod
    def canonical(email: str) -> str:
        return email.strip().lower()


class User(AbstractBaseUser, PermissionsMixin):
    """A person who signs in, by e-mail address."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    email = models.EmailField(unique=True)
    name = models.CharField(max_length=60)
    is_staff = models.BooleanField(default=False)  # May look at the tables under /admin/.
    is_active = models.BooleanField(default=True)
    objects = UserManager()
    USERNAME_FIELD = "email"
    REQUIRED_FIELDS = ["name"]

    class Meta:
        constraints = [
            # Two spellings of one address must never become two people.
            models.CheckConstraint(
                condition=models.Q(email=Lower("email")),
                name="email_is_lower_case",
            ),
        ]

    def __str__(self) -> str:
        return self.name


class Role(models.TextChoices):
    OWNER = "owner", "owner"
    PARTNER = "partner", "partner"
    SITTER = "sitter", "sitter"


class Units(models.TextChoices):
    METRIC = "metric", "metric"
    US = "us", "us"


class Household(models.Model):
    """The unit that shares everything; its id is the partition key of all records."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    name = models.CharField(max_length=60)
    time_zone = models.CharField(max_length=64, default="UTC")
    seq = models.PositiveBigIntegerField(default=0)  # The last sequence number handed out by sync.
    made_at = models.DateTimeField(default=timezone.now, editable=False)

    def __str__(self) -> str:
        return self.name


class Member(models.Model):
    """A person's place in one household; kept after removal, since records name it as author."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    household = models.ForeignKey(Household, on_delete=models.CASCADE, related_name="members")
    user = models.ForeignKey(User, on_delete=models.CASCADE, related_name="memberships")
    role = models.CharField(max_length=10, choices=Role.choices)
    units = models.CharField(max_length=6, choices=Units.choices, default=Units.METRIC)
    joined_at = models.DateTimeField(default=timezone.now, editable=False)
    removed_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["household", "user"], name="one_membership_per_household"
            ),
            models.CheckConstraint(
                condition=models.Q(role__in=["owner", "partner", "sitter"]),
                name="member_role_known",
            ),
            models.CheckConstraint(
                condition=models.Q(units__in=["metric", "us"]), name="member_units_known"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.user} in {self.household}"

    @property
    def is_removed(self) -> bool:
        return self.removed_at is not None

    @property
    def is_owner(self) -> bool:
        return self.role == Role.OWNER and not self.is_removed


class Invitation(models.Model):
    """One chance to join a household; the token itself is never stored, only its hash."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    household = models.ForeignKey(Household, on_delete=models.CASCADE, related_name="invitations")
    role = models.CharField(max_length=10, choices=Role.choices)
    token_sha256 = models.CharField(max_length=64, unique=True)
    made_by = models.ForeignKey(Member, on_delete=models.CASCADE, related_name="invitations_made")
    made_at = models.DateTimeField(default=timezone.now, editable=False)
    expires_at = models.DateTimeField()
    withdrawn_at = models.DateTimeField(null=True, blank=True)
    used_at = models.DateTimeField(null=True, blank=True)
    used_by = models.ForeignKey(
        Member, on_delete=models.SET_NULL, null=True, blank=True, related_name="invitations_used"
    )

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=models.Q(used_at__isnull=True) | models.Q(withdrawn_at__isnull=True),
                name="invitation_used_or_withdrawn_not_both",
            ),
            models.CheckConstraint(
                condition=models.Q(role__in=["owner", "partner", "sitter"]),
                name="invitation_role_known",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.role} of {self.household}, until {self.expires_at:%Y-%m-%d}"

    def state(self, now: datetime) -> Literal["waiting", "used", "withdrawn", "expired"]:
        if self.used_at is not None:
            return "used"
        # Who may not invite any more lets nobody in: not by an older link, and not themselves.
        if self.withdrawn_at is not None or not self.made_by.is_owner:
            return "withdrawn"
        return "waiting" if now < self.expires_at else "expired"
