"""Where the user's own data lies, and the book that is opened from there."""

from __future__ import annotations

import os
import sys

TYPE_CHECKING = False  # as in typing, which is not loaded
if TYPE_CHECKING:
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
    return _path(cache_at())


def config_dir() -> Path:
    """Return the directory for what the user has settled."""
    return _path(config_at())


def data_dir() -> Path:
    """Return the directory for what must be kept, such as snapshots of books."""
    return _path(_of_the_user("XDG_DATA_HOME", ".local/share", "user_data_path"))


def cache_at() -> str:
    """Return the directory for what can be made again as a text, for what loads no more than it must."""
    return _of_the_user("XDG_CACHE_HOME", ".cache", "user_cache_path")


def config_at() -> str:
    """Return the directory for what the user has settled as a text."""
    return _of_the_user("XDG_CONFIG_HOME", ".config", "user_config_path")


def _path(name: str) -> Path:
    from pathlib import Path

    return Path(name)


def _of_the_user(variable: str, default: str, elsewhere: str) -> str:
    """Return a directory of the user's, on Linux by the XDG base directory specification.

    The library that knows where it lies on every system says the same there, and takes a tenth of the time of
    a short command to load.
    """
    if str(sys.platform) == "linux":  # a call, lest the type checker takes the rest for dead
        home = os.environ.get(variable, "").strip() or os.path.expanduser(f"~/{default}")  # noqa: PTH111
        return os.path.join(home, "proveout")  # noqa: PTH118
    import platformdirs

    return str(getattr(platformdirs, elsewhere)("proveout", appauthor=False))
