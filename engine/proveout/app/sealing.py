"""Signs what a record ends with, and has it time-stamped, without a network."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path

from proveout.app.filing import append, events_of
from proveout.app.keeping import now
from proveout.app.profile import who
from proveout.model.problem import BadInputError
from proveout.record import casefile, files
from proveout.record.signing import new_key, public_of, signature_of
from proveout.record.stamping import request_of, stamp_of


def make_key(path: Path) -> Path:
    """Write a new private key, which only its owner may read, and beside it its public half; give that file.

    Raises:
        BadInputError: something stands there, or the library is missing.
    """
    pem = new_key()
    files.create(path, pem, private=True)
    public = path.with_name(f"{path.name}.pub")
    try:
        files.create(public, f"{public_of(pem, str(path))}\n".encode())
    except BaseException:  # nobody has the public half: the key is of no use, and in the way of the next one
        with suppress(BadInputError):
            files.remove(path)
        raise
    return public


def sign(case: Path, key: Path) -> int:
    """Add a signature of the last event, and return that one's number.

    Raises:
        BadInputError: a file cannot be read or written, or holds no key.
        DamagedRecordError: the record is damaged.
    """
    events = events_of(case)
    last, at, by = events[-1], now(), who()
    body = signature_of(last, files.read(key), at, by)
    casefile.append(case, body.kind, body.kept(), at, last.digest, by)
    return last.n


def stamp_request(case: Path, out: Path) -> int:
    """Write a request for a time stamp of the last event, and return that one's number.

    Raises:
        BadInputError: the case cannot be read, or something stands where the request should go.
        DamagedRecordError: the record is damaged.
    """
    events = events_of(case)
    files.create(out, request_of(events[-1]))
    return events[-1].n


def stamped(case: Path, reply: Path) -> int:
    """Add an authority's reply, and return the number of the event that it stamps.

    Raises:
        BadInputError: the reply stamps no event of this record, or a file cannot be read or written.
        DamagedRecordError: the record is damaged.
    """
    events = events_of(case)
    body = stamp_of(events, files.read(reply), str(reply))
    append(case, events, body)
    return body.event
