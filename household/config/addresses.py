"""The names and addresses by which other devices in the home reach this machine."""

import ipaddress
import socket
import struct
from collections.abc import Iterator

# Documentation addresses (RFC 5737, RFC 3849): nothing is sent, the system only picks the route.
_ROUTES = ((socket.AF_INET, "192.0.2.1"), (socket.AF_INET6, "2001:db8::1"))
_SIOCGIFADDR = 0x8915  # Linux: the IPv4 address of one interface.
# Interfaces that lead to containers and virtual machines, not to a phone.
_VIRTUAL = ("docker", "br-", "veth", "virbr", "vmnet", "lxc", "cni")


def lan_addresses() -> list[str]:
    """Addresses of this machine on its networks, the one of the default route first."""
    found: list[str] = []
    for address in (*_routed(), *_on_interfaces()):
        parsed = ipaddress.ip_address(address)
        usable = not (parsed.is_loopback or parsed.is_link_local or parsed.is_unspecified)
        if usable and address not in found:
            found.append(address)
    return found


def host_names() -> list[str]:
    """The machine's own name and its name in local name resolution (RFC 6762)."""
    name = socket.gethostname().split(".")[0].lower()
    if not name or name == "localhost":
        return []
    return [name, f"{name}.local"]


def in_url(host: str) -> str:
    """The host as it stands in a web address: an IPv6 address goes in brackets."""
    return f"[{host}]" if ":" in host else host


def _routed() -> Iterator[str]:
    for family, target in _ROUTES:
        try:
            with socket.socket(family, socket.SOCK_DGRAM) as probe:
                probe.connect((target, 9))
                yield str(probe.getsockname()[0])
        except OSError:
            continue  # No network of this family.


def _on_interfaces() -> Iterator[str]:
    try:
        import fcntl
    except ImportError:
        return  # Not a Unix: the routed addresses must do.
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        for _, name in socket.if_nameindex():
            if name.startswith(_VIRTUAL):
                continue
            request = struct.pack("256s", name.encode()[:15])
            try:
                answer = fcntl.ioctl(probe.fileno(), _SIOCGIFADDR, request)
            except OSError:
                continue  # The interface has no IPv4 address, or this is not Linux.
            yield socket.inet_ntoa(answer[20:24])
