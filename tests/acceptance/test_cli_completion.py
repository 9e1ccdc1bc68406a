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

PROGRAM = "from proveout.cli.entry import entry; entry()"
SHELLS = ("bash", "zsh", "fish", "powershell")


def completed(line: str, home: Path, shell: str = "bash", program: str = PROGRAM) -> list[str]:
    """Return what a shell is told for a line whose last word is to be completed."""
    words = line.split(" ")
    asked = {"_PROVEOUT_COMPLETE": f"{shell}_complete", "COMP_WORDS": line, "COMP_CWORD": str(len(words) - 1)}
    if shell == "powershell":
        asked |= {"COMP_WORDS": "\n".join(words), "COMP_CWORD": words[-1]}
    places = {f"XDG_{kind.upper()}_HOME": str(home / kind) for kind in ("data", "cache", "config")}
    done = subprocess.run(
        [sys.executable, "-c", program],
        env={**os.environ, **places, **asked},
        cwd=home,
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    assert not done.stderr, done.stderr
    return [told for told in done.stdout.splitlines() if told]


@pytest.mark.parametrize("shell", SHELLS)
def test_each_shell_gets_a_script_that_asks_the_program(shell: str, tmp_path: Path) -> None:
    answer = proveout("completion", shell, home=tmp_path)
    assert answer.code == 0 and "_PROVEOUT_COMPLETE" in answer.out and f"{shell}_complete" in answer.out
    found = shutil.which(shell)
    if found and shell != "powershell":
        script = tmp_path / "script"
        script.write_text(answer.out)
        assert subprocess.run([found, "-n", str(script)], timeout=60, check=False).returncode == 0


@pytest.fixture
def installed(tmp_path: Path) -> dict[str, str]:
    """Return the environment of a user who has the program on the path."""
    lend_books(tmp_path / "cache")
    program = tmp_path / "bin/proveout"
    program.parent.mkdir()
    program.write_text(f'#!/bin/sh\nexec {sys.executable} -c "{PROGRAM}" "$@"\n')
    program.chmod(0o755)
    places = {f"XDG_{kind.upper()}_HOME": str(tmp_path / kind) for kind in ("data", "cache", "config")}
    return {**os.environ, **places, "PATH": f"{program.parent}:{os.environ['PATH']}", "TERM": "dumb"}


@pytest.mark.parametrize(
    ("shell", "asks"),
    [
        (["bash", "--norc", "-c"],
         "COMP_WORDS=(proveout steps car.yaml cap-sea); COMP_CWORD=3; _proveout_completion proveout; "
         'echo "${COMPREPLY[@]}"'),
        (["fish", "--no-config", "-c"], 'complete -C "proveout steps car.yaml cap-sea"'),
    ],
)  # fmt: skip
def test_the_shell_itself_is_answered(
    shell: list[str], asks: str, installed: dict[str, str], tmp_path: Path
) -> None:
    if not shutil.which(shell[0]):
        pytest.skip(f"no {shell[0]} here")
    script = proveout("completion", shell[0], home=tmp_path).out
    for _ in range(2):  # by click, and from what it kept
        done = subprocess.run(
            [*shell, f"{script}\n{asks}"],
            env=installed, cwd=tmp_path, capture_output=True, text=True, timeout=120, check=True,
        )  # fmt: skip
        assert "cap-seal-look" in done.stdout.split()


@pytest.mark.skipif(not shutil.which("zsh"), reason="no zsh here")
def test_zsh_completes_at_its_prompt(installed: dict[str, str], tmp_path: Path) -> None:
    pexpect = pytest.importorskip("pexpect")
    (tmp_path / "script").write_text(proveout("completion", "zsh", home=tmp_path).out)
    shell = pexpect.spawn("zsh", ["-f", "-i"], env=installed, cwd=str(tmp_path), encoding="utf-8", timeout=60)
    shell.sendline("autoload -Uz compinit; compinit -u -d dump; source ./script; echo rea''dy")
    shell.expect("ready")
    shell.send("proveout steps car.yaml cap-sea\t")
    shell.expect("cap-seal-look")
    shell.close(force=True)


def test_names_of_the_book_are_completed_and_kept(tmp_path: Path) -> None:
    lend_books(tmp_path / "cache")
    assert "plain,cap-seal-look" in completed("proveout steps car.yaml cap-sea", tmp_path)
    assert (tmp_path / "cache/proveout/tab/names-inspections").exists()  # the next one does not open the book
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


def test_what_is_at_hand_is_answered_without_click(tmp_path: Path) -> None:
    lend_books(tmp_path / "cache")
    line = "proveout why car.yaml purge-valve"
    first = completed(line, tmp_path)
    program = (
        "import sys; plain = set(sys.modules)\n"
        "from proveout.cli import entry\n"
        "entry.leave = sys.exit\n"
        "try: entry.entry()\n"
        "except SystemExit: print(*sorted(set(sys.modules) - plain))"
    )
    *again, loaded = completed(line, tmp_path, program=program)
    assert again == first and "plain,purge-valve-stuck-open" in first
    assert not {"click", "numpy", "msgspec", "re", "pathlib", "typing", "json"} & set(loaded.split())


def test_a_shops_own_names_are_completed_and_follow_its_files(tmp_path: Path) -> None:
    lend_books(tmp_path / "cache")
    layer, settled = tmp_path / "ours", tmp_path / "config/proveout/standing.yaml"
    layer.mkdir()
    settled.parent.mkdir(parents=True)
    settled.write_text(f"layers: [{layer}]\n")
    symptom = (
        "symptoms:\n  - {id: hums-at-noon, title: Hums at noon, otherwise: 0.01, source: x,\n"
        "     because: x, seen_with: {purge-valve-stuck-open: often}}\n"
    )
    line = "proveout amend car.yaml --symptom hums"
    assert completed(line, tmp_path) == []
    (layer / "hums.yaml").write_text(symptom)
    assert completed(line, tmp_path) == ["plain,hums-at-noon"]
    for path in (layer / "hums.yaml", layer, settled, settled.parent):
        os.utime(path, (1_700_000_000, 1_700_000_000))  # what was changed just now is not kept
    assert completed(line, tmp_path) == completed(line, tmp_path) == ["plain,hums-at-noon"]
    (layer / "hums.yaml").write_text(symptom.replace("hums-at-noon", "hums-at-night"))
    assert completed(line, tmp_path) == ["plain,hums-at-night"]
    settled.unlink()
    assert completed(line, tmp_path) == []
    assert completed(f"proveout amend car.yaml --rules {layer} --symptom hums", tmp_path) == [
        "plain,hums-at-night"
    ]


def test_a_note_that_is_torn_or_not_ones_own_is_not_used(tmp_path: Path) -> None:
    lend_books(tmp_path / "cache")
    assert completed("proveout tri", tmp_path) == ["plain,triage"]
    note = tmp_path / "cache/proveout/tab/grammar"
    for torn in ("", "x", "1\n", note.read_text().replace("triage", "strange")[:-40]):
        note.write_text(torn)
        assert completed("proveout tri", tmp_path) == ["plain,triage"]
    note.write_text(note.read_text().replace("triage", "tribune"))
    note.chmod(0o666)
    assert completed("proveout tri", tmp_path) == ["plain,triage"]


def test_asking_for_the_version_and_pressing_tab_tells_no_version(tmp_path: Path) -> None:
    lend_books(tmp_path / "cache")
    assert completed("proveout --version tri", tmp_path) == ["plain,triage"]
