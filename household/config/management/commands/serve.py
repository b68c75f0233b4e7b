"""`manage.py serve`: everything that a household needs, in one foreground command."""

import io
import os
import socket
import sys
from argparse import ArgumentParser
from collections.abc import Sequence
from typing import Any

import segno
from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError
from django.db import connections
from django.utils import timezone

from household.accounts.models import Household
from household.config import addresses, certificates
from household.config.supervision import Child, GaveUp, Supervisor
from household.config.trust import certificates as home_certificates

_ADDRESSES_CHECKED_EVERY_S = 60.0


class Command(BaseCommand):
    help = "Serves this household: web pages, background work and its clock, until Ctrl-C."
    requires_migrations_checks = False

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument(
            "--host",
            help="The address to listen on. By default every address of this machine, or only "
            "127.0.0.1 behind a proxy (TRENCHER_BEHIND_PROXY=1).",
        )
        parser.add_argument("--port", type=int, default=8000, help="For http (8000).")
        parser.add_argument("--https-port", type=int, default=8443, help="For https (8443).")
        parser.add_argument(
            "--no-https",
            action="store_true",
            help="Plain http alone. Phones can then neither install the app nor open it offline.",
        )
        parser.add_argument(
            "--demo", action="store_true", help="Load the demo household if there is none yet."
        )

    def handle(self, *args: Any, **options: Any) -> None:
        if sys.platform == "win32":
            raise CommandError(
                "`serve` needs Linux or macOS. On Windows, run it in the Windows Subsystem for "
                "Linux, where this same command works."
            )
        if isinstance(sys.stdout, io.TextIOWrapper):
            # A terminal that cannot draw the QR code must not end the server.
            sys.stdout.reconfigure(errors="replace")
        host = options["host"] or ("127.0.0.1" if settings.BEHIND_PROXY else "0.0.0.0")
        https_port = options["https_port"] if self._wants_https(host, options) else None
        if https_port == options["port"]:
            raise CommandError(
                f"--port and --https-port are both {https_port}: http and https need one each."
            )
        for port in filter(None, (options["port"], https_port)):
            require_free_port(host, port)
        self._prepare_database(load_demo=options["demo"])
        home = Home(host, options["port"], https_port)
        home.certify()
        supervisor = Supervisor(home.children(), say=self._say)
        self._introduce(home)
        try:
            supervisor.run(
                every_s=_ADDRESSES_CHECKED_EVERY_S,
                routine=lambda: self._follow_addresses(home, supervisor),
            )
        except GaveUp as given_up:
            raise CommandError(str(given_up)) from None
        self._say("Stopped.")

    def _wants_https(self, host: str, options: dict[str, Any]) -> bool:
        # Behind a proxy, or on this machine alone, somebody else's or no certificate is needed.
        local_only = host in ("127.0.0.1", "localhost", "::1")
        return not (options["no_https"] or settings.BEHIND_PROXY or local_only)

    def _prepare_database(self, *, load_demo: bool) -> None:
        call_command("migrate", interactive=False, verbosity=0)
        has_household = Household.objects.exists()
        if load_demo and has_household:
            self._say("There is a household already, so the demo household was not loaded.")
        elif load_demo:
            call_command("demo", is_served=True)
        elif not has_household:
            self._say(
                "There is no household yet: open the address below and begin yours. To look "
                "round in an invented one first, stop and run: python3 manage.py serve --demo"
            )
        connections.close_all()

    def _introduce(self, home: "Home") -> None:
        self._say("\nTrencher is starting.\n")
        if settings.PUBLIC_URL:
            self._say(f"  Everywhere:        {settings.PUBLIC_URL}")
        self._say(f"  On this computer:  http://{home.local_host}:{home.port}")
        if (address := home.phone_url) is not None:
            self._say(f"  On a phone in the same network: {address}\n")
            self._say(qr_for_terminal(address))
        if home.https_port is not None:
            der = certificates.authority_der(home_certificates())
            if der is not None:
                self._say(f"  Certificate fingerprint:\n  {certificates.fingerprint(der)}\n")
        elif home.phone_url is not None and not settings.BEHIND_PROXY:
            self._say(
                "  Without https, passwords cross your network in the clear, and phones cannot "
                "keep the app for offline use.\n"
            )
        self._say("Press Ctrl-C to stop.\n")

    def _follow_addresses(self, home: "Home", supervisor: Supervisor) -> None:
        """Routers hand out new addresses: certify and announce them."""
        if not home.has_moved():
            return
        self._say("This machine has new addresses, or its certificate was renewed.")
        for child in home.web_children():
            supervisor.restart(child.name, environment=child.environment)
        self._introduce(home)

    def _say(self, words: str) -> None:
        self.stdout.write(f"{words}\n", ending="")
        self.stdout.flush()


