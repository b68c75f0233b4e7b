"""The shapes of sync's requests and replies, for the description of the API."""

from typing import Any

from rest_framework import serializers

MAX_OPS = 500


class MarkSerializer(serializers.Serializer[Any]):
    seq = serializers.IntegerField(min_value=0)
    token = serializers.CharField()
    role = serializers.CharField()


class AskSerializer(serializers.Serializer[Any]):
    op_id = serializers.UUIDField()
    hash = serializers.CharField()


class PushSerializer(serializers.Serializer[Any]):
    mark = MarkSerializer(allow_null=True)
    device_id = serializers.UUIDField()
    ops = serializers.ListField(child=serializers.JSONField(), max_length=MAX_OPS)
    ask = AskSerializer(many=True)


class PushResultSerializer(serializers.Serializer[Any]):
    op_id = serializers.CharField(allow_null=True)
    status = serializers.ChoiceField(choices=["applied", "rejected", "wait"])
    seq = serializers.IntegerField(required=False)
    rid = serializers.UUIDField(required=False)
    code = serializers.CharField(required=False)
    message = serializers.CharField(required=False)
    fields = serializers.JSONField(required=False)  # type: ignore[assignment]  # A word of the API.


class PushReplySerializer(serializers.Serializer[Any]):
    results = PushResultSerializer(many=True)
    asked = PushResultSerializer(many=True)
    mark = MarkSerializer()
    server_time = serializers.IntegerField(help_text="ms since 1970")
    request_id = serializers.CharField()


class RowSerializer(serializers.Serializer[Any]):
    rid = serializers.UUIDField()
    entity = serializers.CharField()
    owner = serializers.UUIDField(allow_null=True)
    seq = serializers.IntegerField()
    op = serializers.CharField()
    op_at = serializers.IntegerField()
    op_by = serializers.CharField()
    made_at = serializers.IntegerField(allow_null=True)
    made_by = serializers.CharField(allow_null=True)
    values = serializers.JSONField()
    heads = serializers.JSONField()
    also = serializers.JSONField()
    gone = serializers.BooleanField()
    flags = serializers.ListField(child=serializers.CharField())


RowSerializer._declared_fields["del"] = serializers.JSONField()  # A keyword of Python.


class ChangesReplySerializer(serializers.Serializer[Any]):
    rows = RowSerializer(many=True)
    cursor = serializers.IntegerField()
    more = serializers.BooleanField()
    mark = MarkSerializer()
    server_time = serializers.IntegerField(help_text="ms since 1970")
    request_id = serializers.CharField()


class DeedSerializer(serializers.Serializer[Any]):
    op_id = serializers.UUIDField()
    seq = serializers.IntegerField()
    by = serializers.CharField(help_text="The member who entered it, or: server")
    submitted_by = serializers.UUIDField(allow_null=True, help_text="The member who sent it")
    at = serializers.IntegerField(help_text="ms since 1970, at most the time of receipt")
    new = serializers.BooleanField()
    set = serializers.JSONField()
    seen = serializers.JSONField()


class HistoryReplySerializer(serializers.Serializer[Any]):
    rid = serializers.UUIDField()
    entity = serializers.CharField()
    deeds = DeedSerializer(many=True)
    more = serializers.BooleanField()
    server_time = serializers.IntegerField(help_text="ms since 1970")
    request_id = serializers.CharField()


class FirstReplySerializer(serializers.Serializer[Any]):
    rows = RowSerializer(many=True)
    server_time = serializers.IntegerField(help_text="ms since 1970")
    request_id = serializers.CharField()
