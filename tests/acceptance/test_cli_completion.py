"""Completion in the shells: scripts, and names from the book and the directory."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from helpers_cli import proveout
from helpers_shipped import lend_books

SHELLS = ("bash", "zsh", "fish", "powershell")


def completed(line: str, home: Path, shell: str = "bash") -> list[str]:
    """Return what a shell is told for a line whose last word is to be completed."""
    words = line.split(" ")
    asked = {"_PROVEOUT_COMPLETE": f"{shell}_complete", "COMP_WORDS": line, "COMP_CWORD": str(len(words) - 1)}
    if shell == "powershell":
        asked |= {"COMP_WORDS": "\n".join(words), "COMP_CWORD": words[-1]}
    places = {"XDG_DATA_HOME": str(home / "data"), "XDG_CACHE_HOME": str(home / "cache")}
    done = subprocess.run(
        [sys.executable, "-c", "from proveout.cli.main import entry; entry()"],
        env={**os.environ, **places, **asked},
        cwd=home,
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    assert not done.stderr, done.stderr
    return done.stdout.splitlines()


@pytest.mark.parametrize("shell", SHELLS)
def test_each_shell_gets_a_script_that_asks_the_program(shell: str, tmp_path: Path) -> None:
    answer = proveout("completion", shell, home=tmp_path)
    assert answer.code == 0 and "_PROVEOUT_COMPLETE" in answer.out and f"{shell}_complete" in answer.out
    found = shutil.which(shell)
    if found and shell != "powershell":
        script = tmp_path / "script"
        script.write_text(answer.out)
        assert subprocess.run([found, "-n", str(script)], timeout=60, check=False).returncode == 0


def test_names_of_the_book_are_completed_and_kept(tmp_path: Path) -> None:
    lend_books(tmp_path / "cache")
    assert "plain,cap-seal-look" in completed("proveout steps car.yaml cap-sea", tmp_path)
    assert list((tmp_path / "cache/proveout/names/seen").iterdir())  # the next one does not open the book
    assert "plain,P0442" in completed("proveout code P044", tmp_path)
    assert "plain,rough-idle" in completed("proveout amend car.yaml --symptom rough", tmp_path)
    assert any("hand-vacuum-pump" in line for line in completed("proveout intake x --tool vacuum", tmp_path))
    assert "plain,not-confirmed" in completed("proveout close car.yaml not", tmp_path)
    found = completed("proveout steps car.yaml cap-sea", tmp_path, "powershell")
    assert any(line.startswith("plain\tcap-seal-look\t") for line in found)


def test_case_files_are_completed_and_other_files_are_not(tmp_path: Path) -> None:
    lend_books(tmp_path / "cache")
    proveout("intake", tmp_path / "car.yaml", "--code", "P0442", home=tmp_path)
    (tmp_path / "cargo.yaml").write_text("codes: [P0442]\n")
    assert completed("proveout triage ca", tmp_path) == ["plain,cache/", "plain,car.yaml"]


def test_commands_are_completed(tmp_path: Path) -> None:
    assert completed("proveout tri", tmp_path) == ["plain,triage"]