class Home:
    """What is served, where, on this machine."""

    def __init__(self, host: str, port: int, https_port: int | None) -> None:
        self.host = host
        self.port = port
        self.https_port = https_port
        self._addresses = self._find_addresses()

    @property
    def local_host(self) -> str:
        is_here = self.host in ("0.0.0.0", "127.0.0.1", "::", "::1")
        return "localhost" if is_here else addresses.in_url(self.host)

    @property
    def phone_url(self) -> str | None:
        """Where a phone should begin, or None when none can reach this server."""
        if settings.BEHIND_PROXY:
            return settings.PUBLIC_URL or None
        if self.host in ("127.0.0.1", "localhost", "::1"):
            return None
        host = self.host
        if host in ("0.0.0.0", "::"):
            reachable = [address for address in self._addresses if ":" not in address]
            if not reachable:
                return None
            host = reachable[0]
        path = "/trust" if self.https_port is not None else ""
        return f"http://{addresses.in_url(host)}:{self.port}{path}"

    def certify(self) -> bool:
        """Whether the certificate had to be made or made anew."""
        if self.https_port is None:
            return False
        names = [
            "localhost",
            "127.0.0.1",
            "::1",
            *addresses.host_names(),
            *self._addresses,
            *([] if self.host in ("0.0.0.0", "::") else [self.host]),
        ]
        return certificates.ensure(home_certificates(), names=names, now=timezone.now())

    def has_moved(self) -> bool:
        """Looks again, and certifies what is new."""
        before, self._addresses = self._addresses, self._find_addresses()
        return self.certify() or before != self._addresses

    def _find_addresses(self) -> list[str]:
        """Those that are listened on. Of IPv6 there is a new one every day (RFC 8981), for which
        nobody's requests are to be cut off."""
        found = addresses.lan_addresses()
        return found if ":" in self.host else [each for each in found if ":" not in each]

    def children(self) -> list[Child]:
        celery = [sys.executable, "-m", "celery", "--quiet", "--app", "household.config.celery"]
        worker = ["worker", "--pool", "threads", "--concurrency", "2", "--loglevel", "INFO"]
        alone = ["--without-gossip", "--without-mingle", "--without-heartbeat"]
        beat = ["beat", "--loglevel", "WARNING", "--pidfile="]
        return [
            *self.web_children(),
            Child("worker", [*celery, *worker, *alone], self._environment()),
            Child("beat", [*celery, *beat], self._environment()),
        ]

    def web_children(self) -> list[Child]:
        children = [Child("web", self._gunicorn(self.port), self._environment())]
        if self.https_port is not None:
            store = home_certificates()
            tls = ["--certfile", str(store.server), "--keyfile", str(store.server_key)]
            command = [*self._gunicorn(self.https_port), *tls]
            children.append(Child("https", command, self._environment()))
        return children

    def _gunicorn(self, port: int) -> list[str]:
        return [
            *(sys.executable, "-m", "gunicorn", "household.config.wsgi"),
            *("--bind", f"{addresses.in_url(self.host)}:{port}"),
            *("--worker-class", "gthread", "--workers", "1", "--threads", "8"),
            *("--graceful-timeout", "5", "--log-level", "warning", "--no-control-socket"),
        ]

    def _environment(self) -> dict[str, str]:
        environment = {"PYTHONUNBUFFERED": "1", "PYTHONPATH": python_path()}
        if self.https_port is not None:
            environment["TRENCHER_HTTPS_PORT"] = str(self.https_port)
        if self.phone_url is not None and not settings.INVITATION_BASE_URL:
            # Phones that do not trust the certificate yet learn how; the others go straight on,
            # with what stands after the "#".
            path = "#" if self.https_port is not None else ""
            environment["TRENCHER_INVITATION_BASE_URL"] = f"{self.phone_url}{path}"
        return environment


def python_path() -> str:
    """The project first, whatever folder the command was given in."""
    inherited = os.environ.get("PYTHONPATH")
    return os.pathsep.join(filter(None, (str(settings.BASE), inherited)))


def require_free_port(host: str, port: int) -> None:
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    with socket.socket(family, socket.SOCK_STREAM) as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((host, port))
        except (OSError, OverflowError) as error:
            raise CommandError(
                f"Cannot listen on {host}, port {port}: {getattr(error, 'strerror', error)}. "
                "If another program (or another `serve`) has the port, stop it or choose others: "
                "--port 8001 --https-port 8444"
            ) from None


def qr_for_terminal(text: str) -> str:
    """The text as a QR code of block characters, two modules to a line."""
    rows: Sequence[Sequence[int]] = [
        list(row) for row in segno.make(text, error="l", micro=False).matrix_iter(border=2)
    ]
    if len(rows) % 2:
        rows = [*rows, [0] * len(rows[0])]
    # Light modules are drawn, since most terminals are dark: a scanner reads both.
    block = {(0, 0): "█", (0, 1): "▀", (1, 0): "▄", (1, 1): " "}
    return "\n".join(
        "  "
        + "".join(block[bool(upper), bool(lower)] for upper, lower in zip(top, low, strict=True))
        for top, low in zip(rows[::2], rows[1::2], strict=True)
    )
