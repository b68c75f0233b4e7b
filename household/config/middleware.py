"""What every request and answer passes through."""

from collections.abc import Callable

from django.conf import settings
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect, JsonResponse

from household.config.errors import body

Next = Callable[[HttpRequest], HttpResponse]

LOOPBACK = ("localhost", "127.0.0.1", "[::1]")
# Reachable without https on the network: how to get https, and whether the server lives.
_ALWAYS_OPEN = ("/trust", "/static/", "/api/health")


class RequestSizeLimit:
    """Refuses a request that declares more than the limit before a byte of it is read."""

    def __init__(self, get_response: Next) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        declared = request.META.get("CONTENT_LENGTH") or "0"
        if declared.isdigit() and int(declared) > settings.REQUEST_MAX_BYTES:
            words = (
                f"The request has {int(declared)} bytes; at most {settings.REQUEST_MAX_BYTES} are "
                "read. Send it in smaller parts."
            )
            return JsonResponse(body("too_large", words), status=413)
        return self.get_response(request)


class HomeHttps:
    """On the home network, keeps passwords and records off plain http once https is served.

    This machine itself may use http: its traffic never leaves it.
    """

    def __init__(self, get_response: Next) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        if self._may_pass(request):
            return self.get_response(request)
        if request.path.startswith("/api/"):
            words = "Use the https address of this server; /trust explains how."
            return JsonResponse(body("https_required", words), status=403)
        # What was asked for goes after the "#": the page hands it on to the https address.
        return HttpResponseRedirect(f"/trust#{request.get_full_path()}")

    def _may_pass(self, request: HttpRequest) -> bool:
        if not settings.HOME_HTTPS_PORT or request.is_secure():
            return True
        host = request.get_host().removesuffix(f":{request.get_port()}")
        from_here = request.META.get("REMOTE_ADDR") in ("127.0.0.1", "::1") and host in LOOPBACK
        return from_here or request.path.startswith(_ALWAYS_OPEN)


class SecureCookies:
    """Marks cookies for https alone whenever they were set over https."""

    def __init__(self, get_response: Next) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        response = self.get_response(request)
        if request.is_secure():
            for cookie in response.cookies.values():
                cookie["secure"] = True
        return response


class ContentSecurityPolicy:
    """Sends the policies of the settings, unless a view has set a stricter or wider one."""

    def __init__(self, get_response: Next) -> None:
        self.get_response = get_response
        self.policy = policy()

    def __call__(self, request: HttpRequest) -> HttpResponse:
        response = self.get_response(request)
        response.headers.setdefault("Content-Security-Policy", self.policy)
        response.headers.setdefault("Permissions-Policy", settings.PERMISSIONS_POLICY)
        return response


def policy(**extra: list[str]) -> str:
    """The policy as header text; `connect_src=["https://…"]` adds sources to a directive."""
    directives: dict[str, list[str]] = {
        name: list(sources) for name, sources in settings.CONTENT_SECURITY_POLICY.items()
    }
    for name, sources in extra.items():
        directives.setdefault(name.replace("_", "-"), ["'self'"]).extend(sources)
    return "; ".join(f"{name} {' '.join(sources)}" for name, sources in directives.items())
