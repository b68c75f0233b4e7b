"""Is everything that the server needs alive?"""

import os
from datetime import timedelta

from django.conf import settings
from django.db import Error, connection
from django.utils import timezone
from drf_spectacular.utils import extend_schema
from redis import Redis, RedisError
from rest_framework import serializers
from rest_framework.permissions import AllowAny
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from household.config.models import Heartbeat

_REDIS_TIMEOUT_S = 2
_MISSED_BEATS = 3
_CLOCKS_MAY_DIFFER = timedelta(minutes=1)  # Between the machines of workers and of web processes.


def database() -> str:
    try:
        with connection.cursor() as cursor:
            cursor.execute("SELECT 1")
    except Error as error:
        return f"down: {type(error).__name__}"
    return "ok"


def broker() -> str:
    if settings.REDIS_URL:
        try:
            with Redis.from_url(settings.REDIS_URL, socket_timeout=_REDIS_TIMEOUT_S) as redis:
                redis.ping()
        except RedisError as error:
            return f"down: {type(error).__name__}"
        return "ok"
    folder = str(settings.CELERY_BROKER_TRANSPORT_OPTIONS["data_folder_out"])
    return (
        "ok" if os.access(folder, os.W_OK | os.X_OK) else "down: the queue folder is not writable"
    )


def worker() -> str:
    """Whether the worker has lately done what beat asked: this also proves beat and the broker."""
    try:
        last = Heartbeat.objects.filter(name="worker").first()
    except Error as error:
        return f"unknown: {type(error).__name__}"
    if last is None:
        return "down: no worker has reported yet"
    silent = timezone.now() - last.at
    if silent < -_CLOCKS_MAY_DIFFER:
        return "down: it last reported by a clock that was ahead"
    if silent > timedelta(seconds=settings.HEARTBEAT_SECONDS * _MISSED_BEATS):
        return f"down: silent for {round(silent.total_seconds())} seconds"
    return "ok"


class HealthSerializer(serializers.Serializer[dict[str, str]]):
    status = serializers.ChoiceField(choices=["ok", "down"])
    database = serializers.CharField(help_text="ok, or what is wrong")
    broker = serializers.CharField(help_text="ok, or what is wrong")
    worker = serializers.CharField(help_text="ok, or what is wrong")


class HealthView(APIView):
    authentication_classes = ()
    permission_classes = (AllowAny,)

    @extend_schema(
        auth=[],
        responses={200: HealthSerializer, 503: HealthSerializer},
        description="Whether database, broker and worker are alive; 503 when one is not.",
    )
    def get(self, request: Request) -> Response:
        parts = {"database": database(), "broker": broker(), "worker": worker()}
        healthy = all(state == "ok" for state in parts.values())
        return Response(
            {"status": "ok" if healthy else "down", **parts},
            status=200 if healthy else 503,
            headers={"Cache-Control": "no-store"},
        )
