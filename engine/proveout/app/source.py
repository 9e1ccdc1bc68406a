"""A case from whatever was named on the command line: a case file, an intake document, or ``-``."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any, BinaryIO

from msgspec import Struct
from msgspec.structs import replace

from proveout.app.profile import applied
from proveout.book.profile import Profile
from proveout.intake.document import case_of
from proveout.model.book import Book
from proveout.model.case import Case
from proveout.model.problem import BadInputError, Place, Problem
from proveout.record import casefile, state
from proveout.record.closing import confirmation, ending, last_mended
from proveout.text.compose import compose
from proveout.text.node import Node, find, plain
from proveout.text.read import decode, read_text
from proveout.text.schema import validate

STANDARD_INPUT = "standard input"


class Source(Struct, frozen=True):
    """A case with where it came from.

    Attributes:
        path: the file, or None for standard input.
        document: the merged intake document as plain data.
        case: the same, checked against the book.
        recorded: whether it is a case file, to which events can be appended.
        ended: how it was closed, the body of its close event; None while it is open.
        held: whether its last repair is confirmed.
    """

    path: Path | None
    document: Mapping[str, Any]
    case: Case
    recorded: bool
    ended: Mapping[str, Any] | None = None
    held: bool = False


def open_case(
    name: str, book: Book, stream: BinaryIO | None = None, profile: Profile | None = None
) -> Source:
    """Read a case.

    Args:
        name: path of a case file or of an intake document, or ``-`` for an intake document on standard input.
        book: gives the ids that may be used.
        stream: what ``-`` stands for.
        profile: what holds for the shop where an intake document says nothing.

    Raises:
        BadInputError: it cannot be read or used.
        DamagedRecordError: it is a case file whose digests do not hold.
    """
    path = None if name == "-" and stream else Path(name)
    if path is not None and casefile.is_case(path):
        events = casefile.read(path)
        document = state.merged(events)
        case = case_of(document, book, lambda _path: Place(name))
        held = last_mended(events) is not None and confirmation(events, book).confirmed
        return Source(path, document, case, True, ending(events), held)
    if path is None and stream:
        text, name = decode(stream.read(), STANDARD_INPUT), STANDARD_INPUT
    else:
        text = read_text(Path(name))
    return Source(path, *taken_in(compose(text, name), book, profile), False)


def taken_in(node: Node, book: Book, profile: Profile | None = None) -> tuple[Mapping[str, Any], Case]:
    """Return the intake document of a composed text, as plain data and as a case.

    Raises:
        BadInputError: it is no intake document, or names what the book does not have.
    """
    problems = validate(node, "intake")
    if problems:
        raise BadInputError(*problems)
    document: Mapping[str, Any] = plain(node)
    case = case_of(document, book, lambda path: find(node, path).place)
    if profile is None:
        return document, case
    document = applied(document, profile, book)
    return document, replace(case, costs=(whole := case_of(document, book)).costs, tools=whole.tools)


def read_intake(name: str, book: Book, stream: BinaryIO | None = None) -> tuple[Mapping[str, Any], Case]:
    """Read an intake document only, from a file or ``-``.

    Raises:
        BadInputError: it cannot be read or used.
    """
    source = open_case(name, book, stream)
    if source.recorded:
        where = Place(name)
        raise BadInputError(Problem(where, "not-an-intake", "a case file", "an intake document"))
    return source.document, source.case
