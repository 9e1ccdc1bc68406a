"""One case among many: what a batch works on, and the line that each gives."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from proveout.app.profile import in_force
from proveout.app.source import STANDARD_INPUT, open_case, taken_in
from proveout.app.working import BookKey, held
from proveout.model.book import Book
from proveout.model.case import Case
from proveout.model.problem import BadInputError, DamagedRecordError, Place, Problem
from proveout.plan.advice import advise
from proveout.record.documents import triage_document
from proveout.spread.order import Lost
from proveout.text.complaints import problems_document
from proveout.text.compose import compose
from proveout.text.read import decode

_SCHEMA = "proveout/batch/1"

#: In JSON a character outside the basic plane may be written as two escapes, which YAML reads as two halves.
_PAIR = re.compile(r"(?<!\\)((?:\\\\)*)(\\u[dD][89abAB][0-9a-fA-F]{2}\\u[dD][c-fC-F][0-9a-fA-F]{2})")


class Piece(Struct, frozen=True):
    """One case of a batch.

    Attributes:
        book: to triage it with.
        engine: which chainer, or None for the default.
        name: of its source: a file, or ``standard input:LINE``.
        line: the JSON text, where it is a line of standard input.
        number: of that line, from 1.
    """

    book: BookKey
    engine: str | None
    name: str
    line: bytes | None = None
    number: int = 0


def pieces(
    sources: Sequence[str], stream: Iterable[bytes], book: BookKey, engine: str | None
) -> Iterator[Piece]:
    """Return the cases that the sources of a batch name, in their order, found only as they are asked for.

    Args:
        sources: files as they are; directories, of which all YAML files are taken, sorted; and ``-``.
        stream: what ``-`` stands for, line by line; empty lines are passed over.
        book: to triage them with.
        engine: which chainer, or None for the default.
    """
    for source in sources:
        if source == "-":
            for number, line in enumerate(stream, start=1):
                if line.strip():
                    name = f"{STANDARD_INPUT}:{number}"
                    yield Piece(book, engine, name, line.rstrip(b"\r\n"), number)
        elif Path(source).is_dir():
            for file in sorted(Path(source).rglob("*.yaml")):
                yield Piece(book, engine, str(file))
        else:
            yield Piece(book, engine, source)


def try_piece(piece: Piece) -> dict[str, Any]:
    """Return the document of one case, in whichever process: its triage, or what is wrong with it."""
    book = held(piece.book)
    try:
        case, ended = _case(piece, book)
        document = {**triage_document(advise(case, book, piece.engine), book), "closed": ended}
        return {"schema": _SCHEMA, "source": piece.name, "triage": document}
    except (BadInputError, DamagedRecordError) as error:
        return _bad(piece.name, error.problems)
    except Exception as error:  # one case must not stop the rest, be it by a fault of the program
        return _bad(piece.name, [_fault(piece, f"{type(error).__name__}: {error}")])


def told(answer: dict[str, Any] | Lost) -> dict[str, Any]:
    """Return the document of a case, be it that the process ended with it."""
    if isinstance(answer, Lost):
        return _bad(answer.item.name, [_fault(answer.item, answer.why)])
    return answer


def _bad(source: str, problems: Sequence[Problem]) -> dict[str, Any]:
    """Return what is wrong with a case, as a document."""
    return {"schema": _SCHEMA, "source": source, "problems": problems_document(problems)["problems"]}


def _fault(piece: Piece, what: str) -> Problem:
    return Problem(Place(piece.name), "internal-fault", f"internal fault: {what}", "", "please report it")


def _case(piece: Piece, book: Book) -> tuple[Case, Mapping[str, Any] | None]:
    """Return a case with how it was closed, None where it is open."""
    if piece.line is None:
        opened = open_case(piece.name, book, profile=in_force(piece.book.layers))
        return opened.case, opened.ended
    try:
        text = _yaml_of(decode(piece.line, STANDARD_INPUT), piece.number)
        return taken_in(compose(text, STANDARD_INPUT), book, in_force(piece.book.layers))[1], None
    except BadInputError as error:
        raise BadInputError(*(_on_line(problem, piece.number) for problem in error.problems)) from None


def _on_line(problem: Problem, number: int) -> Problem:
    """Return a problem of a text of one line as one of that line of standard input."""
    place = Place(problem.place.file, number, problem.place.column or 1)
    return replace(problem, place=place)


def _yaml_of(line: str, number: int) -> str:
    """Return a JSON text as YAML that means the same, its columns kept but after a character in two escapes.

    JSON is nearly a part of YAML: besides those escapes, only tabs between its words are not.

    Raises:
        BadInputError: it is not JSON.
    """
    try:
        json.loads(line)
    except (ValueError, RecursionError) as error:
        column = getattr(error, "colno", 1)
        saw = f"not JSON: {getattr(error, 'msg', error)}"
        mend = "give each intake document as JSON on a line of its own"
        place = Place(STANDARD_INPUT, number, column)
        raise BadInputError(Problem(place, "json-syntax", saw, "", mend)) from None
    return _PAIR.sub(_joined, line).replace("\t", " ")


def _joined(match: re.Match[str]) -> str:
    return match[1] + str(json.loads(f'"{match[2]}"'))
