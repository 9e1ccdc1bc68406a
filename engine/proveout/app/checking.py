"""What is wrong with the rules of some directories, and the lines where it stands."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

from msgspec import Struct

from proveout.book.files import lay
from proveout.book.load import checked_from_texts
from proveout.book.shipped import rules_dir
from proveout.book.tree import files_below
from proveout.intake.stray import stray_phrases
from proveout.model.problem import BadInputError, Problem
from proveout.text.read import read_text

#: What the names of the shipped book's files begin with.
SHIPPED = "rules"


class Checked(Struct, frozen=True):
    """The findings of a check.

    Attributes:
        problems: by place.
        files: names of all files that were read, as places have them.
        lines: of each file with a finding, its lines.
    """

    problems: tuple[Problem, ...]
    files: tuple[str, ...]
    lines: Mapping[str, Sequence[str]]


def checked(layers: tuple[Path, ...]) -> Checked:
    """Check the shipped book with directories laid over it."""
    draft, problems = checked_from_texts(layers)
    if draft is not None:
        problems = tuple(sorted((*problems, *stray_phrases(draft))))
    files = files_of(layers)
    named = {problem.place.file for problem in problems if problem.place.line}
    lines = {name: _lines(files[name]) for name in sorted(named & files.keys())}
    return Checked(problems, tuple(files), lines)


def files_of(layers: tuple[Path, ...]) -> dict[str, Path]:
    """Return the rule files of the shipped book and some layers: name as places have it, to path."""
    found: dict[str, Path] = {}
    for layer in lay(rules_dir(), layers, SHIPPED):
        if layer.path.is_dir():
            for entry in files_below(layer.path, (".yaml",)):
                inner = Path(entry.path).relative_to(layer.path).as_posix()
                found[f"{layer.shown}/{inner}"] = Path(entry.path)
    return found


def _lines(path: Path) -> list[str]:
    """Return a file's lines, or none where it cannot be read."""
    try:
        return read_text(path).splitlines()
    except BadInputError:
        return []
