"""A small proxy on loopback that breaks connections on purpose: lost replies, portals, new builds.

Browsers talk to it as if it were the server. Rules are tried in the order they were made; the first
that fits an exchange and has not run out acts on it. Everything else passes through unchanged.
"""

import http.client
import json
import threading
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from types import TracebackType
from typing import Any

from tests.patience import PATIENCE_S

# These belong to one connection; the proxy has two.
HOP_BY_HOP = {"connection", "keep-alive", "transfer-encoding", "te", "upgrade"}


@dataclass
class Answer:
    """What comes back to the browser; None in its place closes the connection without a word."""

    status: int
    headers: list[tuple[str, str]]
    body: bytes

    @property
    def content_type(self) -> str:
        return next((value for name, value in self.headers if name.lower() == "content-type"), "")


@dataclass(frozen=True)
class Exchange:
    """One request, as far as rules look at it."""

    method: str
    path: str
    body: bytes
    headers: Mapping[str, str]

    def fault_of_ours(self) -> "Answer":
        """What the server itself says when it breaks on this request."""
        request_id = self.headers["X-Request-Id"]
        body = {"code": "server_fault", "message": "Our fault.", "request_id": request_id}
        headers = {"Sync-Protocol": "1", "X-Request-Id": request_id}
        headers["Content-Type"] = "application/json"
        return Answer(500, list(headers.items()), json.dumps(body).encode())

    @property
    def op_ids(self) -> list[str]:
        """The entries that a push carries."""
        return [op["op_id"] for op in json.loads(self.body)["ops"]]


# Passes an exchange on, as it is unless another is given, and returns the server's answer.
Forward = Callable[..., Answer]
Act = Callable[[Exchange, Forward], Answer | None]


@dataclass
class Rule:
    """Acts on requests whose path contains a text, as many times as it is meant to."""

    path: str
    act: Act
    times: int | None = None
    """How many exchanges it still acts on; None: all of them."""
    met: threading.Event = field(default_factory=threading.Event)
    """Set once it has acted."""

    def fits(self, exchange: Exchange) -> bool:
        return self.path in exchange.path and self.times != 0


@dataclass
class Held:
    """Exchanges that the proxy keeps back until they are let go."""

    count: int = 1
    arrived: threading.Event = field(default_factory=threading.Event)
    """Set once all of them are there."""
    go_on: threading.Event = field(default_factory=threading.Event)
    _there: int = 0
    _lock: threading.Lock = field(default_factory=threading.Lock)

    def wait(self) -> None:
        with self._lock:
            self._there += 1
            if self._there == self.count:
                self.arrived.set()
        self.go_on.wait(PATIENCE_S)


