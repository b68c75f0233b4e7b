"""`manage.py serve`, run for real: one start is shared where a test does not end the server."""

import json
import os
import re
import signal
import socket
import ssl
import subprocess
import urllib.request
from collections.abc import Iterator
from pathlib import Path

import pytest

from household.config.management.commands.serve import Home, qr_for_terminal
from tests import services
from tests.conftest import initdb, program
from tests.household.config.serving import (
    Served,
    descendants,
    eventually,
    serve_command,
    serve_environment,
    served,
)
from tests.services import free_port


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    with served(tmp_path_factory.mktemp("data")) as server:
        yield server


def test_pages_answer_and_the_worker_proves_that_it_works(server: Served) -> None:
    assert eventually(lambda: server.health()["status"] == "ok"), server.output
    status, body = server.get("/api/session")
    assert status == 200
    assert json.loads(body)["user"] is None


def test_it_says_where_to_go_and_how_to_begin(server: Served) -> None:
    assert f"http://localhost:{server.port}" in server.output
    assert "There is no household yet" in server.output
    assert "serve --demo" in server.output
    assert "Press Ctrl-C to stop" in server.output


def test_https_answers_with_the_homes_certificate(server: Served) -> None:
    context = ssl.create_default_context(cafile=str(server.data / "certificates/authority.pem"))
    url = f"https://localhost:{server.https_port}/api/session"
    assert eventually(lambda: bool(urllib.request.urlopen(url, context=context, timeout=30)))
    with urllib.request.urlopen(url, context=context, timeout=30) as answer:
        assert json.loads(answer.read())["secure"] is True
        assert "Secure" in answer.headers["Set-Cookie"]


def test_the_trust_page_offers_the_certificate(server: Served) -> None:
    status, page = server.get("/trust")
    assert status == 200
    fingerprint = next(line.strip() for line in server.lines if line.count(":") == 31)
    assert fingerprint in page.decode()
    assert f":{server.https_port}" in page.decode()


@pytest.mark.parametrize("name", ["worker", "beat", "web"])
def test_a_killed_child_is_started_again(server: Served, name: str) -> None:
    assert eventually(lambda: {"web", "https", "worker", "beat"} <= set(server.children()))
    before = server.children()[name]
    os.kill(before, signal.SIGKILL)
    assert eventually(lambda: server.children().get(name, before) != before), server.output
    assert f"{name} ended by itself" in server.output
    assert "killed by SIGKILL" in server.output
    assert eventually(lambda: server.health()["status"] == "ok"), server.output


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGINT])
def test_a_signal_ends_everything(tmp_path: Path, number: signal.Signals) -> None:
    with served(tmp_path, "--no-https") as server:
        assert eventually(lambda: len(server.children()) == 3)
        started = descendants(server.process.pid)
        assert len(started) >= 4  # The web server has a process of its own for the work.
        assert server.stop(number) == 0, server.output
        # Who was killed for not listening is gone a moment after the kill.
        gone = eventually(lambda: not any(Path(f"/proc/{pid}").exists() for pid in started))
        assert gone, started
    assert server.lines[-1] == "Stopped."
    # Nothing holds the port any more.
    with socket.socket() as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        probe.bind(("127.0.0.1", server.port))


def test_the_children_end_also_when_the_command_is_killed_outright(tmp_path: Path) -> None:
    with served(tmp_path, "--no-https") as server:
        assert eventually(lambda: len(server.children()) == 3)
        started = descendants(server.process.pid)
        server.process.kill()
        server.process.wait(30)
        gone = eventually(lambda: not any(Path(f"/proc/{pid}").exists() for pid in started))
        assert gone, started


def test_it_serves_on_postgresql_and_redis(tmp_path: Path) -> None:
    with (
        services.redis(program("redis-server")) as redis_url,
        services.postgresql(initdb()) as database_url,
        served(tmp_path, "--no-https", REDIS_URL=redis_url, DATABASE_URL=database_url) as server,
    ):
        assert eventually(lambda: server.health()["status"] == "ok"), server.output
        assert server.get("/api/session")[0] == 200
        assert server.stop() == 0
    assert not (tmp_path / "trencher.sqlite3").exists()
    assert not (tmp_path / "queue").exists()


