"""What lies before the checks proper: a bad file or directory for each complaint, and the exact message.

The messages of mistakes within sound files stand in ``mistakes.txt``.
"""

from __future__ import annotations

import ast
import errno
import os
from collections.abc import Callable, Iterable
from pathlib import Path

import pytest

from helpers_book import write_book
from proveout.book.around import around
from proveout.book.checks import PAGES
from proveout.book.files import MAX_FILES, Layer, gather
from proveout.book.load import check, load_book
from proveout.intake.stray import stray_phrases
from proveout.model.problem import BadInputError, Problem
from proveout.text.compose import MAX_DEPTH
from proveout.text.layout import laid_out
from proveout.text.own import own_directory
from proveout.text.schema import MAX_FAULTS

TESTS = Path(__file__).resolve().parents[1]

#: Content of a file `hose.yaml`, and what is said of it.
FILES = [
    (
        b"causes:\n  - id: hose-cracked\n    title: Hose: cracked\n",
        "hose.yaml:3:16: not YAML: mapping values are not allowed in this context; check indentation, "
        "brackets and quotes on this line and the one before [yaml-syntax]",
    ),
    (
        b"causes:\n  - {[hose]: cracked}\n",
        "hose.yaml:2:6: a list or mapping as a key; expected a word as key; quote it if it is text "
        "[yaml-key]",
    ),
    (
        b"causes: " + b"[" * MAX_DEPTH + b"]" * MAX_DEPTH + b"\n",
        "hose.yaml:1:48: lists and mappings nested more than 40 deep; check the brackets and the indentation "
        "[yaml-depth]",
    ),
    (
        b"causes: []\n---\nrules: []\n",
        "hose.yaml:3:1: a second document in one file; expected one document; remove the --- "
        "[yaml-documents]",
    ),
    (
        "# café\ncauses: []\n".encode("latin-1"),
        "hose.yaml:1:6: byte 0xe9, which is not UTF-8; expected UTF-8 text; save the file as UTF-8 "
        "[not-utf8]",
    ),
    (
        b"causes: [" + b"{x: 1}," * (MAX_FAULTS + 1) + b"]\n",
        "hose.yaml:1:1: more than 500 faults; the rest is not listed; mend these first [schema-many]",
    ),
    (
        b"driving-on:\n  - {id: tow, families: [brakes], do: stop, because: No brakes., source: own jobs}\n",
        "hose.yaml:2:26: the family 'brakes'; expected a family of codes; give the family of some code "
        "[unknown-family]",
    ),
]


def said(problems: Iterable[Problem], home: Path) -> list[str]:
    return [str(problem).replace(f"{home}/", "").replace(str(home), "HOME") for problem in problems]


def refused(deed: Callable[[], object], home: Path) -> list[str]:
    with pytest.raises(BadInputError) as raised:
        deed()
    return said(raised.value.problems, home)


@pytest.mark.parametrize(("data", "message"), FILES)
def test_a_bad_file_is_told_of_so(tmp_path: Path, data: bytes, message: str) -> None:
    (tmp_path / "hose.yaml").write_bytes(data)
    told = said(check(base=tmp_path), tmp_path)
    assert [one for one in told if one.endswith(message[message.rindex("[") :])] == [message]
    assert len(told) == 1 or "[schema-many]" in message


def test_a_directory_of_too_many_files(tmp_path: Path) -> None:
    for number in range(MAX_FILES + 1):
        (tmp_path / f"{number}.yaml").touch()
    problems: list[Problem] = []
    assert len(gather(Layer("mine", tmp_path, "mine"), problems)) == MAX_FILES
    assert said(problems, tmp_path) == [
        "mine: more than 5000 rule files or 64 MiB; name a smaller directory [layer-size]"
    ]


def test_a_directory_that_cannot_be_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The refusal is played: the administrator, as whom tests may run, may read everything."""

    def barred(path: object) -> object:
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES), str(path))

    monkeypatch.setattr("os.scandir", barred)
    problems: list[Problem] = []
    assert gather(Layer("mine", tmp_path, "mine"), problems) == []
    monkeypatch.undo()
    assert said(problems, tmp_path) == [
        "HOME: a directory that cannot be read: Permission denied; allow reading it [layer-unreadable]"
    ]


@pytest.mark.skipif(not hasattr(os, "geteuid"), reason="rights of POSIX")
def test_a_directory_that_others_may_write_in(tmp_path: Path) -> None:
    (tmp_path / "kept").mkdir()
    (tmp_path / "kept").chmod(0o777)
    assert refused(lambda: own_directory(tmp_path / "kept"), tmp_path) == [
        "kept: other users may write in it; expected a directory that belongs to you and that only you may "
        "write in; remove it or set its rights (chmod go-w) [not-own-directory]"
    ]


def test_a_text_that_cannot_be_laid_out(tmp_path: Path) -> None:
    assert refused(lambda: laid_out("because: It leaks.\u2028\n", "hose.yaml"), tmp_path) == [
        "hose.yaml:1:19: a character that ends a line for some readers and not for others; take it out "
        "[not-laid-out]"
    ]
    assert refused(lambda: laid_out("because: |\n  It leaks.", "hose.yaml"), tmp_path) == [
        "hose.yaml: a text of several lines that would say something else; quote it, or lay it out by hand "
        "[not-laid-out]"
    ]


def test_entries_of_which_there_is_no_graph(tmp_path: Path) -> None:
    book = load_book(base=write_book(tmp_path))
    assert refused(lambda: around(book, "pump", 20), tmp_path) == [
        "pump; expected a cause, code, symptom, circumstance, inspection or finding; list them with: rules "
        "list [no-graph]"
    ]
    assert refused(lambda: around(book, "wet", 20), tmp_path) == [
        "wet, which no rule mentions; expected an entry that some rule weighs; rules show says what it is "
        "[nothing-around]"
    ]


def test_a_phrase_that_leads_astray(tmp_path: Path) -> None:
    edit = {"symptoms.yaml": [("words: [stinks]", "words: [stinks, In rain]")]}
    book = load_book(base=write_book(tmp_path, edit=edit))
    mend = "expected a phrase that leads to its own entry only; reword it, or take it from one of the two"
    assert said(stray_phrases(book), tmp_path) == [
        f"circumstances.yaml:1:3: “In rain” of in-rain, which leads to smell; {mend} [stray-phrase]",
        f"symptoms.yaml:1:3: “In rain” of smell, which leads to in-rain; {mend} [stray-phrase]",
    ]


def _named_in_tests() -> set[str]:
    """Return the names in brackets that kept messages end with, and all texts that tests compare with."""
    kept = (TESTS / "unit" / "mistakes.txt").read_text("utf-8")
    names = {line.rpartition("[")[2].rstrip("]") for line in kept.splitlines() if line.endswith("]")}
    for path in [*(TESTS / "unit").glob("*.py"), *(TESTS / "acceptance").glob("*.py")]:
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                names |= {node.value, node.value.rpartition("[")[2].rstrip("]")}
    return names


def test_every_complaint_has_a_bad_example() -> None:
    """On its page, and in the tests: a message kept in full, or its name and what a bad book gave."""
    assert [name for name, page in PAGES.items() if not page.bad] == []
    assert sorted(set(PAGES) - _named_in_tests()) == []
