"""Build hook: compiles the shipped book into the wheel, so that its first use needs no compiling.

An editable install is left alone: there the book is compiled on first use, as often as its texts change.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface

_ENGINE = Path(__file__).resolve().parent


class CompileShippedBook(BuildHookInterface[Any]):
    """Puts ``data/compiled/<key>-<digest>.book`` into the wheel."""

    PLUGIN_NAME = "custom"

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        """Compile the book; hatchling calls this before it packs the wheel.

        Raises:
            BadInputError: the shipped rules are not clean.
        """
        if version == "editable":
            return
        sys.path.insert(0, str(_ENGINE))
        from proveout.book.load import compile_shipped

        path = compile_shipped(Path(tempfile.mkdtemp(prefix="proveout-book-")))
        build_data["force_include"][str(path)] = f"proveout/data/compiled/{path.name}"