def test_it_loads_the_demo_household_into_an_empty_database_alone(tmp_path: Path) -> None:
    with served(tmp_path, "--no-https", "--demo") as server:
        assert "Loaded the demo household" in server.output
        assert "Next: open the address below and sign in." in server.output
        password = re.search(r"^Password\s+(\S+)$", server.output, re.MULTILINE)
        email = re.search(r"Sign in as\s+(\S+)", server.output)
        assert password is not None
        assert email is not None
        opener = urllib.request.build_opener(urllib.request.HTTPCookieProcessor())
        url = f"http://127.0.0.1:{server.port}/api"
        token = json.loads(opener.open(f"{url}/session").read())["csrf_token"]
        request = urllib.request.Request(
            f"{url}/sign-in",
            json.dumps({"email": email[1], "password": password[1]}).encode(),
            {"Content-Type": "application/json", "X-CSRFToken": token},
        )
        assert len(json.loads(opener.open(request).read())["households"]) == 1
    with served(tmp_path, "--no-https", "--demo") as server:
        assert "There is a household already" in server.output


def test_without_https_it_warns_in_plain_words(tmp_path: Path) -> None:
    with served(tmp_path, "--no-https") as server:
        assert server.get("/api/session")[0] == 200
    assert "https" not in server.output.split("Without https")[0].replace("--no-https", "")
    assert not (tmp_path / "certificates").exists()


def test_a_port_in_use_is_named_with_a_way_out(tmp_path: Path) -> None:
    with socket.socket() as taken:
        taken.bind(("0.0.0.0", free_port()))
        taken.listen()
        port = str(taken.getsockname()[1])
        done = subprocess.run(
            serve_command("--port", port),
            env=serve_environment(tmp_path),
            capture_output=True,
            text=True,
            check=False,
        )
    assert done.returncode == 1
    assert f"port {port}: Address already in use" in done.stderr
    assert "--port 8001" in done.stderr
    assert "Traceback" not in done.stderr


def test_one_port_for_both_is_refused_before_anything_starts(tmp_path: Path) -> None:
    port = str(free_port())
    done = subprocess.run(
        serve_command("--port", port, "--https-port", port),
        env=serve_environment(tmp_path),
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
    )
    assert done.returncode == 1
    assert f"--port and --https-port are both {port}" in done.stderr


def test_an_address_of_ipv6_is_announced_as_browsers_take_it() -> None:
    assert Home("fd00::5", 8000, None).local_host == "[fd00::5]"
    assert Home("::1", 8000, None).local_host == "localhost"


def test_a_bad_setting_stops_it_before_anything_starts(tmp_path: Path) -> None:
    done = subprocess.run(
        serve_command("--port", str(free_port())),
        env=serve_environment(tmp_path, REDIS_URL="not an address"),
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 1
    assert "config.E003" in done.stderr


def test_new_addresses_are_certified_and_announced(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    from django.conf import settings

    monkeypatch.setattr(settings, "DATA", tmp_path)
    here = ["192.168.1.5"]
    monkeypatch.setattr("household.config.addresses.lan_addresses", lambda: list(here))
    home = Home("0.0.0.0", 8000, 8443)
    assert home.certify() is True
    assert home.phone_url == "http://192.168.1.5:8000/trust"
    assert home.has_moved() is False
    here[0] = "192.168.1.77"
    assert home.has_moved() is True
    assert home.phone_url == "http://192.168.1.77:8000/trust"
    web = home.web_children()[0]
    assert web.environment["TRENCHER_INVITATION_BASE_URL"] == "http://192.168.1.77:8000/trust#"


def test_an_address_that_is_not_listened_on_may_change(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    from django.conf import settings

    monkeypatch.setattr(settings, "DATA", tmp_path)
    here = ["192.168.1.5", "fd00::5"]
    monkeypatch.setattr("household.config.addresses.lan_addresses", lambda: list(here))
    home, on_both = Home("0.0.0.0", 8000, 8443), Home("::", 8000, None)
    home.certify()
    here[1] = "fd00::77"
    assert home.has_moved() is False
    assert on_both.has_moved() is True


def test_without_https_too_an_invitation_leads_to_where_phones_reach_it(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("household.config.addresses.lan_addresses", lambda: ["192.168.1.5"])
    web = Home("0.0.0.0", 8000, None).web_children()[0]
    # Whoever invites at the computer itself is at localhost there.
    assert web.environment["TRENCHER_INVITATION_BASE_URL"] == "http://192.168.1.5:8000"
    at_this_machine_alone = Home("127.0.0.1", 8000, None).web_children()[0]
    assert "TRENCHER_INVITATION_BASE_URL" not in at_this_machine_alone.environment


def test_the_qr_code_for_the_terminal_is_the_one_for_paper() -> None:
    drawn = qr_for_terminal("http://192.168.1.5:8000/trust").splitlines()
    widths = {len(line) for line in drawn}
    assert len(widths) == 1
    assert set("".join(drawn)) <= set(" █▀▄")
