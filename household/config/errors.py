"""One shape for every error the API returns: {code, message, fields}."""

import logging
from collections.abc import Iterator, Mapping
from typing import Any

from django.core.exceptions import PermissionDenied as DjangoPermissionDenied
from django.core.exceptions import RequestDataTooBig
from django.core.exceptions import ValidationError as DjangoValidationError
from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.views import defaults
from rest_framework import exceptions, status
from rest_framework.response import Response
from rest_framework.views import exception_handler, set_rollback

from household.accounts.errors import Refusal
from household.sync.wording import UNSTORABLE

logger = logging.getLogger(__name__)

# DRF's code -> ours, and what a person should read when DRF's own words would not help them.
WORDS: dict[str, tuple[str, str]] = {
    "not_authenticated": ("not_authenticated", "Sign in first: this needs a signed-in person."),
    "permission_denied": ("forbidden", "You may not do this. Ask an owner of the household."),
    "not_found": ("not_found", "There is nothing at this address, or it is not yours to see."),
    "parse_error": ("parse_error", "The request is not valid JSON."),
    "unsupported_media_type": (
        "unsupported_media_type",
        "Send the request as JSON, with the header Content-Type: application/json.",
    ),
}


def body(code: str, message: str, fields: Mapping[str, list[str]] | None = None) -> dict[str, Any]:
    return {"code": code, "message": message, "fields": dict(fields or {})}


def handle(exc: Exception, context: dict[str, Any]) -> Response | None:
    """The API's answer to an exception, or None to let Django report a fault of ours."""
    if isinstance(exc, Refusal):
        set_rollback()
        return Response(body(exc.code, exc.message, exc.fields), status=exc.status)
    if isinstance(exc, RequestDataTooBig):
        set_rollback()
        return Response(
            body("too_large", "The request is too large. Send it in smaller parts."),
            status=status.HTTP_413_REQUEST_ENTITY_TOO_LARGE,
        )
    exc = _as_api_exception(exc)
    response = exception_handler(exc, context)
    if response is None or not isinstance(exc, exceptions.APIException):
        return None
    response.data = _describe(exc)
    return response


def _as_api_exception(exc: Exception) -> Exception:
    if isinstance(exc, DjangoValidationError):
        detail = exc.message_dict if hasattr(exc, "error_dict") else exc.messages
        return exceptions.ValidationError(detail)
    if isinstance(exc, Http404):
        return exceptions.NotFound()
    if isinstance(exc, DjangoPermissionDenied):
        return exceptions.PermissionDenied()
    return exc


def _describe(exc: exceptions.APIException) -> dict[str, Any]:
    if isinstance(exc, exceptions.ValidationError):
        return _describe_validation(exc)
    if isinstance(exc, exceptions.Throttled):
        seconds: float | None = getattr(exc, "wait", None)  # Set by DRF, unknown to its stubs.
        wait = f" Try again in {_duration(seconds)}." if seconds else " Try again later."
        return body("throttled", f"Too many attempts from here in a short time.{wait}")
    if isinstance(exc, exceptions.MethodNotAllowed):
        return body("method_not_allowed", f"This address does not do that. {exc.detail}")
    detail = exc.detail if isinstance(exc.detail, exceptions.ErrorDetail) else None
    code = (detail and detail.code) or exc.default_code
    given = str(detail or "")
    name, words = WORDS.get(code, (code, given))
    has_own_words = given and given != str(exc.default_detail)
    if code == "parse_error":
        return body(name, f"{words} {given.rstrip('.')}.")
    return body(name, given if has_own_words else words or given)


def _describe_validation(exc: exceptions.ValidationError) -> dict[str, Any]:
    fields: dict[str, list[str]] = {}
    for path, message in _flatten(exc.detail):
        fields.setdefault(path, []).append(message)
    # What concerns no single field is the message itself.
    general = fields.pop("", [])
    lines = general + [f"{path}: {' '.join(messages)}" for path, messages in fields.items()]
    return body("invalid", " ".join(lines) or "The request is not valid.", fields)


def _flatten(detail: Any, path: str = "") -> Iterator[tuple[str, str]]:
    """The dotted path and the text of every message in DRF's nested error detail."""
    if isinstance(detail, Mapping):
        for key, value in detail.items():
            part = "" if key in ("non_field_errors", "__all__") else str(key)
            yield from _flatten(value, ".".join(filter(None, [path, part])))
    elif isinstance(detail, list):
        for index, value in enumerate(detail):
            nested = isinstance(value, Mapping | list)
            yield from _flatten(value, f"{path}.{index}".lstrip(".") if nested else path)
    else:
        # It may repeat what was given, half of a surrogate pair too, which no reply can hold.
        yield path, UNSTORABLE.sub("\ufffd", str(detail))


def _duration(seconds: float) -> str:
    whole = max(1, round(seconds))
    if whole < 120:
        return f"{whole} seconds" if whole != 1 else "1 second"
    return f"{round(whole / 60)} minutes"


# What Django answers outside the REST framework: unknown addresses, faults of ours, bad hosts.


def _is_api(request: HttpRequest) -> bool:
    return request.path.startswith("/api/")


def bad_request(request: HttpRequest, exception: Exception) -> HttpResponse:
    if _is_api(request):
        return JsonResponse(body("bad_request", "The request could not be read."), status=400)
    return defaults.bad_request(request, exception)


def forbidden(request: HttpRequest, exception: Exception) -> HttpResponse:
    if _is_api(request):
        return JsonResponse(body(*WORDS["permission_denied"]), status=403)
    return defaults.permission_denied(request, exception)


def not_found(request: HttpRequest, exception: Exception) -> HttpResponse:
    if _is_api(request):
        return JsonResponse(body(*WORDS["not_found"]), status=404)
    return defaults.page_not_found(request, exception)


def server_error(request: HttpRequest) -> HttpResponse:
    if _is_api(request):
        words = "Something went wrong on the server; nothing was changed. Try again in a minute."
        return JsonResponse(body("server_error", words), status=500)
    return defaults.server_error(request)


def csrf_failure(request: HttpRequest, reason: str = "") -> HttpResponse:
    words = "The page's security token is missing or old. Load the page again."
    return JsonResponse(body("csrf_failed", words), status=403)
