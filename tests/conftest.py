"""Every process of the tests is fitted to the work as that of the command is, before numpy is loaded."""

import gc

from proveout.cli.main import settle

settle()


def pytest_collection_finish() -> None:
    """Leave what was loaded for all tests out of every later search for garbage."""
    gc.freeze()
