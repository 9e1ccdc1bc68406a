"""What a record can prove of itself: signatures and time stamps of its heads, checked offline."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from msgspec import Struct

from proveout.audit.findings import APART, Finding, time_of
from proveout.model.problem import BadInputError
from proveout.record import signing, stamping
from proveout.record.bodies import Signature, Timestamp, bodies
from proveout.record.event import OF_THE_RECORD, Event


class Trusted(Struct, frozen=True):
    """Whom whoever audits trusts.

    Attributes:
        signer: the public key that must have signed the head, in hex; "" for none in particular.
        authorities: certificates of time-stamping authorities as PEM; empty for none.
    """

    signer: str = ""
    authorities: bytes = b""


class Signed(Struct, frozen=True):
    """A signature.

    Attributes:
        event, of: numbers of its own event and of the one that it signs.
        key: in hex.
        problem: why it is false, or "".
        unchecked: why it could not be checked, or "".
    """

    event: int
    of: int
    key: str
    problem: str = ""
    unchecked: str = ""

    @property
    def believed(self) -> bool:
        """Whether it holds."""
        return not (self.problem or self.unchecked)


class Stamped(Struct, frozen=True):
    """A time stamp: when and by whom, as it says; else as a signature."""

    event: int
    of: int
    at: datetime
    by: str
    problem: str = ""
    unchecked: str = ""

    @property
    def believed(self) -> bool:
        """Whether it holds."""
        return not (self.problem or self.unchecked)


class Proof(Struct, frozen=True):
    """The signatures and stamps of a record.

    Attributes:
        signed, stamped: in the order of their events.
        last: number of the last event that says something of the case.
        signer: the key that must have signed it, or "".
    """

    signed: tuple[Signed, ...] = ()
    stamped: tuple[Stamped, ...] = ()
    last: int = 0
    signer: str = ""

    @property
    def signed_upto(self) -> int:
        """Number of the last event under a signature that holds, of the signer if one is asked for; or 0."""
        good = (one.of for one in self.signed if one.believed and self.signer in ("", one.key))
        return max(good, default=0)

    @property
    def stamped_upto(self) -> int:
        """Number of the last event under a stamp that is believed; 0 for none."""
        return max((one.of for one in self.stamped if one.believed), default=0)


def proof_of(events: Sequence[Event], trusted: Trusted) -> Proof:
    """Return the signatures and stamps of a record, each checked."""
    known = {event.n: event for event in events}
    last = max((event.n for event in events if event.kind not in OF_THE_RECORD), default=0)
    return Proof(
        signed=tuple(_signed(event, body, known) for event, body in bodies(events, Signature)),
        stamped=tuple(_stamped(event, body, known, trusted) for event, body in bodies(events, Timestamp)),
        last=last,
        signer=trusted.signer,
    )


def _signed(event: Event, body: Signature, known: dict[int, Event]) -> Signed:
    named = known.get(body.event)
    try:
        if named is not None and named.n < event.n and signing.holds(body, named, event):
            return Signed(event.n, body.event, body.key)
    except BadInputError as error:
        return Signed(event.n, body.event, body.key, unchecked=str(error.problems[0]))
    return Signed(event.n, body.event, body.key, "it is no signature of that event by that key")


def _stamped(event: Event, body: Timestamp, known: dict[int, Event], trusted: Trusted) -> Stamped:
    named = known.get(body.event)
    try:
        if named is not None and named.n < event.n:
            found = stamping.checked(body, named, trusted.authorities)
            return Stamped(event.n, body.event, found.at, found.by, found.problem, found.unchecked)
    except BadInputError as error:
        return Stamped(event.n, body.event, time_of(event), "", unchecked=str(error.problems[0]))
    return Stamped(event.n, body.event, time_of(event), "", "it names no event before it")


def proof_findings(events: Sequence[Event], proof: Proof) -> tuple[Finding, ...]:
    """Return what the signatures and stamps speak against."""
    found = [
        Finding(one.event, "false-signature", f"the signature of event {one.of}: {one.problem}")
        for one in proof.signed
        if one.problem
    ]
    kept = [(one.of, one.key) for one in proof.signed]
    found += [
        Finding(one.event, "signed-twice", f"a second signature of event {one.of} by the same key")
        for place, one in enumerate(proof.signed)
        if (one.of, one.key) in kept[:place]
    ]
    if proof.signer and proof.signed_upto < proof.last:
        upto = f"only up to event {proof.signed_upto}" if proof.signed_upto else "nowhere"
        said = f"the key {proof.signer[:16]}… has not signed what the record ends with, {upto}"
        found.append(Finding(proof.last, "not-signed", said))
    for one in proof.stamped:
        if one.problem:
            said = f"the time stamp of event {one.of}: {one.problem}"
            found.append(Finding(one.event, "false-stamp", said))
        elif one.believed:
            found += _against_stamp(events, one)
    return tuple(found)


def _against_stamp(events: Sequence[Event], stamp: Stamped) -> list[Finding]:
    """Return the events whose clock contradicts the authority's."""
    found = []
    for event in events:
        at = time_of(event)
        if event.n <= stamp.of and at > stamp.at + APART:
            said = f"its time, {event.at}, is after that of the stamp above it, {stamp.at:%Y-%m-%dT%H:%M:%SZ}"
            found.append(Finding(event.n, "clock-against-stamp", said))
        if event.n >= stamp.event and at < stamp.at - APART:
            said = f"its time, {event.at}, is before that of the stamp it holds or follows"
            found.append(Finding(event.n, "clock-against-stamp", said))
    return found
