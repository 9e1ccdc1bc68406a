"""Where the program begins: what can be answered from what was kept is, before anything else is loaded."""

from __future__ import annotations

import os
import sys

from proveout.terminal.asked import ASKED

TYPE_CHECKING = False  # as in typing, which is not loaded
if TYPE_CHECKING:
    from typing import NoReturn


def settle() -> None:
    """Fit the process to the work, before numpy is loaded.

    Its matrices are small: one thread does, and starting more takes longer than all that they would do. Most
    of what it makes lives until it ends, so that looking for garbage often finds none.
    """
    import gc

    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    gc.set_threshold(200_000, 20, 100)


def entry() -> None:
    """Run as a program."""
    if _is_answered():
        leave(0)
    settle()
    from proveout.cli.main import run

    leave(run())


def leave(code: int) -> NoReturn:
    """End the process with an exit code, and let the system take back its memory as a whole.

    Python would take apart piece by piece all that was made and loaded: a sixth of the time of most commands.
    What is registered to be done at the end is done; a thread that is still at work is waited for as usual.
    """
    import atexit

    threading = sys.modules.get("threading")
    if threading is not None and threading.active_count() > 1:
        sys.exit(code)
    atexit._run_exitfuncs()
    for output in (sys.stdout, sys.stderr):
        try:
            output.flush()
        except (AttributeError, OSError, ValueError):  # none there, or it takes nothing more
            continue
    os._exit(code)


def _is_answered() -> bool:
    """Answer a shell, or whoever asks for codes again, from what was kept; return whether that could be."""
    found = _of_shell() if ASKED in os.environ else _of_codes() if sys.argv[1:2] == ["code"] else None
    if found is None:
        return False
    try:
        sys.stdout.buffer.write(found)
        sys.stdout.flush()
    except OSError:
        return ASKED in os.environ  # the command says what is wrong
    return True


def _of_shell() -> bytes | None:
    from proveout.terminal.at_tab import answer

    found = answer(os.environ)
    return None if found is None else found.encode("utf-8", "surrogateescape")


def _of_codes() -> bytes | None:
    from proveout.terminal.code_again import answer

    return answer(sys.argv[2:])
