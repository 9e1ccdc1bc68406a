"""Lays out rule files on the disk."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from proveout.book.tree import files_below
from proveout.model.problem import BadInputError, Problem
from proveout.record.files import replace
from proveout.text.layout import laid_out
from proveout.text.read import read_text


def formatted(paths: Sequence[Path], *, write: bool) -> list[Path]:
    """Return the files whose layout is not the one of ``laid_out``; give them that where asked.

    Raises:
        BadInputError: with every file that cannot be read or laid out; the others are laid out all the same.
    """
    changed, problems = [], list[Problem]()
    for path in [file for given in paths for file in _files(given)]:
        try:
            text = read_text(path)
            new = laid_out(text, str(path))
            if new != text:
                changed.append(path)
                if write:
                    replace(path, new.encode(), b"")
        except BadInputError as error:
            problems += error.problems
    if problems:
        raise BadInputError(*problems)
    return changed


def _files(path: Path) -> list[Path]:
    if path.is_dir():
        return [Path(entry.path) for entry in files_below(path, (".yaml",))]
    return [path]
