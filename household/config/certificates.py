"""A certificate authority of the home's own, so that phones reach this machine by https.

A browser keeps an app for offline use, and hands out notifications, only over https. No public
authority certifies an address inside a home, so the server makes an authority once; each phone
is told to trust it. The authority is constrained (RFC 5280, 4.2.1.10) to names and addresses that
exist only inside a home: whoever stole its key could not pose as a bank.
"""

import ipaddress
import os
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

AUTHORITY_LASTS = timedelta(days=3650)
# Phones refuse server certificates that last longer: 398 days is the limit of the public baseline
# requirements since 2020, which some systems apply to every certificate.
SERVER_LASTS = timedelta(days=390)
RENEW_BEFORE = timedelta(days=30)
_CLOCKS_MAY_DIFFER = timedelta(days=1)

# What the authority may certify: loopback, the private ranges of RFC 1918, RFC 6598 and RFC 4193,
# link-local addresses, and the name spaces of RFC 6762 (.local) and RFC 8375 (.home.arpa).
HOME_NETWORKS = tuple(
    ipaddress.ip_network(network)
    for network in (
        "127.0.0.0/8",
        "10.0.0.0/8",
        "172.16.0.0/12",
        "192.168.0.0/16",
        "100.64.0.0/10",
        "169.254.0.0/16",
        "::1/128",
        "fc00::/7",
        "fe80::/10",
    )
)
HOME_DOMAINS = ("localhost", "local", "home.arpa")


@dataclass(frozen=True)
class HomeCertificates:
    """Where the authority and the server's certificate are kept."""

    folder: Path

    @property
    def authority(self) -> Path:
        return self.folder / "authority.pem"

    @property
    def authority_key(self) -> Path:
        return self.folder / "authority-key.pem"

    @property
    def server(self) -> Path:
        """The server's certificate, followed by the authority's."""
        return self.folder / "server.pem"

    @property
    def server_key(self) -> Path:
        return self.folder / "server-key.pem"


def certifiable(names: Sequence[str], authority: x509.Certificate) -> list[str]:
    """Those of the names and addresses that the authority may certify, each once, in order."""
    constraints = authority.extensions.get_extension_for_class(x509.NameConstraints).value
    permitted = constraints.permitted_subtrees or []
    return [name for name in dict.fromkeys(names) if any(_lies_in(name, one) for one in permitted)]


def ensure(store: HomeCertificates, *, names: Sequence[str], now: datetime) -> bool:
    """Makes or renews what is missing, near its end or made for other addresses.

    Returns whether the server's certificate is new, in which case the server must read it again.
    """
    store.folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    store.folder.chmod(0o700)
    authority = _load(store.authority, store.authority_key)
    if authority is None or authority.not_valid_after_utc < now + SERVER_LASTS + RENEW_BEFORE:
        authority = _make_authority(store, names, now)
    wanted = certifiable(names, authority)
    server = _load(store.server, store.server_key)
    if server is not None and _is_good(server, authority, wanted, now):
        return False
    _make_server(store, authority, wanted, now)
    return True


def authority_der(store: HomeCertificates) -> bytes | None:
    """The authority's certificate as phones download it, or None when there is none."""
    authority = _load(store.authority, store.authority_key)
    return authority.public_bytes(serialization.Encoding.DER) if authority else None


def fingerprint(der: bytes) -> str:
    """The SHA-256 fingerprint as phones show it: AB:CD:…"""
    certificate = x509.load_der_x509_certificate(der)
    return certificate.fingerprint(hashes.SHA256()).hex(":").upper()


def _load(path: Path, key: Path) -> x509.Certificate | None:
    """The certificate, or None if it or its key is missing, damaged or another's: then both are
    made anew. They are two files, and the power may have gone between the two.
    """
    try:
        private = serialization.load_pem_private_key(key.read_bytes(), password=None)
        certificate = x509.load_pem_x509_certificate(path.read_bytes())
    except (FileNotFoundError, ValueError):
        return None
    return certificate if certificate.public_key() == private.public_key() else None


def _address(name: str) -> ipaddress.IPv4Address | ipaddress.IPv6Address | None:
    try:
        return ipaddress.ip_address(name)
    except ValueError:
        return None


def _lies_in(name: str, permitted: x509.GeneralName) -> bool:
    address = _address(name)
    if address is not None:
        return isinstance(permitted, x509.IPAddress) and address in ipaddress.ip_network(
            str(permitted.value)
        )
    return isinstance(permitted, x509.DNSName) and (
        name == permitted.value or name.endswith(f".{permitted.value}")
    )


