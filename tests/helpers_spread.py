"""Tasks for other processes, in a module that those can import whatever started the tests."""

from __future__ import annotations

import os


def len_or_exit(item: tuple[str, str]) -> int:
    """Return the length of the second text, or end the process at once where the first one is ``exit``."""
    if item[0] == "exit":
        os._exit(9)
    return len(item[1])
