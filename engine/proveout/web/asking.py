"""What is asked and answered between a browser and the pages; a body is read within bounds."""

from __future__ import annotations

import asyncio
from collections.abc import Mapping, Sequence
from http import HTTPStatus
from typing import Any, TypeAlias
from urllib.parse import parse_qs

from msgspec import Struct, field
from starlette.requests import ClientDisconnect, Request

from proveout.model.problem import BadInputError, Place, Problem

#: Bounds of what is sent: bytes, fields, seconds until it is there, and characters of a field.
MOST_BYTES, MOST_FIELDS, MOST_SECONDS, MOST_CHARACTERS = 64 * 1024, 400, 10.0, 4000
_FORM = "application/x-www-form-urlencoded"


class RefusedError(Exception):
    """A request that is not answered as it stands; carries a status and what to say."""

    def __init__(self, status: HTTPStatus, said: str) -> None:
        super().__init__(said)
        self.status, self.said = status, said


class Fields(Struct, frozen=True):
    """Named fields of a form or of an address, each with all that was given."""

    given: Mapping[str, Sequence[str]] = field(default_factory=dict)

    def one(self, name: str) -> str:
        """Return a field that is given once, without blanks around it; "" where it is not given."""
        found = self.given.get(name, ())
        return found[-1].strip() if found else ""

    def every(self, name: str) -> list[str]:
        """Return all that was given of a field, what is empty left out."""
        return [text.strip() for text in self.given.get(name, ()) if text.strip()]

    def has(self, name: str) -> bool:
        """Say whether a box was ticked."""
        return bool(self.one(name))


class Ask(Struct, frozen=True):
    """A request.

    Attributes:
        place: parts of the path by name.
        fields: of the form that was sent, else of the address.
        waits: whether a script waits for a short answer in the place of a page.
    """

    place: Mapping[str, str]
    fields: Fields
    waits: bool = False


class Page(Struct, frozen=True):
    """An answer that is a page: its template and what it is filled with."""

    template: str
    data: Mapping[str, Any] = field(default_factory=dict)
    status: int = 200


class Moved(Struct, frozen=True):
    """An answer that something was done, and where to look at it."""

    to: str


class Sheet(Struct, frozen=True):
    """An answer that is a whole page made elsewhere, with its one style sheet."""

    html: str
    style: str


class Data(Struct, frozen=True):
    """An answer for a script."""

    document: Mapping[str, Any]


Answer: TypeAlias = Page | Moved | Sheet | Data


async def fields_of(request: Request) -> Fields:
    """Return the fields of a request.

    Raises:
        RefusedError: there are too many, they are no form, or come too slowly.
    """
    if request.method != "POST":
        return _parsed(request.scope["query_string"])
    kind = request.headers.get("content-type", "").partition(";")[0].strip().lower()
    if kind != _FORM:
        raise RefusedError(HTTPStatus.UNSUPPORTED_MEDIA_TYPE, "Only a form is taken here.")
    try:
        return _parsed(await asyncio.wait_for(_body(request), MOST_SECONDS))
    except TimeoutError:
        raise RefusedError(HTTPStatus.REQUEST_TIMEOUT, "It came too slowly. Send it again.") from None
    except ClientDisconnect:
        raise RefusedError(HTTPStatus.BAD_REQUEST, "It was broken off.") from None


async def _body(request: Request) -> bytes:
    parts, size = [], 0
    async for part in request.stream():
        size += len(part)
        if size > MOST_BYTES:
            raise RefusedError(HTTPStatus.REQUEST_ENTITY_TOO_LARGE, "That is more than can be taken at once.")
        parts.append(part)
    return b"".join(parts)


def _parsed(data: bytes) -> Fields:
    try:
        given = parse_qs(
            data.decode("ascii"), keep_blank_values=True, errors="strict", max_num_fields=MOST_FIELDS
        )
    except ValueError:
        raise RefusedError(HTTPStatus.BAD_REQUEST, "What was sent cannot be read as a form.") from None
    if any(len(text) > MOST_CHARACTERS or "\0" in text for texts in given.values() for text in texts):
        raise RefusedError(HTTPStatus.BAD_REQUEST, f"A field holds more than {MOST_CHARACTERS} characters.")
    return Fields(given)


def unusable(what: str, saw: str, expected: str = "", mend: str = "") -> BadInputError:
    """Return the error of a field that cannot be used; ``what`` is what it is called on the page."""
    return BadInputError(Problem(Place(what), "field", saw, expected, mend))
