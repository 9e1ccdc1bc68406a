"""``proveout work`` at a pseudo-terminal."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import pexpect

PATIENCE = 120


class Terminal:
    """``proveout work`` at a pseudo-terminal of a given size."""

    def __init__(self, case: Path, home: Path, columns: int = 80) -> None:
        places = {"XDG_DATA_HOME": str(home / "data"), "XDG_CACHE_HOME": str(home / "cache")}
        self.child = pexpect.spawn(
            sys.executable,
            ["-c", "from proveout.cli.entry import entry; entry()", "work", str(case)],
            env={**os.environ, **places, "TERM": "dumb", "PAGER": "cat", "COLUMNS": str(columns)},
            encoding="utf-8",
            timeout=PATIENCE,
            dimensions=(200, columns),
        )

    def answer(self, wanted: str, typed: str) -> str:
        """Wait for a text, type an answer, and give what was shown before."""
        self.child.expect_exact(wanted)
        self.child.sendline(typed)
        return self.child.before or ""

    def ends(self) -> str:
        """Wait for the end and give what was shown last."""
        self.child.expect(pexpect.EOF)
        self.child.close()
        return self.child.before or ""
