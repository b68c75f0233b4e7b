"""Typed readers of the environment.

A value that cannot be read is noted in PROBLEMS and replaced by its default; a system check then
stops every command with the whole list, which is kinder than a traceback about the first one.
"""

import ipaddress
import os
import secrets
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import urlsplit

from household.config.addresses import in_url


@dataclass(frozen=True)
class Problem:
    name: str
    given: str
    allowed: str


PROBLEMS: list[Problem] = []

_TRUE = {"1", "true", "yes", "on"}
_FALSE = {"0", "false", "no", "off"}


def text(name: str, default: str = "") -> str:
    return os.environ.get(name, "").strip() or default


def flag(name: str, default: bool = False) -> bool:
    given = text(name).lower()
    if not given:
        return default
    if given not in _TRUE | _FALSE:
        PROBLEMS.append(Problem(name, given, "1 or 0"))
        return default
    return given in _TRUE


def number(name: str, default: int, *, minimum: int, maximum: int) -> int:
    given = text(name)
    if not given:
        return default
    if given.isascii() and given.isdigit() and minimum <= int(given) <= maximum:
        return int(given)
    PROBLEMS.append(Problem(name, given, f"a whole number from {minimum} to {maximum}"))
    return default


def names(name: str) -> list[str]:
    """The parts of a comma-separated list."""
    return [part.strip() for part in text(name).split(",") if part.strip()]


def origin(name: str) -> str:
    """A web address without a path, such as https://dogs.example, or nothing when unset."""
    given = text(name).rstrip("/")
    if not given:
        return ""
    if not _is_origin(given):
        PROBLEMS.append(Problem(name, given, "an address such as https://dogs.example, no path"))
        return ""
    return given


def _is_origin(given: str) -> bool:
    try:
        parts = urlsplit(given)
        host, _ = parts.hostname, parts.port
    except ValueError:
        return False  # Half a pair of brackets, or a port that is no number.
    return parts.scheme in ("http", "https") and bool(host) and given.endswith(f"//{parts.netloc}")


def origins(name: str) -> list[str]:
    """Web addresses without a path, as a browser names where a page comes from."""
    given = [address.rstrip("/") for address in names(name)]
    for address in given:
        if not _is_origin(address):
            allowed = "addresses that begin with https:// or http://, no path"
            PROBLEMS.append(Problem(name, address, allowed))
    return [address for address in given if _is_origin(address)]


def beginning(name: str) -> str:
    """What links begin with: a web address, without the "/" that each link brings along."""
    given = text(name).rstrip("/")
    if given and not given.startswith(("http://", "https://")):
        PROBLEMS.append(Problem(name, given, "an address such as https://dogs.example"))
        return ""
    return given


def hosts(name: str) -> list[str]:
    """Host names and addresses; one of IPv6 gets the brackets that it has in a request."""
    given = [in_url(part) if _is_ipv6(part) else part for part in names(name)]
    for host in given:
        if not _is_host(host):
            PROBLEMS.append(Problem(name, host, "host names without https:// and port"))
    return [host for host in given if _is_host(host)]


def _is_ipv6(part: str) -> bool:
    try:
        return ipaddress.ip_address(part).version == 6
    except ValueError:
        return False


def _is_host(part: str) -> bool:
    bare = part[1:-1] if part.startswith("[") and part.endswith("]") else part
    return "/" not in part and (":" not in part or _is_ipv6(bare))


def secret_key(name: str, data: Path) -> str:
    """The signing key: from the environment, else one made once and kept in the data folder."""
    if given := text(name):
        return given
    path = data / "secret-key"
    if not path.exists():
        _write_once(path, secrets.token_urlsafe(64))
    return path.read_text("ascii").strip()


def _write_once(path: Path, content: str) -> None:
    # Written aside and linked into place: of two processes that start together one wins, and
    # neither ever reads a half-written key.
    aside = path.with_name(f"{path.name}.{secrets.token_hex(4)}")
    with os.fdopen(os.open(aside, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "w") as file:
        file.write(content)
    try:
        os.link(aside, path)
    except FileExistsError:
        pass
    finally:
        aside.unlink()
