"""Mends in layers what needs no judgement, tried on a copy before a file is touched."""

from __future__ import annotations

import shutil
from contextlib import suppress
from pathlib import Path

from proveout.app.checking import Checked, checked, files_of
from proveout.book.files import lay
from proveout.model.problem import BadInputError, Problem
from proveout.record.files import create, read, remove, replace
from proveout.record.scratch import scratch
from proveout.text.read import read_text
from proveout.text.repairs import repaired

#: Most rounds: a mended key can show what stood behind it.
ROUNDS = 5


def fixed(layers: tuple[Path, ...]) -> tuple[tuple[Problem, ...], Checked]:
    """Mend what is safe in some layers; return the findings that were mended, and what is left.

    Nothing is written unless fewer findings are left than before.

    Raises:
        BadInputError: a file cannot be written.
    """
    found = checked(layers)
    done = _renamed(found, layers)
    if done:
        found = checked(layers)
    for _ in range(ROUNDS):
        texts, mended = _texts(found, layers)
        if not mended or not _better(texts, found, layers):
            break
        for path, text in texts.items():
            replace(path, text.encode(), b"")
        done += mended
        found = checked(layers)
    return tuple(done), found


def _renamed(found: Checked, layers: tuple[Path, ...]) -> list[Problem]:
    """Rename files whose names do not end as those of rule files must, where the right name is free."""
    done = []
    for problem in found.problems:
        path = Path(problem.place.file)
        if problem.check in ("file-name", "not-read") and path.suffix.lower() in (".yml", ".yaml"):
            new = path.with_suffix(".yaml")
            if path.is_file() and not path.is_symlink() and _within(path, layers) and not new.exists():
                _rename(path, new)
                done.append(problem)
    return done


def _rename(path: Path, new: Path) -> None:
    """Give a file a name that is free; where the old one stays, the new one goes."""
    create(new, read(path))
    try:
        remove(path)
    except BaseException:
        with suppress(BadInputError):
            remove(new)
        raise


def _within(path: Path, layers: tuple[Path, ...]) -> bool:
    return any(path.is_relative_to(layer) for layer in layers)


def _texts(found: Checked, layers: tuple[Path, ...]) -> tuple[dict[Path, str], list[Problem]]:
    """Return the mended texts of the layers' files, and the findings that they answer."""
    own = {name: path for name, path in files_of(layers).items() if _within(path, layers)}
    texts, done = {}, []
    for name, path in own.items():
        here = [problem for problem in found.problems if problem.place.file == name]
        if not here or path.is_symlink():
            continue
        try:
            text, mended = repaired(read_text(path), here)
        except BadInputError:
            continue
        if mended:
            texts[path] = text
            done += mended
    return texts, done


def _better(texts: dict[Path, str], found: Checked, layers: tuple[Path, ...]) -> bool:
    """Say whether copies of the layers with new texts have fewer findings."""
    with scratch() as home:
        copies = []
        for number, layer in enumerate(lay(None, layers)):
            copy = home / str(number)
            copy.mkdir()
            for path in files_of((layer.path,)).values():
                if _within(path, (layer.path,)):
                    to = copy / path.relative_to(layer.path)
                    to.parent.mkdir(parents=True, exist_ok=True)
                    shutil.copyfile(path, to)
                    if path in texts:
                        to.write_text(texts[path], "utf-8")
            copies.append(copy)
        return len(checked(tuple(copies)).problems) < len(found.problems)
