"""People and households, for whoever looks after the server."""

from typing import TYPE_CHECKING, Any

from django.contrib import admin
from django.contrib.auth.admin import UserAdmin
from django.contrib.auth.models import Group
from django.db.models import Model
from django.http import HttpRequest

from household.accounts.models import Household, Invitation, Member, User

admin.site.unregister(Group)  # Rights follow from roles in a household, never from groups.


# Generic for the type checker alone; at run time Django's classes take no parameter.
if TYPE_CHECKING:
    AnyModelAdmin = admin.ModelAdmin[Any]
    AnyUserAdmin = UserAdmin[User]
else:
    AnyModelAdmin = admin.ModelAdmin
    AnyUserAdmin = UserAdmin


@admin.register(User)
class PersonAdmin(AnyUserAdmin):
    """People; the link beside the password sets a new one for whoever has forgotten theirs."""

    ordering = ("email",)
    list_display = ("email", "name", "is_active", "is_staff")
    list_filter = ("is_active", "is_staff")
    search_fields = ("email", "name")
    filter_horizontal = ()
    readonly_fields = ("last_login",)
    fieldsets = (
        (None, {"fields": ("email", "password", "name")}),
        ("Rights", {"fields": ("is_active", "is_staff", "is_superuser", "last_login")}),
    )

    def has_add_permission(self, request: HttpRequest, obj: Model | None = None) -> bool:
        return False  # People sign up by themselves, with a household or an invitation.

    def has_delete_permission(self, request: HttpRequest, obj: Model | None = None) -> bool:
        return False  # Records name their authors: make a person inactive instead.


class ReadOnlyAdmin(AnyModelAdmin):
    """Shown, not changed: an owner does that in the app, where the rules are kept."""

    def has_add_permission(self, request: HttpRequest, obj: Model | None = None) -> bool:
        return False

    def has_change_permission(self, request: HttpRequest, obj: Model | None = None) -> bool:
        return False

    def has_delete_permission(self, request: HttpRequest, obj: Model | None = None) -> bool:
        return False


@admin.register(Household)
class HouseholdAdmin(ReadOnlyAdmin):
    list_display = ("name", "time_zone", "made_at", "seq")


@admin.register(Member)
class MemberAdmin(ReadOnlyAdmin):
    list_display = ("user", "household", "role", "joined_at", "removed_at")
    list_filter = ("role",)


@admin.register(Invitation)
class InvitationAdmin(ReadOnlyAdmin):
    list_display = ("household", "role", "made_by", "made_at", "expires_at", "used_at")
    exclude = ("token_sha256",)
