"""Gathers rule examples and expected cases, from the shipped directories and the given ones."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

from proveout.book import cases_dir
from proveout.model.book import Book
from proveout.model.problem import BadInputError, Place, Problem
from proveout.text import compose, read_text
from proveout.trial import ERROR, Outcome, try_case, try_examples


def case_files(directories: Sequence[Path]) -> list[Path]:
    """Give every YAML file below some directories, sorted.

    Raises:
        BadInputError: one is no directory.
    """
    missing = [
        Problem(Place(str(path)), "cases-missing", "no such directory", "a directory of case files")
        for path in directories
        if not path.is_dir()
    ]
    if missing:
        raise BadInputError(*missing)
    return sorted(path for directory in directories for path in directory.rglob("*.yaml"))


def all_outcomes(
    book: Book,
    layers: Sequence[Path],
    case_dirs: Sequence[Path],
    engine: str | None,
    wanted: Callable[[str], bool],
) -> list[Outcome]:
    """Try the examples of all rules and the expected cases whose names are wanted.

    The shipped cases are tried with the shipped book only: a layer may change their answers on purpose.
    """
    outcomes = [outcome for outcome in try_examples(book, engine) if wanted(outcome.name)]
    directories = [*case_dirs] if layers else [cases_dir(), *case_dirs]
    paths = [path for path in case_files(directories) if wanted(path.stem)]
    return outcomes + list(_tried(paths, book, engine))


def _tried(paths: Sequence[Path], book: Book, engine: str | None) -> Iterator[Outcome]:
    for path in paths:
        try:
            node = compose(read_text(path), str(path))
        except BadInputError as error:
            yield Outcome(path.stem, error.problems[0].place, ERROR, str(error))
            continue
        yield try_case(path.stem, node, book, engine)
