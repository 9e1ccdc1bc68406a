"""Time stamps of heads by an authority (RFC 3161), asked for and verified without a network.

A request for the head is written to a file; who wants the stamp sends it to an authority of his choice; the
reply goes into the chain as an event of its own. It shows that the head existed at the authority's time.
"""

from __future__ import annotations

import base64
import hashlib
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

from msgspec import Struct

from proveout.model.problem import NOWHERE, BadInputError, Place, Problem
from proveout.record.bodies import Timestamp
from proveout.record.event import Event
from proveout.record.signing import message_of

if TYPE_CHECKING:
    from cryptography.x509 import Certificate


class Stamp(Struct, frozen=True):
    """What a reply says.

    Attributes:
        at: the authority's time, UTC.
        by: the authority's name, as its certificate says; "" where none came along.
        problem: why it is false, or "".
        unchecked: why it could not be checked, or "".
    """

    at: datetime
    by: str
    problem: str = ""
    unchecked: str = ""


def request_of(event: Event) -> bytes:
    """Return a request for a stamp of an event and all before it: DER, SHA-256, asking for the certificate.

    Raises:
        BadInputError: the library is not installed.
    """
    _needed()
    from rfc3161_client import HashAlgorithm, TimestampRequestBuilder

    builder = TimestampRequestBuilder().data(message_of(event)).hash_algorithm(HashAlgorithm.SHA256)
    return bytes(builder.nonce(nonce=False).build().as_bytes())


def stamp_of(events: tuple[Event, ...], reply: bytes, name: str) -> Timestamp:
    """Return the stamp that an authority's reply is, of the event for which it was asked.

    Raises:
        BadInputError: the library is not installed, it is no reply that grants one, or it stamps something
            else than an event of this record.
    """
    _needed()
    found = _decoded(reply, name)
    for event in reversed(events):
        if _imprint(found) == hashlib.sha256(message_of(event)).digest():
            return Timestamp(event=event.n, head=event.digest, reply=base64.b64encode(reply).decode())
    mend = "ask for one: proveout seal CASE --request FILE"
    saw, expected = "a stamp of something else", "a stamp of an event of this record, by SHA-256"
    raise BadInputError(Problem(Place(name), "other-stamp", saw, expected, mend))


def checked(body: Timestamp, event: Event, roots: bytes) -> Stamp:
    """Check a stamp against an event and the authorities that are trusted.

    Args:
        body: the stamp.
        event: that it names.
        roots: their certificates, PEM one after the other; without any nothing is believed.

    Raises:
        BadInputError: the library is not installed, or the certificates cannot be read.
    """
    _needed()
    from rfc3161_client import VerificationError, VerifierBuilder

    try:
        found = _decoded(base64.b64decode(body.reply, validate=True), "")
    except (ValueError, BadInputError):
        return Stamp(datetime.min.replace(tzinfo=UTC), "", "it is no reply that grants a stamp")
    at, by = found.tst_info.gen_time.astimezone(UTC), _named(found)
    if (body.event, body.head) != (event.n, event.digest):
        return Stamp(at, by, "it names another event")
    if _imprint(found) != hashlib.sha256(message_of(event)).digest():
        return Stamp(at, by, "it is of something else")
    known = certificates(roots)
    if not known:
        return Stamp(at, by, unchecked="no certificate of an authority was given to check it by")
    try:
        VerifierBuilder(roots=known).build().verify_message(found, message_of(event))
    except (VerificationError, ValueError) as error:
        return Stamp(at, by, f"the authorities given do not vouch for it: {error}")
    return Stamp(at, by)


def certificates(pem: bytes, name: str = "") -> list[Certificate]:
    """Return the certificates of a PEM text, none for an empty one.

    Raises:
        BadInputError: it holds something else.
    """
    if not pem.strip():
        return []
    from cryptography.x509 import load_pem_x509_certificates

    try:
        return load_pem_x509_certificates(pem)
    except ValueError:
        saw, expected = "no certificate that can be read", "certificates of authorities as PEM"
        raise BadInputError(Problem(Place(name), "no-certificate", saw, expected)) from None


def _decoded(reply: bytes, name: str) -> Any:
    """Decode a reply that grants a stamp."""
    from rfc3161_client import PKIStatus, decode_timestamp_response

    try:
        found = decode_timestamp_response(reply)
        if PKIStatus(found.status) in (PKIStatus.GRANTED, PKIStatus.GRANTED_WITH_MODS):
            _ = found.tst_info.message_imprint.message, found.tst_info.gen_time
            return found
        saw = "a reply that grants no stamp"
    except (ValueError, TypeError):
        saw = "no reply of a time-stamping authority"
    raise BadInputError(Problem(Place(name), "no-stamp", saw, "a granted reply in DER (RFC 3161)"))


def _imprint(found: Any) -> bytes:
    return bytes(found.tst_info.message_imprint.message)


def _named(found: Any) -> str:
    """Return the name of the certificate that signed a reply, where it came along."""
    from cryptography.x509 import load_der_x509_certificate

    for signer in found.signed_data.signer_infos:
        for data in found.signed_data.certificates:
            certificate = load_der_x509_certificate(data)
            if certificate.serial_number == signer.serial_number and certificate.issuer == signer.issuer:
                return certificate.subject.rfc4514_string()
    return ""


def _needed() -> None:
    """Refuse to go on without the library.

    Raises:
        BadInputError: it is not installed.
    """
    try:
        import rfc3161_client  # noqa: F401
    except ImportError:
        saw, mend = "time stamps without the library for them", "pip install 'proveout[seal]'"
        raise BadInputError(Problem(NOWHERE, "extra-missing", saw, "the extra 'seal'", mend)) from None
