"""What the accounts API reads and writes. Every name is a component of the OpenAPI schema."""

import zoneinfo
from typing import Any

from rest_framework import serializers

from household.accounts.models import Role, Units

# These two are of the database and no browser knows them: no phone could say which day it is.
_ZONES = frozenset(zoneinfo.available_timezones()) - {"Factory", "localtime"}


class TimeZoneField(serializers.CharField):
    def __init__(self, **options: Any) -> None:
        options.setdefault("help_text", "A name of the IANA time zone database.")
        super().__init__(max_length=64, **options)

    def to_internal_value(self, data: Any) -> str:
        name = super().to_internal_value(data)
        if name not in _ZONES:
            raise serializers.ValidationError(
                f"{name!r} is not a time zone. Use a name such as Europe/London."
            )
        return name


class SignUpSerializer(serializers.Serializer[Any]):
    name = serializers.CharField(max_length=60)
    email = serializers.EmailField(max_length=254)
    password = serializers.CharField(max_length=256, trim_whitespace=False)
    household_name = serializers.CharField(max_length=60, required=False)
    time_zone = TimeZoneField(default="UTC")
    invitation = serializers.CharField(max_length=200, required=False)

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        if ("household_name" in attrs) == ("invitation" in attrs):
            raise serializers.ValidationError(
                "Give either household_name, to begin a household, or invitation, to join one."
            )
        return attrs


class SignInSerializer(serializers.Serializer[Any]):
    email = serializers.CharField(max_length=254)
    password = serializers.CharField(max_length=256, trim_whitespace=False)


class PasswordChangeSerializer(serializers.Serializer[Any]):
    current = serializers.CharField(max_length=256, trim_whitespace=False)
    new = serializers.CharField(max_length=256, trim_whitespace=False)


class EmptySerializer(serializers.Serializer[Any]):
    """An answer without content: {}."""


class ApiErrorSerializer(serializers.Serializer[Any]):
    code = serializers.CharField(help_text="One word for programs.")
    message = serializers.CharField(help_text="Words for the person.")
    fields = serializers.DictField(  # type: ignore[assignment]  # The word of the contract.
        child=serializers.ListField(child=serializers.CharField()),
        help_text="Messages about single fields, by dotted path.",
    )


class SessionUserSerializer(serializers.Serializer[Any]):
    id = serializers.UUIDField()
    name = serializers.CharField()
    email = serializers.CharField()


class SessionHouseholdSerializer(serializers.Serializer[Any]):
    id = serializers.UUIDField()
    name = serializers.CharField()
    role = serializers.ChoiceField(choices=Role.choices)
    member_id = serializers.UUIDField()
    time_zone = serializers.CharField()
    units = serializers.ChoiceField(choices=Units.choices)


class SessionSerializer(serializers.Serializer[Any]):
    csrf_token = serializers.CharField(help_text="Send it back as X-CSRFToken.")
    user = SessionUserSerializer(allow_null=True)
    households = SessionHouseholdSerializer(many=True)
    secure = serializers.BooleanField(help_text="Whether this request came by https.")


class HouseholdMemberSerializer(serializers.Serializer[Any]):
    id = serializers.UUIDField()
    name = serializers.CharField(source="user.name")
    role = serializers.ChoiceField(choices=Role.choices)
    removed = serializers.BooleanField(source="is_removed")
    units = serializers.ChoiceField(choices=Units.choices)
    user_id = serializers.UUIDField()


class HouseholdDetailSerializer(serializers.Serializer[Any]):
    id = serializers.UUIDField()
    name = serializers.CharField()
    time_zone = serializers.CharField()
    role = serializers.ChoiceField(choices=Role.choices)
    member_id = serializers.UUIDField()
    members = HouseholdMemberSerializer(many=True)


class HouseholdCreationSerializer(serializers.Serializer[Any]):
    name = serializers.CharField(max_length=60)
    time_zone = TimeZoneField(default="UTC")


class HouseholdChangeSerializer(serializers.Serializer[Any]):
    name = serializers.CharField(max_length=60, required=False)
    time_zone = TimeZoneField(required=False)


class MemberChangeSerializer(serializers.Serializer[Any]):
    role = serializers.ChoiceField(choices=Role.choices, required=False)
    units = serializers.ChoiceField(choices=Units.choices, required=False)

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        if not attrs:
            raise serializers.ValidationError("Nothing to change: give role or units.")
        return attrs


class InvitationRequestSerializer(serializers.Serializer[Any]):
    role = serializers.ChoiceField(choices=Role.choices)


class InvitationMadeSerializer(serializers.Serializer[Any]):
    id = serializers.UUIDField()
    url = serializers.CharField(help_text="The link to pass on; it cannot be shown again.")
    qr_svg = serializers.CharField(help_text="The link as a QR code, an svg element.")
    role = serializers.ChoiceField(choices=Role.choices)
    expires_at = serializers.DateTimeField()
    token = serializers.CharField()


class InvitationListedSerializer(serializers.Serializer[Any]):
    id = serializers.UUIDField()
    role = serializers.ChoiceField(choices=Role.choices)
    state = serializers.ChoiceField(choices=["waiting", "used", "withdrawn", "expired"])
    made_by = serializers.CharField(help_text="Name of the owner who invited.")
    made_at = serializers.DateTimeField()
    expires_at = serializers.DateTimeField()
    used_by = serializers.CharField(allow_null=True, help_text="Name of who joined.")


class InvitationPreviewSerializer(serializers.Serializer[Any]):
    household_name = serializers.CharField()
    role = serializers.ChoiceField(choices=Role.choices)
    invited_by = serializers.CharField()
    expires_at = serializers.DateTimeField()
