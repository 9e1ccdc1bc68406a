"""The files of the layers: which there are, and their bytes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

from msgspec import Struct

from proveout.book.tree import BASE, ENDINGS, files_below, unread_below
from proveout.model.problem import WARNING, BadInputError, Place, Problem
from proveout.text.read import read_bytes

#: The kinds of entry, as the sections of a file are called.
KINDS = (
    "causes",
    "inspections",
    "symptoms",
    "rules",
    "findings",
    "groups",
    "components",
    "circumstances",
    "recent-work",
    "tools",
    "access",
    "cautions",
    "routines",
    "safety-limits",
    "codes",
    "warranties",
    "programmes",
    "glossary",
    "own-figures",
    "driving-on",
    "places",
)

#: What a layer says of the shop; no rule file (``book/profile.py``).
SHOP = "shop.yaml"
#: Most files in one layer.
MAX_FILES = 5000
#: Most bytes in one layer.
MAX_LAYER_BYTES = 64 * 1024 * 1024


class Layer(Struct, frozen=True):
    """A directory of rule files.

    Attributes:
        name: how the layer is called in reports.
        path: the directory.
        shown: what its files' names begin with in complaints.
    """

    name: str
    path: Path
    shown: str


class Source(Struct, frozen=True):
    """One rule file: its layer's name, its name as shown, and its bytes."""

    layer: str
    name: str
    data: bytes


def lay(base: Path | None, layers: Sequence[Path], shown: str = "") -> tuple[Layer, ...]:
    """Name the layers, lowest first: the base is ``book``, the others go by their directory's name.

    Args:
        base: the lowest directory, or None where there is none.
        layers: the directories laid over it, in order.
        shown: what names of files in the base begin with; its path where left out.
    """
    found = [Layer(BASE, base, shown or str(base))] if base is not None else []
    for path in layers:
        names = {layer.name for layer in found}
        name = path.name or str(path)
        number = 2
        while name in names:
            name = f"{path.name}-{number}"
            number += 1
        found.append(Layer(name, path, str(path)))
    return tuple(found)


def gather(layer: Layer, problems: list[Problem]) -> list[Source]:
    """Read the rule files of a layer in order of their names; complaints go to ``problems``."""
    if not layer.path.is_dir():
        saw = "a file" if layer.path.exists() else "no such directory"
        mend = "name the directory of the rule files"
        problems.append(Problem(Place(layer.shown), "layer-missing", saw, "a directory", mend))
        return []
    found: list[Source] = []
    size = 0
    try:
        paths = [Path(entry.path) for entry in files_below(layer.path, ENDINGS)]
        paths = [path for path in paths if path != layer.path / SHOP]
    except OSError as error:
        saw = f"a directory that cannot be read: {error.strerror}"
        problems.append(Problem(Place(str(error.filename)), "layer-unreadable", saw, mend="allow reading it"))
        return []
    for path in paths:
        if len(found) >= MAX_FILES or size > MAX_LAYER_BYTES:
            saw = f"more than {MAX_FILES} rule files or {MAX_LAYER_BYTES // 1024 // 1024} MiB"
            problems.append(Problem(Place(layer.shown), "layer-size", saw, "", "name a smaller directory"))
            break
        source = _source(layer, path, problems)
        found += [source] if source else []
        size += len(source.data) if source else 0
    return found


def passed_by(layer: Layer) -> Iterator[Problem]:
    """Return what is wrong with `shop.yaml`, and a warning for all that looks like rules and is not read."""
    from proveout.book.profile import read_profile  # which reads YAML: most commands need none

    try:
        read_profile(layer.path / SHOP)
    except BadInputError as error:
        yield from error.problems
    for entry in unread_below(layer.path):
        path = Path(entry.path)
        name = f"{layer.shown}/{path.relative_to(layer.path).as_posix()}"
        place = Place(name.encode("utf-8", "backslashreplace").decode("utf-8"))
        if entry.is_symlink() and entry.is_dir():
            saw, mend = "a linked directory, which is not read", "lay it over the book with --rules, too"
        elif entry.is_file():
            saw, mend = "a name that does not end in .yaml, which is not read", "rename it"
        else:
            saw, mend = "something that is no file, which is not read", "remove it"
        yield Problem(place, "not-read", saw, "rule files and directories", mend, WARNING)


def _source(layer: Layer, path: Path, problems: list[Problem]) -> Source | None:
    """Read one file, or say why it is none of ours."""
    name = f"{layer.shown}/{path.relative_to(layer.path).as_posix()}"
    name = name.encode("utf-8", "backslashreplace").decode("utf-8")
    if path.suffix == ".yml":
        problems.append(Problem(Place(name), "file-name", "a name ending in .yml", ".yaml", "rename it"))
        return None
    try:
        return Source(layer.name, name, read_bytes(path, name))
    except BadInputError as error:
        problems.extend(error.problems)
        return None
