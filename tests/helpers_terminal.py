"""Talks with the command line through a pseudo-terminal, as a person at it would."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterable
from pathlib import Path

import pexpect

#: Seconds that a step may take on a busy machine, and after which somebody who breaks off types it again: it
#: is lost between the moment in which a question is shown and that in which its answer is waited for.
PATIENCE, AGAIN = 120, 5


def talk(
    home: Path,
    cache: Path,
    arguments: Iterable[object],
    steps: Iterable[tuple[str, str]],
    *,
    before: str = "pass",
) -> tuple[int, str]:
    """Run ``proveout ARGUMENTS``, wait for each text in turn and type the answer to it.

    ``cache`` holds the compiled book and may be shared. An answer of ``^C`` breaks off. ``before`` is a
    statement that the program begins with. Gives the exit code and all that was shown.
    """
    program = f"{before}; from proveout.cli.entry import entry; entry()"
    places = {"XDG_DATA_HOME": str(home / "data"), "XDG_CACHE_HOME": str(cache), "TERM": "dumb"}
    child = pexpect.spawn(
        sys.executable,
        ["-c", program, *map(str, arguments)],
        env={**os.environ, **places},
        encoding="utf-8",
        timeout=PATIENCE,
        dimensions=(60, 120),
    )
    shown: list[str] = []
    try:
        for wanted, answer in steps:
            child.expect_exact(wanted)
            shown += [child.before or "", str(child.after)]
            if answer == "^C":
                shown.append(_broken_off(child))
            else:
                child.sendline(answer)
        child.expect(pexpect.EOF)
        shown.append(child.before or "")
    finally:
        child.close(force=True)
    return int(child.exitstatus if child.exitstatus is not None else -1), "".join(shown)


def _broken_off(child: pexpect.spawn[str]) -> str:
    """Type ``^C`` until the program ends, and return what it showed."""
    for _ in range(PATIENCE // AGAIN):
        child.sendintr()
        if child.expect([pexpect.EOF, pexpect.TIMEOUT], timeout=AGAIN) == 0:
            break
    return child.before or ""
