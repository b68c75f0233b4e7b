"""Ten devices that push at once, to the web server as `serve` starts it. Prints JSON.

Run by tests.benchmarks.sync_server, which gives the environment.
"""

import json
import subprocess
import sys
import time
from concurrent.futures import ThreadPoolExecutor
from http.client import HTTPConnection
from typing import Any

from django.conf import settings
from django.test import Client

from household.accounts.models import Household, Member
from household.config.management.commands.serve import Home
from tests.benchmarks.server_side.entries import Op, Writer, body_of
from tests.benchmarks.server_side.phone import HEADERS, new_member, prepare_database
from tests.services import free_port

DEVICES, PUSHES, SIZE = 10, 20, 20
CSRF = "c" * 32
READY_WITHIN_S = 60.0


class Device:
    """A member's phone with a connection of its own."""

    def __init__(self, member: Member, port: int) -> None:
        client = Client()
        client.force_login(member.user)
        session = client.cookies[settings.SESSION_COOKIE_NAME].value
        self.headers = {
            **HEADERS,
            "Content-Type": "application/json",
            "Cookie": f"{settings.SESSION_COOKIE_NAME}={session}; csrftoken={CSRF}",
            "X-CSRFToken": CSRF,
        }
        self.path = f"/api/households/{member.household_id}/sync/push"
        self.writer = Writer(str(member.household_id), str(member.pk))
        self.connection = HTTPConnection("127.0.0.1", port, timeout=60)

    def push(self, ops: list[Op]) -> tuple[float, int]:
        """How long the answer took [s], and its status."""
        body = body_of(self.writer, ops, None)
        start = time.perf_counter()
        self.connection.request("POST", self.path, body, self.headers)
        response = self.connection.getresponse()
        response.read()
        return time.perf_counter() - start, response.status

    def push_all(self, dogs: list[Op]) -> list[tuple[float, int]]:
        return [self.push(self.writer.weighings(dogs, SIZE)) for _ in range(PUSHES)]


def wait_for(port: int) -> None:
    deadline = time.monotonic() + READY_WITHIN_S
    while True:
        try:
            connection = HTTPConnection("127.0.0.1", port, timeout=5)
            connection.request("GET", "/api/health")
            connection.getresponse().read()
            return
        except OSError:
            if time.monotonic() > deadline:
                raise
            time.sleep(0.1)


def measure(port: int) -> dict[str, Any]:
    household = Household.objects.create(name="Larch Row")
    devices = [Device(new_member(household), port) for _ in range(DEVICES)]
    dogs = devices[0].writer.dogs(1)
    assert devices[0].push(dogs)[1] == 200
    alone = devices[0].push_all(dogs)
    with ThreadPoolExecutor(DEVICES) as pool:
        together = [each for pushes in pool.map(lambda one: one.push_all(dogs), devices)
                    for each in pushes]  # fmt: skip
    return {
        "alone": [spent for spent, _ in alone],
        "together": [spent for spent, _ in together],
        "errors": sum(status != 200 for _, status in [*alone, *together]),
    }


def main() -> int:
    prepare_database()
    port = free_port()
    (web,) = Home("127.0.0.1", port, None).web_children()
    process = subprocess.Popen(web.command, stdout=sys.stderr)
    try:
        wait_for(port)
        print(json.dumps(measure(port)))
    finally:
        process.terminate()
        process.wait(30)
    return 0


if __name__ == "__main__":
    sys.exit(main())
