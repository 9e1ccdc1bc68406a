"""The files below a directory."""

from __future__ import annotations

import os

TYPE_CHECKING = False  # as in typing, which is not loaded
if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

#: What the names of files end with that are looked at; only the first is ours, the other is complained of.
ENDINGS = (".yaml", ".yml")
#: Name of the lowest layer; what its files' names begin with in complaints where it is the shipped one.
BASE, SHOWN = "book", "rules"


def files_below(home: Path | str, endings: tuple[str, ...]) -> list[os.DirEntry[str]]:
    """Return the files below a directory whose names end in one of some endings, by path.

    Hidden ones and linked directories are passed by. The entries keep what the system said of them, since
    this runs before every command.

    Raises:
        OSError: a directory cannot be read.
    """
    return sorted(_walk(str(home), endings), key=lambda entry: entry.path.split(os.sep))  # noqa: PTH206  # cheaper than Path


def _walk(home: str, endings: tuple[str, ...]) -> Iterator[os.DirEntry[str]]:
    inner = []
    with os.scandir(home) as entries:
        for entry in entries:
            if entry.name.startswith("."):
                continue
            if entry.is_dir(follow_symlinks=False):
                inner.append(entry.path)
            elif entry.name.endswith(endings) and entry.is_file():
                yield entry
    for path in inner:
        yield from _walk(path, endings)


def unread_below(home: Path) -> list[os.DirEntry[str]]:
    """Return what ``files_below`` passes by for ``.yaml`` though its name promises rules, by path.

    Linked directories, names that end in ``.YAML`` and the like, and what has such a name and is no file.

    Raises:
        OSError: a directory cannot be read.
    """
    found: list[os.DirEntry[str]] = []
    homes = [str(home)]
    while homes:
        with os.scandir(homes.pop()) as entries:
            for entry in (entry for entry in entries if not entry.name.startswith(".")):
                if entry.is_dir(follow_symlinks=False):
                    homes.append(entry.path)
                elif entry.is_dir() or _promises_rules(entry):
                    found.append(entry)
    return sorted(found, key=lambda entry: entry.path)


def _promises_rules(entry: os.DirEntry[str]) -> bool:
    """Say whether a name ends like a rule file's, but not as one must, or names no file."""
    if not entry.name.lower().endswith((".yaml", ".yml")):
        return False
    return not entry.is_file() or not entry.name.endswith((".yaml", ".yml"))
