"""People, households and who belongs to which."""

import uuid

from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
from django.contrib.auth.models import PermissionsMixin
from django.db import models


class UserManager(BaseUserManager["User"]):
    def create_user(self, email: str, password: str, **fields: object) -> "User":
        user = self.model(email=self.normalize_email(email).lower(), **fields)
        user.set_password(password)
        user.full_clean()
        user.save()
        return user

    def create_superuser(self, email: str, password: str, **fields: object) -> "User":
        return self.create_user(email, password, is_staff=True, is_superuser=True, **fields)


class User(AbstractBaseUser, PermissionsMixin):
    """A person who signs in, by e-mail address."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    email = models.EmailField(unique=True)
    name = models.CharField(max_length=60)
    is_staff = models.BooleanField(default=False)
    is_active = models.BooleanField(default=True)
    objects = UserManager()
    USERNAME_FIELD = "email"
    REQUIRED_FIELDS = ["name"]

    def __str__(self) -> str:
        return self.name


class Role(models.TextChoices):
    OWNER = "owner"
    PARTNER = "partner"
    SITTER = "sitter"


class Household(models.Model):
    """The unit that shares everything; its id is the partition key of all records."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    name = models.CharField(max_length=60)
    time_zone = models.CharField(max_length=64, default="UTC")
    seq = models.PositiveBigIntegerField(default=0)  # The last sequence number handed out by sync.

    def __str__(self) -> str:
        return self.name


class Member(models.Model):
    """A person's place in one household."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    household = models.ForeignKey(Household, on_delete=models.CASCADE, related_name="members")
    user = models.ForeignKey(User, on_delete=models.CASCADE, related_name="memberships")
    role = models.CharField(max_length=10, choices=Role.choices)
    units = models.CharField(max_length=6, choices=[("metric", "metric"), ("us", "us")], default="metric")
    removed_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["household", "user"], name="one_membership_per_household"),
        ]

    def __str__(self) -> str:
        return f"{self.user} in {self.household}"
