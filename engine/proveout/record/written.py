"""What this process has written so far, for messages that must not say that nothing was."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path

#: The files, in order.
WRITTEN: list[Path] = []
