"""The README's first command on a machine without a C compiler, carried out to the letter in a new directory.

It downloads and installs what the program needs, so it runs where that is wanted: in CI, which sets
PROVEOUT_FRESH.
"""

from __future__ import annotations

import json
import os
import re
import shlex
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]

pytestmark = [
    pytest.mark.skipif(
        not os.environ.get("PROVEOUT_FRESH"), reason="installs packages; PROVEOUT_FRESH=1 runs it"
    ),
    pytest.mark.skipif(sys.platform == "win32", reason="the README's command is for a POSIX shell"),
]


def first_command() -> str:
    """Return the fenced command below its marker in the README."""
    match = re.search(
        r"<!-- demo command -->\n```sh\n(.+?)\n```", (ROOT / "README.md").read_text("utf-8"), re.DOTALL
    )
    assert match
    return match[1]


def without_compiler(home: Path) -> dict[str, str]:
    """Return an environment in which only this Python can be found and no wheel built before serves."""
    programs = home / "programs"
    programs.mkdir()
    python = programs / "python3"
    python.write_text(
        f'#!/bin/sh\nexec "{Path(sys.base_prefix) / "bin" / "python3"}" "$@"\n', encoding="utf-8"
    )
    python.chmod(0o755)
    kept = {key: value for key, value in os.environ.items() if key not in ("CC", "CXX", "PYTHONPATH")}
    return {
        **kept,
        "PATH": str(programs),
        "PIP_CACHE_DIR": str(home / "pip"),  # holds no wheel; the second try has what the first fetched
        "PIP_NO_BINARY": "durable-rules",
        "XDG_CACHE_HOME": str(home / "cache"),
        "XDG_DATA_HOME": str(home / "data"),
    }


@pytest.mark.long(60)
def test_the_first_command_ends_in_a_working_program(tmp_path: Path) -> None:
    copy = tmp_path / "checkout"
    shutil.copytree(
        ROOT, copy, ignore=shutil.ignore_patterns(".git", ".venv", ".*cache*", "__pycache__", ".xdg", "*.so")
    )
    environment = without_compiler(tmp_path)
    assert not any(shutil.which(name, path=environment["PATH"]) for name in ("cc", "gcc", "clang"))

    def run(command: str) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            ["/bin/sh", "-c", command], cwd=copy, env=environment, capture_output=True, text=True, check=False
        )

    done = run(first_command())
    assert done.returncode == 0, done.stdout[-3000:] + done.stderr[-3000:]
    version = run(".venv/bin/proveout --version").stdout
    assert f"chained by reference, plans by numpy, Python {sys.version.split()[0]}" in version, version
    assert run(".venv/bin/python -c 'import durable'").returncode != 0
    (tmp_path / "case.yaml").write_text("codes: [P0442]\n", encoding="utf-8")
    triage = run(f".venv/bin/proveout triage {shlex.quote(str(tmp_path))}/case.yaml --json")
    assert json.loads(triage.stdout)["book"]["engine"] == "reference", triage.stderr
