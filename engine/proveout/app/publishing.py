"""Puts files into a directory, and takes out what was put there before and is no longer among them.

A list beside the files says what was written, each file with its digest. Only what the list names and what is
still as it was written is ever removed: whatever else lies in the directory is somebody else's.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterable
from pathlib import Path

from proveout.model.problem import BadInputError
from proveout.record.files import make_directory, read, remove, replace

#: Name of the list; below its head the lines are as `sha256sum` writes and checks them.
LIST = "written.sha256"
_HEAD = b"# What was written here; when it is written again, what is gone since is removed.\n"
#: A line of the list; its name leads neither out of the directory nor into a hidden one.
_LINE = re.compile(r"([0-9a-f]{64})  ((?:[\w%-][\w%.-]*/)*[\w%-][\w%.-]*)", re.ASCII)


def publish(directory: Path, files: Iterable[tuple[str, bytes, bytes]]) -> tuple[int, int]:
    """Write files into a directory and remove those of the last time that are no longer among them.

    What was written the last time and is still so stays untouched.

    Args:
        directory: made where it is missing.
        files: of each its name within the directory, its content, and how an older file begins that it may
            take the place of.

    Returns:
        How many files there are now, and how many were removed.

    Raises:
        BadInputError: something else stands in the place of a file, or it could not be written. The list then
            names what was written before and what was meant to be.
    """
    wanted = list(files)
    make_directory(directory)
    before = _listed(directory / LIST)
    now = {name: hashlib.sha256(content).hexdigest() for name, content, _ in wanted}
    _write_list(directory, {(name, digest) for both in (before, now) for name, digest in both.items()})
    for name, content, begins in wanted:
        if before.get(name) == now[name] and _is_as_written(directory, name, now[name]):
            continue  # thousands of files, each brought safely to the disk, of which most stay as they are
        make_directory((directory / name).parent)
        replace(directory / name, content, begins)
    gone = [name for name in before if name not in now and _is_as_written(directory, name, before[name])]
    for name in gone:
        remove(directory / name)
    _write_list(directory, set(now.items()))
    return len(wanted), len(gone)


def _listed(path: Path) -> dict[str, str]:
    """Return the digests in a list by name; what is no list of ours names nothing."""
    if not path.is_file():
        return {}
    lines = read(path).decode("utf-8", "replace").splitlines()
    return {found[2]: found[1] for line in lines if (found := _LINE.fullmatch(line))}


def _write_list(directory: Path, names: Iterable[tuple[str, str]]) -> None:
    lines = "".join(f"{digest}  {name}\n" for name, digest in sorted(names))
    replace(directory / LIST, _HEAD + lines.encode(), _HEAD)


def _is_as_written(directory: Path, name: str, digest: str) -> bool:
    """Say whether a file within the directory, reached over no link, has the content that was written."""
    path = directory / name
    if path.resolve() != directory.resolve() / name:
        return False
    try:
        return hashlib.sha256(read(path)).hexdigest() == digest
    except BadInputError:
        return False