class FaultProxy:
    """Stands in front of a server on this machine; use it as a context manager."""

    def __init__(self, upstream_port: int) -> None:
        self._upstream_port = upstream_port
        self._rules: list[Rule] = []
        self._lock = threading.Lock()
        self.seen: list[Exchange] = []
        self._server = _Listener(self)
        self._thread = threading.Thread(target=self._server.serve_forever, daemon=True)

    @property
    def url(self) -> str:
        return f"http://localhost:{self._server.server_address[1]}"

    def __enter__(self) -> "FaultProxy":
        self._thread.start()
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.heal()
        self._server.shutdown()
        self._server.server_close()

    def heal(self) -> None:
        """Takes all rules away; from now on everything passes."""
        with self._lock:
            self._rules.clear()

    def lose_reply(self, path: str, *, times: int = 1) -> Rule:
        """The server acts, and its reply never arrives."""

        def act(_: Exchange, forward: Forward) -> None:
            forward()

        return self.rule(path, act, times=times)

    def hold_reply(self, path: str, *, times: int = 1) -> Held:
        """The server acts; its reply waits in the proxy."""
        held = Held(times)

        def act(_: Exchange, forward: Forward) -> Answer:
            answer = forward()
            held.wait()
            return answer

        self.rule(path, act, times=times)
        return held

    def hold_request(self, path: str) -> Held:
        """The request waits in the proxy, once; whether the server gets it is never learnt."""
        held = Held()

        def act(_: Exchange, forward: Forward) -> None:
            held.wait()

        self.rule(path, act, times=1)
        return held

    def answer(
        self,
        path: str,
        *,
        status: int,
        body: str,
        headers: Mapping[str, str],
        times: int | None = None,
    ) -> Rule:
        """Somebody else answers, and the server hears nothing: a portal, a login page."""
        given = Answer(status, list(headers.items()), body.encode())
        return self.rule(path, lambda _exchange, _forward: given, times=times)

    def change(self, path: str, edit: Callable[[bytes], bytes]) -> Rule:
        """The server's reply arrives with other bytes."""

        def act(_: Exchange, forward: Forward) -> Answer:
            answer = forward()
            return Answer(answer.status, answer.headers, edit(answer.body))

        return self.rule(path, act)

    def slow(self, path: str, *, delay_s: float) -> Rule:
        """Every reply takes its time."""

        def act(_: Exchange, forward: Forward) -> Answer:
            answer = forward()
            time.sleep(delay_s)
            return answer

        return self.rule(path, act)

    def count(self, path: str) -> int:
        """How many requests had this text in their path so far."""
        return sum(path in exchange.path for exchange in self.seen)

    def pushes(self) -> list[Exchange]:
        """All pushes so far."""
        return [exchange for exchange in self.seen if "/sync/push" in exchange.path]

    def rule(self, path: str, act: Act, *, times: int | None = None) -> Rule:
        """Anything else that may happen to an exchange."""
        rule = Rule(path, act, times)
        with self._lock:
            self._rules.append(rule)
        return rule

    def _rule_for(self, exchange: Exchange) -> Rule | None:
        with self._lock:
            self.seen.append(exchange)
            rule = next((rule for rule in self._rules if rule.fits(exchange)), None)
            if rule is not None and rule.times is not None:
                rule.times -= 1
            return rule

    def handle(self, exchange: Exchange) -> Answer | None:
        def forward(changed: Exchange = exchange) -> Answer:
            return self._forward(changed)

        rule = self._rule_for(exchange)
        if rule is None:
            return forward()
        try:
            return rule.act(exchange, forward)
        finally:
            rule.met.set()

    def _forward(self, exchange: Exchange) -> Answer:
        upstream = http.client.HTTPConnection("127.0.0.1", self._upstream_port, timeout=PATIENCE_S)
        try:
            kept = {
                name: value
                for name, value in exchange.headers.items()
                if name.lower() not in HOP_BY_HOP
            }
            # Bodies are passed on as they are, so the proxy must be able to read them.
            kept["Accept-Encoding"] = "identity"
            upstream.request(exchange.method, exchange.path, exchange.body or None, kept)
            reply = upstream.getresponse()
            body = reply.read()
            given = [
                (name, value)
                for name, value in reply.getheaders()
                if name.lower() not in HOP_BY_HOP | {"content-length"}
            ]
            return Answer(reply.status, given, body)
        finally:
            upstream.close()


class _Listener(ThreadingHTTPServer):
    daemon_threads = True
    # A browser opens several connections at once; five, the default, are soon used up.
    request_queue_size = 64

    def __init__(self, proxy: FaultProxy) -> None:
        super().__init__(("127.0.0.1", 0), _Handler)
        self.proxy = proxy

    def handle_error(self, request: Any, client_address: Any) -> None:
        """A browser that was killed leaves broken connections behind; that is the point here."""


class _Handler(BaseHTTPRequestHandler):
    protocol_version = "HTTP/1.1"
    timeout = PATIENCE_S

    def _pass_on(self) -> None:
        listener = self.server
        assert isinstance(listener, _Listener)
        length = int(self.headers.get("Content-Length") or 0)
        body = self.rfile.read(length)
        exchange = Exchange(self.command, self.path, body, dict(self.headers.items()))
        try:
            answer = listener.proxy.handle(exchange)
        except OSError:
            # The server is not there: nor is an answer.
            answer = None
        if answer is None:
            self.close_connection = True
            return
        self._send(answer)

    def _send(self, answer: Answer) -> None:
        self.send_response_only(answer.status)
        for name, value in answer.headers:
            self.send_header(name, value)
        self.send_header("Content-Length", str(len(answer.body)))
        self.end_headers()
        if self.command != "HEAD":
            self.wfile.write(answer.body)

    do_GET = do_HEAD = do_POST = do_PATCH = do_DELETE = _pass_on  # noqa: N815

    def log_message(self, format: str, *args: Any) -> None:
        """Says nothing: the tests do."""
