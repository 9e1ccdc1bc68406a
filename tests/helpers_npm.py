"""What the tests take from the npm registry, installed once for all processes under ``tests/editor``."""

from __future__ import annotations

import os
import shutil
import subprocess
from functools import cache
from pathlib import Path

import pytest
from filelock import FileLock

EDITOR = Path(__file__).parent / "editor"
MODULES = EDITOR / "node_modules"


def npm_package(name: str) -> Path:
    """Return the directory of a package; without npm the test is skipped, but not where CI runs it."""
    why = _installed()
    if why and os.environ.get("PROVEOUT_FRESH"):
        pytest.fail(f"CI needs the packages of tests/editor: {why}")
    if why:
        pytest.skip(f"the packages of tests/editor are not to be had: {why}")
    return MODULES / name


@cache
def _installed() -> str:
    """Install what the lock file names, unless it is there; return "" or why that failed."""
    npm = shutil.which("npm")
    if npm is None or shutil.which("node") is None:
        return "npm or node is not installed"
    with FileLock(EDITOR / ".lock"):
        mark = MODULES / ".package-lock.json"
        if mark.is_file() and mark.stat().st_mtime >= (EDITOR / "package-lock.json").stat().st_mtime:
            return ""
        command = [npm, "ci", "--no-audit", "--no-fund", "--ignore-scripts"]
        done = subprocess.run(command, cwd=EDITOR, capture_output=True, text=True, timeout=300, check=False)
    return "" if done.returncode == 0 else (done.stderr.strip() or done.stdout.strip())[-300:]
