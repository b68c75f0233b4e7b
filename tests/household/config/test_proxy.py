"""The nginx configuration that the project offers, run by nginx in front of a real server."""

import http.client
import json
import re
import ssl
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings

from household.config.certificates import HomeCertificates, ensure
from tests.conftest import program
from tests.household.config.serving import eventually, served
from tests.services import free_port

OFFERED = Path(settings.BASE) / "household" / "config" / "proxy" / "nginx.conf"
OWNER = {
    "name": "Maren",
    "email": "maren@mill.example",
    "password": "nine-bowls-in-a-row",
    "household_name": "Mill Lane",
    "time_zone": "Europe/London",
}


@dataclass
class Proxied:
    """A browser's view of the proxy: cookies are kept, and Origin is sent."""

    port: int
    http_port: int
    context: ssl.SSLContext
    cookies: dict[str, str] = field(default_factory=dict)

    def call(
        self, method: str, path: str, body: Any = None, **headers: str
    ) -> tuple[int, http.client.HTTPResponse, Any]:
        connection = http.client.HTTPSConnection("localhost", self.port, context=self.context)
        sent = {
            "Origin": f"https://localhost:{self.port}",
            "Cookie": "; ".join(f"{name}={value}" for name, value in self.cookies.items()),
            "X-CSRFToken": self.cookies.get("csrftoken", ""),
            "Content-Type": "application/json",
            **{name.replace("_", "-"): value for name, value in headers.items()},
        }
        connection.request(method, path, None if body is None else json.dumps(body), sent)
        answer = connection.getresponse()
        for cookie in answer.headers.get_all("Set-Cookie") or []:
            name, value = cookie.split(";")[0].split("=", 1)
            self.cookies[name] = value
        content = answer.read()
        is_json = answer.headers.get_content_type() == "application/json"
        return answer.status, answer, json.loads(content) if is_json else content


def configuration(text: str, *, replace: dict[str, str]) -> str:
    for given, ours in replace.items():
        assert given in text, f"{given} is no longer in the offered configuration"
        text = text.replace(given, ours)
    return text


@contextmanager
def nginx(folder: Path, offered: str) -> Iterator[None]:
    """Runs nginx in the foreground with the offered part in an otherwise empty configuration."""
    (folder / "offered.conf").write_text(offered)
    kinds = ("client_body", "proxy", "fastcgi", "uwsgi", "scgi")
    temporary = "\n".join(f"  {kind}_temp_path {folder}/{kind};" for kind in kinds)
    (folder / "main.conf").write_text(
        f"daemon off; master_process off; pid {folder}/pid; error_log stderr;\nevents {{}}\n"
        f"http {{\n  access_log off;\n{temporary}\n  include {folder}/offered.conf;\n}}\n"
    )
    command = [program("nginx"), "-p", str(folder), "-e", "stderr", "-c", str(folder / "main.conf")]
    process = subprocess.Popen(command)
    try:
        yield
    finally:
        process.terminate()
        process.wait(30)


@pytest.fixture(scope="module")
def proxied(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Proxied]:
    program("nginx")
    folder = tmp_path_factory.mktemp("proxy")
    store = HomeCertificates(folder / "certificates")
    ensure(store, names=["localhost"], now=datetime.now(UTC))
    port, http_port = free_port(), free_port()
    public = f"https://localhost:{port}"
    data = tmp_path_factory.mktemp("data")
    variables = {"TRENCHER_BEHIND_PROXY": "1", "TRENCHER_PUBLIC_URL": public}
    with served(data, **variables) as server:
        offered = configuration(
            OFFERED.read_text(),
            replace={
                "/etc/ssl/dogs.example/fullchain.pem": str(store.server),
                "/etc/ssl/dogs.example/privkey.pem": str(store.server_key),
                "listen 443 ssl": f"listen 127.0.0.1:{port} ssl",
                "listen 80": f"listen 127.0.0.1:{http_port}",
                "dogs.example": "localhost",
                "127.0.0.1:8000": f"127.0.0.1:{server.port}",
            },
        )
        assert eventually(lambda: set(server.children()) == {"web", "worker", "beat"})
        assert f"Everywhere:        {public}" in server.output
        context = ssl.create_default_context(cafile=str(store.authority))
        browser = Proxied(port, http_port, context)
        with nginx(folder, offered):
            assert eventually(lambda: browser.call("GET", "/api/session")[0] == 200)
            yield browser


def test_a_household_lives_behind_the_proxy(proxied: Proxied) -> None:
    status, answer, session = proxied.call("GET", "/api/session")
    assert status == 200
    assert session["secure"] is True
    assert "max-age=31536000" in answer.headers["Strict-Transport-Security"]
    status, answer, session = proxied.call("POST", "/api/sign-up", OWNER)
    assert status == 201, session
    for cookie in answer.headers.get_all("Set-Cookie") or []:
        assert re.search(r";\s*secure", cookie, re.IGNORECASE), cookie
    household = session["households"][0]["id"]
    url = f"/api/households/{household}/invitations"
    status, _, made = proxied.call("POST", url, {"role": "sitter"})
    assert status == 201, made
    assert made["url"] == f"https://localhost:{proxied.port}/join/{made['token']}"


def test_another_sites_page_cannot_write(proxied: Proxied) -> None:
    status, _, refused = proxied.call("POST", "/api/sign-out", Origin="https://elsewhere.example")
    assert status == 403
    assert refused["code"] == "csrf_failed"


def test_a_client_cannot_make_up_where_it_comes_from(proxied: Proxied) -> None:
    guess = {"email": "maren@mill.example", "password": "a-guess"}
    codes = {
        proxied.call("POST", "/api/sign-in", guess, X_Forwarded_For=f"198.51.100.{number}")[0]
        for number in range(16)
    }
    assert codes == {400, 429}


def test_plain_http_is_sent_to_https(proxied: Proxied) -> None:
    connection = http.client.HTTPConnection("127.0.0.1", proxied.http_port)
    connection.request("GET", "/today", headers={"Host": "localhost"})
    answer = connection.getresponse()
    assert answer.status == 301
    assert answer.headers["Location"] == "https://localhost/today"


def test_there_is_nothing_to_trust_behind_a_real_certificate(proxied: Proxied) -> None:
    assert b"Nothing to set up here" in proxied.call("GET", "/trust")[2]
