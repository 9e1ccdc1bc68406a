"""Where the user's own data lies, and the book that is opened from there."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from proveout.model.book import Book


def open_book(layers: tuple[Path, ...], tell: Callable[[str], None] | None = None) -> Book:
    """Return the shipped book with layers over it, using the user's cache.

    Args:
        layers: directories laid over it.
        tell: takes messages, such as that compiling takes a moment.

    Raises:
        BadInputError: the rules cannot be used.
    """
    from proveout.book.load import load_book

    return load_book(layers, cache=cache_dir() / "books", tell=tell)


def cache_dir() -> Path:
    """Return the directory for what can be made again."""
    import platformdirs

    return Path(platformdirs.user_cache_path("proveout", appauthor=False))


def data_dir() -> Path:
    """Return the directory for what must be kept, such as snapshots of books."""
    import platformdirs

    return Path(platformdirs.user_data_path("proveout", appauthor=False))
