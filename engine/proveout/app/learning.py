"""Reads closed cases for learning, and writes what was learned."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from pathlib import Path

from proveout.app.trials import case_files
from proveout.book.raw import RawBook
from proveout.book.shipped import rules_dir, schemas_dir
from proveout.learn.experience import Experience, gather
from proveout.learn.layer import Learned, Weights, learn
from proveout.model.book import Book
from proveout.model.problem import BadInputError, DamagedRecordError
from proveout.record import casefile, files, snapshot
from proveout.record.event import Event
from proveout.text.read import read_text


def case_events(directory: Path, tell: Callable[[str], None]) -> Iterator[Sequence[Event]]:
    """Return the events of every case file below a directory; one that cannot be read is told of."""
    for path in case_files([directory]):
        try:
            if casefile.is_case(path):
                yield casefile.read(path)
        except (BadInputError, DamagedRecordError) as error:
            tell(f"left out: {error.problems[0]}")


def learned_from(
    cases: Iterator[Sequence[Event]], book: Book, layers: Sequence[Path], jobs: float, readings: float
) -> tuple[Experience, Learned]:
    """Go through cases and turn what they told into a layer."""
    told = gather(cases, book)
    # Where no job counted no figure moves, and the book need not be read again.
    raw = snapshot.entries(snapshot.take((rules_dir(), *layers))) if told.jobs else RawBook()
    weights = Weights(jobs=jobs, readings=readings)
    return told, learn(told, book, raw, weights, schemas_dir().as_posix())


def old_files(layer: Path | None, learned: Learned) -> dict[str, str]:
    """Return the present texts of the files that learning would write."""
    if layer is None:
        return {}
    paths = {name: layer / name for name in learned.files}
    return {name: read_text(path) for name, path in paths.items() if path.exists()}


def write_files(directory: Path, texts: Mapping[str, str], begins: str) -> None:
    """Write files whole, each at once or not at all, over nothing but files that begin so too."""
    files.make_directory(directory)
    for name, text in texts.items():
        files.replace(directory / name, text.encode(), begins.encode())
