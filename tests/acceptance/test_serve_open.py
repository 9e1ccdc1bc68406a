"""Who is let in from where: this machine alone, or others by an explicit address, with TLS or without."""

from __future__ import annotations

import socket
import ssl
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from ipaddress import ip_address
from pathlib import Path

import pytest
from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import NameOID

from helpers_cli import proveout
from helpers_serve import Served, ask, serving

NAME = "bay.test"


def own_address() -> str:
    """Return an address of this machine that is not of itself alone; no packet is sent."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asked:
        try:
            asked.connect(("192.0.2.1", 9))
            found = str(asked.getsockname()[0])
        except OSError:
            found = "127.0.0.1"
    if ip_address(found).is_loopback:
        pytest.skip("this machine has no address but its own")
    return found


def answers(address: str, port: int) -> bool:
    try:
        socket.create_connection((address, port), timeout=10).close()
    except OSError:
        return False
    return True


@pytest.fixture(scope="module")
def keys(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """Return a certificate that signs itself, and its key."""
    home, key = tmp_path_factory.mktemp("keys"), ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, NAME)])
    now = datetime.now(UTC)
    made = (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(name)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - timedelta(days=1))
        .not_valid_after(now + timedelta(days=1))
        .add_extension(x509.SubjectAlternativeName([x509.DNSName(NAME)]), critical=False)
        .add_extension(x509.BasicConstraints(ca=True, path_length=None), critical=True)
        .sign(key, hashes.SHA256())
    )
    (home / "cert.pem").write_bytes(made.public_bytes(serialization.Encoding.PEM))
    plain, form = serialization.NoEncryption(), serialization.PrivateFormat.PKCS8
    (home / "key.pem").write_bytes(key.private_bytes(serialization.Encoding.PEM, form, plain))
    locked = serialization.BestAvailableEncryption(b"secret")
    (home / "locked.pem").write_bytes(key.private_bytes(serialization.Encoding.PEM, form, locked))
    return home / "cert.pem", home / "key.pem"


@pytest.fixture(scope="module")
def secure(tmp_path_factory: pytest.TempPathFactory, keys: tuple[Path, Path]) -> Iterator[Served]:
    """Return a server at an address of the network, over TLS."""
    options = ("--certificate", str(keys[0]), "--private-key", str(keys[1]))
    home = tmp_path_factory.mktemp("secure")
    with serving(home, "--host", own_address(), "--name", NAME, *options) as served:
        yield served


def over_tls(served: Served, keys: tuple[Path, Path], path: str, *headers: str) -> str:
    """Return the whole answer to a request over TLS, the certificate checked against the name."""
    trusted = ssl.create_default_context(cafile=str(keys[0]))
    lines = [f"GET {path} HTTP/1.1", f"Host: {NAME}:{served.port}", "Connection: close", *headers]
    with (
        socket.create_connection((own_address(), served.port), timeout=60) as plain,
        trusted.wrap_socket(plain, server_hostname=NAME) as wrapped,
    ):
        wrapped.sendall(("\r\n".join([*lines, "", ""])).encode())
        parts = []
        while part := wrapped.recv(65536):
            parts.append(part)
    return b"".join(parts).decode("utf-8", "replace")


def test_without_a_word_only_this_machine_gets_in(tmp_path: Path) -> None:
    with serving(tmp_path) as served:
        assert served.host == "127.0.0.1" and answers("127.0.0.1", served.port)
        assert not answers(own_address(), served.port)
        assert not any("█" in line for line in served.said)  # nothing to scan: no phone could follow it


def test_an_address_of_the_network_asks_for_the_token_and_shows_it_to_scan(tmp_path: Path) -> None:
    with serving(tmp_path, "--host", own_address()) as served:
        assert served.host == own_address() and not answers("127.0.0.1", served.port)
        assert any("█" in line or "cannot show the code" in line for line in served.said)
        assert len(served.token) >= 32
        assert ask(served, "/", known=False).status == 401
        assert ask(served, "/enter/" + "x" * len(served.token), known=False).status in (401, 403)
        let_in = ask(served, f"/enter/{served.token}", known=False)
        assert let_in.status == 200 and "HttpOnly" in let_in.headers["set-cookie"]
        assert ask(served, "/").status == 200
        assert ask(served, "/", more={"Host": f"elsewhere.test:{served.port}"}).status == 421


def test_over_tls_the_cookie_never_goes_in_the_clear(secure: Served, keys: tuple[Path, Path]) -> None:
    assert secure.address.startswith(f"https://{NAME}:")
    assert over_tls(secure, keys, "/").startswith("HTTP/1.1 401")
    let_in = over_tls(secure, keys, f"/enter/{secure.token}")
    assert let_in.startswith("HTTP/1.1 200") and "; Secure" in let_in
    assert over_tls(secure, keys, "/", f"Cookie: {secure.cookie}").startswith("HTTP/1.1 200")


def test_whoever_speaks_plainly_to_tls_learns_nothing(secure: Served) -> None:
    with socket.create_connection((own_address(), secure.port), timeout=60) as plain:
        plain.sendall(f"GET /enter/{secure.token} HTTP/1.1\r\nHost: {NAME}\r\n\r\n".encode())
        try:
            heard = plain.recv(65536)
        except OSError:
            heard = b""
    assert b"set-cookie" not in heard.lower() and b"HTTP/1.1 200" not in heard
    assert not any("Traceback" in line for line in secure.said)


@pytest.mark.parametrize(
    ("certificate", "key", "told"),
    [
        ("cert.pem", "", "go together"),
        ("cert.pem", "cert.pem", "no PEM certificate with its key"),
        ("key.pem", "key.pem", "no PEM certificate with its key"),
        ("cert.pem", "locked.pem", "asks for a password"),
    ],
)
def test_what_cannot_serve_for_tls_is_refused_before_it_begins(
    certificate: str, key: str, told: str, keys: tuple[Path, Path], tmp_path: Path
) -> None:
    options = ["--certificate", keys[0].parent / certificate]
    options += ["--private-key", keys[0].parent / key] if key else []
    answer = proveout("serve", tmp_path, "--port", "0", *options, home=tmp_path)
    assert answer.code == 2 and told in answer.err, answer.err
