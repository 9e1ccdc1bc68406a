"""Rooms import only from those above them, as the contract in pyproject.toml says."""

from __future__ import annotations

import subprocess
import sys
import tomllib
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]


def test_rooms_import_only_from_those_above(tmp_path: Path) -> None:
    """Runs import-linter as its own command does; the cache is kept out of the checkout."""
    program = "from importlinter.cli import lint_imports_command; lint_imports_command()"
    done = subprocess.run(
        [sys.executable, "-c", program, "--cache-dir", str(tmp_path)],
        cwd=ROOT,
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    assert "1 kept, 0 broken" in done.stdout


def test_every_room_is_in_the_contract() -> None:
    with (ROOT / "pyproject.toml").open("rb") as stream:
        (contract,) = tomllib.load(stream)["tool"]["importlinter"]["contracts"]
    rooms = {path.parent.name for path in (ROOT / "engine/proveout").glob("*/__init__.py")}
    named = [name.strip() for layer in contract["layers"] for name in layer.split("|")]
    assert {name.removeprefix("proveout.") for name in named} == rooms
