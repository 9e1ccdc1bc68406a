"""Where the program begins: a shell that asks for a completion is answered before anything else is loaded."""

from __future__ import annotations

import os
import sys

from proveout.terminal.asked import ASKED


def settle() -> None:
    """Fit the process to the work, before numpy is loaded.

    Its matrices are small: one thread does, and starting more takes longer than all that they would do. Most
    of what it makes lives until it ends, so that looking for garbage often finds none.
    """
    import gc

    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    gc.set_threshold(50_000, 20, 100)


def entry() -> None:
    """Run as a program."""
    if ASKED in os.environ and _is_answered():
        sys.exit(0)
    settle()
    from proveout.cli.main import run

    sys.exit(run())


def _is_answered() -> bool:
    """Answer a shell from what was kept; return whether that was possible."""
    from proveout.terminal.at_tab import answer

    found = answer(os.environ)
    if found is None:
        return False
    sys.stdout.buffer.write(found.encode("utf-8", "surrogateescape"))
    sys.stdout.flush()
    return True