def _is_good(
    server: x509.Certificate, authority: x509.Certificate, wanted: Sequence[str], now: datetime
) -> bool:
    if server.issuer != authority.subject or server.not_valid_after_utc < now + RENEW_BEFORE:
        return False
    if server.not_valid_before_utc > now:  # Made by a clock that was ahead.
        return False
    try:
        server.verify_directly_issued_by(authority)
    except Exception:  # Whatever is wrong with the signature, a new certificate mends it.
        return False
    names = server.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    return list(names) == [_general_name(name) for name in wanted]


def _general_name(name: str) -> x509.GeneralName:
    address = _address(name)
    return x509.DNSName(name) if address is None else x509.IPAddress(address)


def _builder(
    subject: x509.Name, issuer: x509.Name, key: ec.EllipticCurvePrivateKey, now: datetime
) -> x509.CertificateBuilder:
    return (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(issuer)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - _CLOCKS_MAY_DIFFER)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
    )


def _make_authority(
    store: HomeCertificates, names: Sequence[str], now: datetime
) -> x509.Certificate:
    key = ec.generate_private_key(ec.SECP256R1())
    permitted: list[x509.GeneralName] = [x509.DNSName(domain) for domain in HOME_DOMAINS]
    permitted += [x509.IPAddress(network) for network in HOME_NETWORKS]
    # What this machine has outside of those, such as its bare name or a public address handed out
    # inside the home, is permitted singly.
    for name in names:
        if not any(_lies_in(name, one) for one in permitted):
            address = _address(name)
            permitted.append(
                x509.DNSName(name)
                if address is None
                else x509.IPAddress(ipaddress.ip_network(address))
            )
    title = f"Trencher at home, made {now:%Y-%m-%d}"
    subject = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, title)])
    authority = (
        _builder(subject, subject, key, now)
        .not_valid_after(now + AUTHORITY_LASTS)
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(_key_usage(signs_certificates=True), critical=True)
        .add_extension(x509.NameConstraints(permitted, None), critical=True)
        .sign(key, hashes.SHA256())
    )
    _write_key(store.authority_key, key)
    _write(store.authority, authority.public_bytes(serialization.Encoding.PEM), 0o644)
    return authority


def _make_server(
    store: HomeCertificates, authority: x509.Certificate, names: Sequence[str], now: datetime
) -> None:
    signer = serialization.load_pem_private_key(store.authority_key.read_bytes(), password=None)
    if not isinstance(signer, ec.EllipticCurvePrivateKey):
        raise TypeError(f"{store.authority_key} does not hold the key this program made.")
    key = ec.generate_private_key(ec.SECP256R1())
    subject = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "Trencher on this machine")])
    server = (
        _builder(subject, authority.subject, key, now)
        .not_valid_after(now - _CLOCKS_MAY_DIFFER + SERVER_LASTS)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(_key_usage(signs_certificates=False), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(
            x509.AuthorityKeyIdentifier.from_issuer_public_key(signer.public_key()), critical=False
        )
        .add_extension(
            x509.SubjectAlternativeName([_general_name(name) for name in names]), critical=False
        )
        .sign(signer, hashes.SHA256())
    )
    chain = [server, authority]
    _write_key(store.server_key, key)
    pem = b"".join(part.public_bytes(serialization.Encoding.PEM) for part in chain)
    _write(store.server, pem, 0o644)


def _key_usage(*, signs_certificates: bool) -> x509.KeyUsage:
    return x509.KeyUsage(
        digital_signature=not signs_certificates,
        key_cert_sign=signs_certificates,
        crl_sign=signs_certificates,
        content_commitment=False,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        encipher_only=False,
        decipher_only=False,
    )


def _write_key(path: Path, key: ec.EllipticCurvePrivateKey) -> None:
    pem = key.private_bytes(
        serialization.Encoding.PEM,
        serialization.PrivateFormat.PKCS8,
        serialization.NoEncryption(),
    )
    _write(path, pem, 0o600)


def _write(path: Path, content: bytes, mode: int) -> None:
    # Written aside with its final rights, then moved over: never readable by others, never half.
    aside = path.with_suffix(".new")
    aside.unlink(missing_ok=True)
    with os.fdopen(os.open(aside, os.O_WRONLY | os.O_CREAT | os.O_EXCL, mode), "wb") as file:
        file.write(content)
    aside.replace(path)
