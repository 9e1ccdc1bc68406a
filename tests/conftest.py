"""Every process of the tests is fitted to the work as that of the command is, before numpy is loaded."""

import gc

import pytest

from proveout.cli.entry import settle

settle()


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Begin with what takes minutes, so that no process is left with it alone at the end."""
    items.sort(key=lambda item: item.get_closest_marker("long") is None)


def pytest_collection_finish() -> None:
    """Leave what was loaded for all tests out of every later search for garbage."""
    gc.freeze()
