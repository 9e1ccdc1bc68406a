"""Build hook: puts into the wheel what can be made beforehand.

Man pages, of the text of the help. The shipped book, so that its first use needs no compiling; and
``plan/follow.c``, where a compiler is found. Without one the program does the same with numpy, slower. An
editable install compiles the C file beside its source and leaves the book alone: that is compiled on first
use, as often as its texts change.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
from hashlib import sha256
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface

_ENGINE = Path(__file__).resolve().parent
_PLAN = _ENGINE / "proveout" / "plan"
#: Products are not fused with sums, so that every machine gives the same figures.
_FLAGS = ("-O3", "-fno-trapping-math", "-fno-math-errno", "-ffp-contract=off", "-fPIC", "-shared")


class CompileBeforehand(BuildHookInterface[Any]):
    """Puts ``data/compiled/<key>-<digest>.book``, ``plan/_follow.so`` and ``share/man`` into the wheel."""

    PLUGIN_NAME = "custom"

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        """Compile; hatchling calls this before it packs the wheel.

        Raises:
            BadInputError: the shipped rules are not clean.
        """
        if version == "editable":
            compile_plans(_PLAN / "_follow.so")
            return
        room = Path(tempfile.mkdtemp(prefix="proveout-build-"))
        library = room / "_follow.so"
        if compile_plans(library):
            build_data["force_include"][str(library)] = "proveout/plan/_follow.so"
            build_data["pure_python"], build_data["infer_tag"] = False, True
        sys.path.insert(0, str(_ENGINE))
        from proveout.book.load import compile_shipped

        book = compile_shipped(room)
        build_data["force_include"][str(book)] = f"proveout/data/compiled/{book.name}"
        build_data["shared_data"].update(man_pages(room))


def man_pages(room: Path) -> dict[str, str]:
    """Write the man pages into a directory; return where each of them goes below the prefix."""
    from proveout import __version__
    from proveout.cli.main import main
    from proveout.terminal.manual import pages

    found = {}
    for name, text in pages(main, __version__):
        file = room / f"{name}.1"
        file.write_text(text, encoding="utf-8")
        found[str(file)] = f"share/man/man1/{file.name}"
    return found


def compile_plans(library: Path) -> bool:
    """Compile ``follow.c``; return whether there is a compiler and it could."""
    compiler = shutil.which(os.environ.get("CC", "cc"))
    if compiler is None:
        return False
    source = _PLAN / "follow.c"
    digest = sha256(source.read_bytes()).hexdigest()
    fresh = library.with_suffix(".new")
    done = subprocess.run(
        (compiler, *_FLAGS, f'-DSOURCE="{digest}"', "-o", str(fresh), str(source)),
        capture_output=True,
        check=False,
    )
    if done.returncode == 0:
        fresh.replace(library)
    return done.returncode == 0
