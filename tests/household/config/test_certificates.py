"""The home's own certificates, judged by OpenSSL as a phone would."""

import ipaddress
import socket
import ssl
import stat
import threading
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from cryptography import x509

from household.config import certificates
from household.config.certificates import HomeCertificates, ensure

NOW = datetime.now(UTC)  # OpenSSL looks at the clock, so the certificates must hold today.
NAMES = ["localhost", "127.0.0.1", "kitchen-pc", "kitchen-pc.local", "192.168.1.5"]


@pytest.fixture
def store(tmp_path: Path) -> HomeCertificates:
    store = HomeCertificates(tmp_path / "certificates")
    ensure(store, names=NAMES, now=NOW)
    return store


def shake_hands(store: HomeCertificates, name: str, *, chain: Path | None = None) -> None:
    """Connects by TLS as a client that trusts the authority alone; raises what OpenSSL finds."""
    ours, theirs = socket.socketpair()
    server = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    server.load_cert_chain(chain or store.server, store.server_key)

    def serve() -> None:
        try:
            server.wrap_socket(ours, server_side=True).close()
        except OSError:
            ours.close()  # The client has refused; it tells why.

    thread = threading.Thread(target=serve)
    thread.start()
    try:
        client = ssl.create_default_context(cafile=str(store.authority))
        client.wrap_socket(theirs, server_hostname=name).close()
    finally:
        theirs.close()
        thread.join()


def load(path: Path) -> x509.Certificate:
    return x509.load_pem_x509_certificate(path.read_bytes())


@pytest.mark.parametrize("name", NAMES)
def test_every_name_and_address_of_the_machine_verifies(store: HomeCertificates, name: str) -> None:
    shake_hands(store, name)


@pytest.mark.parametrize("name", ["192.168.1.6", "bank.example", "other-pc"])
def test_other_names_do_not(store: HomeCertificates, name: str) -> None:
    with pytest.raises(ssl.SSLCertVerificationError, match=r"mismatch|not valid for"):
        shake_hands(store, name)


def test_the_authority_cannot_vouch_for_a_site_on_the_internet(
    store: HomeCertificates, monkeypatch: pytest.MonkeyPatch
) -> None:
    # Whoever stole the key would sign without asking what is permitted; phones do ask.
    authority = load(store.authority)
    certificates._make_server(store, authority, ["bank.example", "198.51.100.4"], NOW)
    for name in ("bank.example", "198.51.100.4"):
        with pytest.raises(ssl.SSLCertVerificationError, match="permitted subtree violation"):
            shake_hands(store, name)


def test_the_server_certificate_lasts_no_longer_than_phones_accept(store: HomeCertificates) -> None:
    server = load(store.server)
    assert server.not_valid_after_utc - server.not_valid_before_utc <= timedelta(days=397)
    authority = load(store.authority)
    assert authority.not_valid_after_utc > server.not_valid_after_utc


def test_the_keys_are_for_this_user_alone(store: HomeCertificates) -> None:
    assert stat.S_IMODE(store.folder.stat().st_mode) == 0o700
    for key in (store.authority_key, store.server_key):
        assert stat.S_IMODE(key.stat().st_mode) == 0o600


def test_nothing_is_made_anew_without_need(store: HomeCertificates) -> None:
    before = (store.authority.read_bytes(), store.server.read_bytes())
    assert ensure(store, names=NAMES, now=NOW + timedelta(days=300)) is False
    assert (store.authority.read_bytes(), store.server.read_bytes()) == before


def test_a_new_address_renews_the_server_certificate_alone(store: HomeCertificates) -> None:
    authority = store.authority.read_bytes()
    moved = [*NAMES[:-1], "192.168.1.77"]
    assert ensure(store, names=moved, now=NOW) is True
    assert store.authority.read_bytes() == authority  # The phones need not do anything.
    shake_hands(store, "192.168.1.77")


def test_a_certificate_near_its_end_is_renewed(store: HomeCertificates) -> None:
    later = NOW + timedelta(days=370)
    assert ensure(store, names=NAMES, now=later) is True
    assert load(store.server).not_valid_after_utc > later + timedelta(days=300)


def test_an_authority_near_its_end_is_made_anew(store: HomeCertificates) -> None:
    authority = store.authority.read_bytes()
    assert ensure(store, names=NAMES, now=NOW + timedelta(days=3640)) is True
    assert store.authority.read_bytes() != authority


def test_a_certificate_of_another_authority_is_replaced(
    store: HomeCertificates, tmp_path: Path
) -> None:
    other = HomeCertificates(tmp_path / "other")
    ensure(other, names=NAMES, now=NOW)
    store.server.write_bytes(other.server.read_bytes())
    assert ensure(store, names=NAMES, now=NOW) is True
    shake_hands(store, "localhost")


@pytest.mark.parametrize("name", ["authority", "authority_key", "server", "server_key"])
@pytest.mark.parametrize("damage", ["missing", "damaged"])
def test_what_is_missing_or_damaged_is_made_anew(
    store: HomeCertificates, name: str, damage: str
) -> None:
    path: Path = getattr(store, name)
    path.unlink() if damage == "missing" else path.write_text("not a certificate")
    assert ensure(store, names=NAMES, now=NOW) is True
    shake_hands(store, "localhost")


@pytest.mark.parametrize("name", ["authority_key", "server_key"])
def test_a_key_of_another_certificate_is_made_anew_with_it(
    store: HomeCertificates, name: str, tmp_path: Path
) -> None:
    """The power went after the key was written and before its certificate was."""
    other = HomeCertificates(tmp_path / "other")
    ensure(other, names=NAMES, now=NOW)
    getattr(store, name).write_bytes(getattr(other, name).read_bytes())
    assert ensure(store, names=NAMES, now=NOW) is True
    assert ensure(store, names=NAMES, now=NOW) is False
    shake_hands(store, "localhost")


def test_a_certificate_made_by_a_clock_that_was_ahead_is_made_anew(store: HomeCertificates) -> None:
    authority = store.authority.read_bytes()
    assert ensure(store, names=NAMES, now=NOW + timedelta(days=400)) is True
    with pytest.raises(ssl.SSLCertVerificationError, match="not yet valid"):
        shake_hands(store, "localhost")
    assert ensure(store, names=NAMES, now=NOW) is True
    shake_hands(store, "localhost")
    assert store.authority.read_bytes() == authority


def test_an_address_outside_the_home_ranges_is_permitted_singly(tmp_path: Path) -> None:
    store = HomeCertificates(tmp_path / "certificates")
    ensure(store, names=["localhost", "203.0.113.9"], now=NOW)
    shake_hands(store, "203.0.113.9")
    constraints = load(store.authority).extensions.get_extension_for_class(x509.NameConstraints)
    assert x509.IPAddress(ipaddress.ip_network("203.0.113.9/32")) in (
        constraints.value.permitted_subtrees or []
    )
    # One that comes later is left out: the authority may not vouch for it.
    ensure(store, names=["localhost", "203.0.113.10"], now=NOW)
    names = load(store.server).extensions.get_extension_for_class(x509.SubjectAlternativeName)
    assert list(names.value) == [x509.DNSName("localhost")]
