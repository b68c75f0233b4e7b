"""Serves the phone app: its page at every address of its own, its worker and its manifest."""

from collections.abc import Callable
from pathlib import Path

from django.conf import settings
from django.contrib.auth.decorators import login_not_required
from django.http import FileResponse, HttpRequest, HttpResponse, HttpResponseBase
from django.views.decorators.cache import cache_control
from django.views.decorators.http import require_safe
from pwa import views as pwa  # type: ignore[import-untyped]  # It carries no types.

View = Callable[..., HttpResponseBase]

APP = Path(__file__).resolve().parent / "static" / "app"
NOT_BUILT = (
    "The phone app has not been built. Run python3 manage.py serve, which builds what is missing, "
    "or npm ci && npm run build in the folder frontend."
)


def _fresh(view: View) -> View:
    """Asked for anew each time, but kept: `no-store` would forbid the browser's way back."""
    return login_not_required(require_safe(cache_control(no_cache=True, max_age=0)(view)))


def _not_built() -> HttpResponse:
    return HttpResponse(NOT_BUILT, status=503, content_type="text/plain; charset=utf-8")


def _shell(request: HttpRequest, **address: str) -> HttpResponseBase:
    """The same page at every address. It holds nothing of the user, for phones store it."""
    path = APP / "index.html"
    if not path.exists():
        return _not_built()
    response = FileResponse(path.open("rb"), content_type="text/html; charset=utf-8")
    # One page holds all screens, so the one that scans labels cannot have a policy of its own.
    response["Permissions-Policy"] = settings.PERMISSIONS_POLICY.replace(
        "camera=()", "camera=(self)"
    )
    return response


def _service_worker(request: HttpRequest) -> HttpResponseBase:
    if not Path(settings.PWA_SERVICE_WORKER_PATH).exists():
        return _not_built()
    response: HttpResponse = pwa.service_worker(request)
    return response


def _manifest(request: HttpRequest) -> HttpResponseBase:
    response: HttpResponse = pwa.manifest(request)
    response["Content-Type"] = "application/manifest+json"
    return response


shell = _fresh(_shell)
service_worker = _fresh(_service_worker)
manifest = _fresh(_manifest)
