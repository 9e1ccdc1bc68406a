"""Every process of the tests is fitted to the work as that of the command is, before numpy is loaded."""

import gc
import os
import signal
import zlib
from collections.abc import Iterator
from functools import lru_cache
from unittest import mock

import pytest

from proveout.cli.entry import settle

settle()

from helpers_follow import compile_changed  # noqa: E402  # after settling
from helpers_order import begun_first  # noqa: E402
from helpers_shipped import once_unchanged  # noqa: E402
from proveout.book.compiled import shelf  # noqa: E402
from proveout.book.compiled.file import open_book  # noqa: E402

compile_changed()

# What is started in the background is deaf to Ctrl-C, and so would be all that the tests start to interrupt.
if signal.getsignal(signal.SIGINT) is signal.SIG_IGN:
    signal.signal(signal.SIGINT, signal.default_int_handler)


@pytest.fixture(scope="session", autouse=True)
def packed_once() -> Iterator[None]:
    """Let the book be packed once: hundreds of tests open a case in a home of their own, where it is kept."""
    with mock.patch("zlib.compress", lru_cache(maxsize=2)(zlib.compress)):
        yield


@pytest.fixture(scope="session", autouse=True)
def opened_once() -> Iterator[None]:
    """Let a compiled book be digested and opened once: each command of each test asks for it anew."""
    with (
        mock.patch("proveout.book.compiled.shelf._digest", once_unchanged(shelf._digest)),
        mock.patch("proveout.book.load.open_book", once_unchanged(open_book)),
    ):
        yield


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Begin with what takes long, so that no process is left with it alone at the end."""
    marked = {item: item.get_closest_marker("long") for item in items}
    long = {item: float(mark.args[0]) for item, mark in marked.items() if mark}
    items[:] = begun_first(items, long, int(os.environ.get("PYTEST_XDIST_WORKER_COUNT", "1")))


def pytest_collection_finish() -> None:
    """Leave what was loaded for all tests out of every later search for garbage."""
    gc.freeze()
