"""The page that walks a phone through trusting this home's certificate authority."""

import segno
from django.conf import settings
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from household.config import addresses
from household.config.certificates import HomeCertificates, authority_der, fingerprint
from household.config.middleware import LOOPBACK, policy


def certificates() -> HomeCertificates:
    return HomeCertificates(settings.DATA / "certificates")


@require_safe
def trust(request: HttpRequest) -> HttpResponse:
    """Explains, and offers the certificate; sends a phone that trusts it already straight on."""
    der = authority_der(certificates()) if settings.HOME_HTTPS_PORT else None
    if der is None:
        return render(request, "config/trust_not_needed.html")
    host = _host_on_the_network(request)
    https = f"https://{host}:{settings.HOME_HTTPS_PORT}"
    here = request.build_absolute_uri("/trust")
    if not request.is_secure():
        here = f"http://{host}:{request.get_port()}/trust"
    response = render(
        request,
        "config/trust.html",
        {
            "https": https,
            "here": here,
            "qr": segno.make(here, error="m", micro=False).svg_inline(
                scale=5, dark="black", light="white", svgclass=None, lineclass=None, omitsize=True
            ),
            "fingerprint": fingerprint(der),
        },
    )
    # The page asks the https address whether this phone trusts it.
    response["Content-Security-Policy"] = policy(connect_src=[https])
    response["Cache-Control"] = "no-cache"
    return response


@require_safe
def authority(request: HttpRequest) -> HttpResponse:
    """The authority's certificate, in the form that phones offer to install."""
    der = authority_der(certificates()) if settings.HOME_HTTPS_PORT else None
    if der is None:
        raise Http404("This server has no certificate authority of its own.")
    return HttpResponse(
        der,
        content_type="application/x-x509-ca-cert",
        headers={
            "Content-Disposition": 'attachment; filename="trencher-home.crt"',
            "Cache-Control": "no-cache",
        },
    )


def _host_on_the_network(request: HttpRequest) -> str:
    """The host by which the visitor came; for this machine itself, the one phones can use."""
    port = f":{request.get_port()}"
    host = request.get_host().removesuffix(port)
    if host not in LOOPBACK:
        return host
    return next(iter(addresses.lan_addresses()), host)
