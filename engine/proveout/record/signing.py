"""Signatures of heads with ed25519 (RFC 8032), kept in the chain as events of their own.

Signed is the number and the digest of the event before, and so everything up to it. Who has the key can sign
anew whatever he likes; for everybody else a signed head is one that cannot be rewritten.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from proveout.model.problem import NOWHERE, BadInputError, Place, Problem
from proveout.record.bodies import Signature
from proveout.record.event import Event

if TYPE_CHECKING:
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

#: Keeps these signatures apart from any other use of a key.
TAG = b"proveout/head-signature/1\0"


def message_of(event: Event, *also: str) -> bytes:
    """Return the bytes that are signed or stamped for an event: its number, its digest, and what else is."""
    return TAG + " ".join((str(event.n), event.digest, *also)).encode()


def new_key() -> bytes:
    """Return a new private key as PEM, not encrypted: whoever reads the file can sign.

    Raises:
        BadInputError: the library is not installed.
    """
    _needed()
    from cryptography.hazmat.primitives import serialization
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

    return Ed25519PrivateKey.generate().private_bytes(
        serialization.Encoding.PEM,
        serialization.PrivateFormat.PKCS8,
        serialization.NoEncryption(),
    )


def signature_of(event: Event, pem: bytes, at: str, by: str) -> Signature:
    """Return the signature of an event and all before it.

    Args:
        event: the head of a record.
        pem: a private ed25519 key.
        at: when it is signed, as its own event will say; it is signed too.
        by: who signs it, in the same way.

    Raises:
        BadInputError: the library is not installed, or this is no such key.
    """
    key = _private(pem)
    public = key.public_key().public_bytes_raw().hex()
    sealed = key.sign(message_of(event, at, by)).hex()
    return Signature(event=event.n, head=event.digest, key=public, signature=sealed)


def public_of(data: bytes, name: str) -> str:
    """Return a public key in hex from its PEM, from that of a private key, or from 64 hex digits.

    Raises:
        BadInputError: the library is not installed, or this is none of them.
    """
    text = data.decode("ascii", "replace").strip()
    if len(text) == 64 and set(text) <= set("0123456789abcdef"):
        return text
    if "PRIVATE" in text:
        return _private(data).public_key().public_bytes_raw().hex()
    _needed()
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey
    from cryptography.hazmat.primitives.serialization import load_pem_public_key

    try:
        key = load_pem_public_key(data)
    except (ValueError, TypeError):
        raise _no_key(name) from None
    if not isinstance(key, Ed25519PublicKey):
        raise _no_key(name)
    return key.public_bytes_raw().hex()


def holds(body: Signature, event: Event, own: Event) -> bool:
    """Say whether a signature is one of this event by the key that it names.

    Args:
        body: the signature.
        event: that it names.
        own: the event that holds it.

    Raises:
        BadInputError: the library is not installed.
    """
    _needed()
    from cryptography.exceptions import InvalidSignature
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

    if (body.event, body.head) != (event.n, event.digest):
        return False
    try:
        key = Ed25519PublicKey.from_public_bytes(bytes.fromhex(body.key))
        key.verify(bytes.fromhex(body.signature), message_of(event, own.at, own.by))
    except (InvalidSignature, ValueError):
        return False
    return True


def _private(pem: bytes) -> Ed25519PrivateKey:
    _needed()
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
    from cryptography.hazmat.primitives.serialization import load_pem_private_key

    try:
        key = load_pem_private_key(pem, password=None)
    except (ValueError, TypeError):
        raise _no_key("") from None
    if not isinstance(key, Ed25519PrivateKey):
        raise _no_key("")
    return key


def _no_key(name: str) -> BadInputError:
    saw, expected = "no key that can be used", "an ed25519 key as PEM without a password, or 64 hex digits"
    return BadInputError(
        Problem(Place(name), "no-key", saw, expected, "make one: proveout seal --new-key FILE")
    )


def _needed() -> None:
    """Refuse to go on without the library.

    Raises:
        BadInputError: it is not installed.
    """
    try:
        import cryptography  # noqa: F401
    except ImportError:
        saw, mend = "signatures without the library for them", "pip install 'proveout[seal]'"
        raise BadInputError(Problem(NOWHERE, "extra-missing", saw, "the extra 'seal'", mend)) from None
