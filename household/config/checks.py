"""System checks: settings that would fail later, or serve people badly, stop every command."""

import os
from typing import Any

from django.conf import settings
from django.core.checks import CheckMessage, Error, Warning, register

from household.config.environment import PROBLEMS


@register()
def environment_is_readable(app_configs: Any, **kwargs: Any) -> list[CheckMessage]:
    return [
        Error(
            f"{problem.name} is {problem.given!r}, which cannot be used.",
            hint=f"Allowed: {problem.allowed}. Correct it in the environment, or unset it.",
            id="config.E001",
        )
        for problem in PROBLEMS
    ]


@register()
def data_folder_is_writable(app_configs: Any, **kwargs: Any) -> list[CheckMessage]:
    if os.access(settings.DATA, os.W_OK | os.X_OK):
        return []
    return [
        Error(
            f"The data folder {settings.DATA} cannot be written to.",
            hint="Give it to the user who runs the server, or set TRENCHER_DATA to another folder.",
            id="config.E002",
        )
    ]


@register()
def redis_address_is_usable(app_configs: Any, **kwargs: Any) -> list[CheckMessage]:
    if not settings.REDIS_URL or settings.REDIS_URL.startswith(
        ("redis://", "rediss://", "unix://")
    ):
        return []
    return [
        Error(
            f"REDIS_URL is {settings.REDIS_URL!r}, which is not the address of a Redis server.",
            hint="Use redis://host:6379/0, or unset it to run without Redis.",
            id="config.E003",
        )
    ]


@register()
def secret_key_is_strong(app_configs: Any, **kwargs: Any) -> list[CheckMessage]:
    if len(settings.SECRET_KEY) >= 32 and len(set(settings.SECRET_KEY)) >= 8:
        return []
    return [
        Error(
            "TRENCHER_SECRET_KEY is too short or too regular to protect sessions.",
            hint="Use at least 32 random characters, or unset it: one is then made and kept.",
            id="config.E004",
        )
    ]


@register()
def any_host_is_not_allowed(app_configs: Any, **kwargs: Any) -> list[CheckMessage]:
    if "*" not in settings.ALLOWED_HOSTS:
        return []
    return [
        Warning(
            "TRENCHER_ALLOWED_HOSTS allows any host name, so a web page elsewhere can pose as "
            "this server.",
            hint="Name the hosts that people use, separated by commas.",
            id="config.W001",
        )
    ]


@register()
def public_address_is_private_enough(app_configs: Any, **kwargs: Any) -> list[CheckMessage]:
    if not settings.PUBLIC_URL.startswith("http://") or not settings.BEHIND_PROXY:
        return []
    return [
        Warning(
            f"TRENCHER_PUBLIC_URL is {settings.PUBLIC_URL}: passwords would cross the network in "
            "the clear.",
            hint="Give the proxy a certificate and use its https address.",
            id="config.W002",
        )
    ]
