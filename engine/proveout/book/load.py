"""The book from its directories: the compiled file where nothing changed, else made and kept."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import suppress
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from proveout.book.compiled.file import open_book, write_book
from proveout.book.compiled.made_from import key_of, stamp_of
from proveout.book.compiled.shelf import Shelf
from proveout.book.files import Layer, lay
from proveout.book.shipped import rules_dir
from proveout.book.tree import SHOWN
from proveout.model.book import Book
from proveout.model.problem import BadInputError, Problem

if TYPE_CHECKING:
    from proveout.book.draft import Draft

#: Stands for the rules that come with the program.
SHIPPED = Path("<shipped>")


def load_book(
    layers: Sequence[Path] = (),
    *,
    base: Path | None = SHIPPED,
    cache: Path | None = None,
    tell: Callable[[str], None] | None = None,
) -> Book:
    """Return the checked, compiled book.

    Args:
        layers: directories laid over the base, in order.
        base: the lowest directory; the shipped rules where left out, None for none.
        cache: the user's directory for compiled books: one whose texts did not change is opened instead of
            being read, and what was read is put there. None reads and checks everything.
        tell: takes messages for the user, such as that compiling takes a moment.

    Raises:
        BadInputError: with every problem of every file.
    """
    found = _layers(layers, base)
    if cache is None:
        return _made(found)
    return _kept(found, Shelf(cache), tell or (lambda _message: None))


def compile_shipped(home: Path) -> Path:
    """Compile the shipped book into a directory and return the file; a wheel carries it.

    Raises:
        BadInputError: the rules are not clean.
        OSError: the directory cannot be written.
    """
    layers = _layers((), SHIPPED)
    path = Shelf(home).put(key_of(layers), partial(write_book, _made(layers)))
    if path is None:
        raise OSError(f"{home} cannot be written")
    return path


def check(layers: Sequence[Path] = (), *, base: Path | None = SHIPPED) -> tuple[Problem, ...]:
    """Check the book as ``load_book`` does; return every problem that stands in the way, by place."""
    from proveout.book.making import run

    return run(_layers(layers, base))[1]


def checked_from_texts(
    layers: Sequence[Path] = (), *, base: Path | None = SHIPPED
) -> tuple[Draft | None, tuple[Problem, ...]]:
    """Read and check the book anew; return its draft, or None, with every problem that there is, by place.

    Beside a draft stand warnings only.
    """
    from proveout.book.making import checked

    return checked(_layers(layers, base), slips=True)


def book_without(layers: Sequence[Path], rule: str, *, base: Path | None = SHIPPED) -> Book:
    """Return the book as it would be without one rule or row; what only that one raised stands unraised.

    Raises:
        BadInputError: the rules cannot be used.
        KeyError: there is no such rule.
    """
    from proveout.book.making import made_without

    return made_without(_layers(layers, base), rule)


def _layers(layers: Sequence[Path], base: Path | None) -> tuple[Layer, ...]:
    """Name the layers."""
    if base is SHIPPED:
        return lay(rules_dir(), layers, SHOWN)
    return lay(base, layers)


def _kept(layers: tuple[Layer, ...], own: Shelf, tell: Callable[[str], None]) -> Book:
    """Open the compiled book of some layers, or make it and keep it."""
    try:
        stamp, latest = stamp_of(layers)
        key = own.noted(stamp) or key_of(layers)
    except OSError:
        return _made(layers)  # which says what cannot be read
    book = _opened(key, own)
    if book is None:
        tell(f"Compiling the book{_over(layers)}: it is new here or was changed.")
        book = _made(layers)
        if key_of(layers) != key:
            return book  # it was changed meanwhile
        if own.put(key, partial(write_book, book)) is None:
            tell(f"The compiled book cannot be kept: {own.home} cannot be written, or is not yours alone.")
    own.note(stamp, key, latest)
    return book


def _opened(key: str, own: Shelf) -> Book | None:
    """Open the compiled book of that key from the installation or the user's cache."""
    for shelf in (Shelf(rules_dir().parent / "compiled", ours=False), own):
        path = shelf.find(key)
        if path is not None:
            with suppress(OSError, BadInputError):
                return open_book(path)
    return None


def _over(layers: tuple[Layer, ...]) -> str:
    """Name the layers laid over the lowest."""
    names = ", ".join(layer.shown for layer in layers[1:])
    return f" with {names} laid over it" if names else ""


def _made(layers: tuple[Layer, ...]) -> Book:
    """Make a book from its texts; what that takes is imported only then."""
    from proveout.book.making import made

    return made(layers)
