"""The compiled part of planning in a checkout, made anew where its text has changed since the install."""

from __future__ import annotations

import importlib.util
import os
from hashlib import sha256
from pathlib import Path

HOOK = Path(__file__).resolve().parents[1] / "engine" / "build_hook.py"
PLAN = HOOK.with_name("proveout") / "plan"


def compile_changed() -> None:
    """Compile ``follow.c`` of an editable install anew where the library beside it is of another text.

    Without it plans are followed several times slower. One process of the tests does it, before it loads any.
    """
    library = PLAN / "_follow.so"
    if "PYTEST_XDIST_WORKER" in os.environ or not library.exists():
        return
    if sha256((PLAN / "follow.c").read_bytes()).hexdigest().encode() in library.read_bytes():
        return
    spec = importlib.util.spec_from_file_location("build_hook", HOOK)
    if spec and spec.loader:
        hook = importlib.util.module_from_spec(spec)
        spec.loader.exec_module(hook)
        hook.compile_plans(library)
