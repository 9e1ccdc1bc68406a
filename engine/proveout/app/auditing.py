"""Audits a case, wherever it lies: a case file of one's own, or one that was handed over with its books."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path

from msgspec import Struct

from proveout import __version__
from proveout.app.places import data_dir
from proveout.audit.against import Against, against
from proveout.audit.argument import Argument, arguments
from proveout.audit.chapters import Chapter, chapters
from proveout.audit.proof import Trusted
from proveout.audit.replay import Audit, Shelf, audited
from proveout.book.shipped import rules_dir
from proveout.model.book import Book
from proveout.model.problem import BadInputError, DamagedRecordError
from proveout.record import casefile, files, handover, snapshot
from proveout.record import verify as chain
from proveout.record.bodies import Advice, bodies
from proveout.record.snapshot import Snapshot
from proveout.record.verify import Verification


class CaseAudit(Struct, frozen=True):
    """Everything that an audit of a case gives.

    Attributes:
        found: the audit.
        arguments: for each purchase, why.
        chapters: the story, repair by repair; none where the record is damaged.
        against: what another book would have said, where one was asked for.
        handed: what an archive says of itself: the case's name and the program's version; else None.
    """

    found: Audit
    arguments: tuple[Argument, ...]
    chapters: tuple[Chapter, ...]
    against: tuple[Against, ...]
    handed: tuple[str, str] | None = None


def audit_case(
    path: Path,
    book: Book,
    *,
    head: str | None = None,
    other: Book | None = None,
    trusted: Trusted | None = None,
) -> CaseAudit:
    """Audit a case file, or an archive of one that was handed over.

    Args:
        path: the file.
        book: the book at hand.
        head: a digest that it is known to contain, or how that begins.
        other: a book to be compared with.
        trusted: whose signatures and time stamps are believed.

    Raises:
        BadInputError: it cannot be read or is neither.
    """
    with opened(path, book, head) as (checked, shelf, handed):
        found = audited(checked, shelf, trusted or Trusted(), datetime.now(UTC))
        if not checked.sound:
            return CaseAudit(found, (), (), (), handed)
        argued = arguments(checked.events, shelf)
        return CaseAudit(
            found,
            argued,
            chapters(checked.events, shelf, argued),
            against(checked.events, shelf, other) if other else (),
            handed,
        )


@contextmanager
def opened(
    path: Path, book: Book, head: str | None = None
) -> Iterator[tuple[Verification, Shelf, tuple[str, str] | None]]:
    """Open a case file or an archive: its chain checked, its books, and what an archive says of itself.

    Raises:
        BadInputError: it cannot be read or is neither.
    """
    if not handover.is_handover(path):
        yield casefile.verify(path, head), Shelf(data_dir() / "books", book), None
        return
    with handover.unpacked(path) as handed:
        name = f"{files.shown(path)}:{handed.name or 'case.yaml'}"
        checked = chain.check(handed.case, name, head)
        yield checked, Shelf(handed.store, book), (handed.name, handed.version)


def export(path: Path, out: Path, layers: tuple[Path, ...]) -> int:
    """Write a case with every book that it used into one file, and return the number of books.

    Args:
        path: the case file.
        out: where nothing stands yet.
        layers: the directories laid over the shipped rules; they serve where a book is not in the store.

    Raises:
        BadInputError: a file cannot be read or written, or a book is not at hand.
        DamagedRecordError: the record is damaged.
    """
    data = files.read(path)
    checked = chain.check(data, files.shown(path))
    if not checked.sound:
        raise DamagedRecordError(*checked.problems)
    wanted = dict.fromkeys(body.snapshot for _, body in bodies(checked.events, Advice) if body.snapshot)
    books = [_book(name, layers) for name in wanted]
    files.make_directory(out.parent)
    files.create(out, handover.packed(data, path.name, __version__, books))
    return len(books)


def _book(name: str, layers: tuple[Path, ...]) -> Snapshot:
    """Return a kept book, or today's where that is the very same."""
    try:
        return snapshot.load(data_dir() / "books", name)
    except (BadInputError, DamagedRecordError):
        today = snapshot.take((rules_dir(), *layers))
        if today.digest == name:
            return today
        raise
