"""The threat model in DEVELOPERS.md names what holds each promise; what it names must be there."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

from helpers_targets import TARGETS

ROOT = Path(__file__).parents[2]
NAMED = re.compile(r"`(test_\w+\.py|test_\w+)`")


def rows() -> list[tuple[str, str, str]]:
    """Return the rows of the table: what is handed over, what is promised, what holds it."""
    text = (ROOT / "DEVELOPERS.md").read_text("utf-8")
    section = text.split("\n## Who may hand what to whom\n")[1].split("\n## ")[0]
    cells = [[cell.strip() for cell in line.strip("|").split("|")] for line in section.splitlines()]
    found = [(row[0], row[1], row[2]) for row in cells if len(row) == 3]
    return found[2:]


def names_in(file: str) -> set[str]:
    """Return the names of the tests in a file of that name."""
    (path,) = (ROOT / "tests").rglob(file)
    tree = ast.parse(path.read_text("utf-8"))
    return {
        item.name for item in tree.body if isinstance(item, ast.FunctionDef) and item.name.startswith("test_")
    }


def test_the_table_is_read_whole() -> None:
    assert len(rows()) >= 11


@pytest.mark.parametrize(("handed", "promised", "held"), rows(), ids=lambda cell: cell[:30])
def test_what_holds_a_promise_is_there(handed: str, promised: str, held: str) -> None:
    assert handed and promised
    named = NAMED.findall(held)
    targets = re.findall(r"`(\w+)`", held.partition("target")[2])
    assert named or targets, f"nothing holds: {promised}"
    file = ""
    for name in named:
        if name.endswith(".py"):
            file = name
            assert names_in(file), f"{file} has no tests"
        else:
            assert file and name in names_in(file), f"{file or 'no file'} has no {name}"
    assert set(targets) <= TARGETS.keys()


def faults() -> list[tuple[str, str]]:
    """Return the rows of the table of faults: the fault, and the test that failed then."""
    text = (ROOT / "DEVELOPERS.md").read_text("utf-8")
    section = text.split("\nWhat an independent attack got through")[1].split("\nNot promised:")[0]
    cells = [[cell.strip() for cell in line.strip("|").split("|")] for line in section.splitlines()]
    return [(row[0], row[1]) for row in cells if len(row) == 2][2:]


@pytest.mark.parametrize(("fault", "tests"), faults(), ids=lambda cell: cell[:30])
def test_each_fault_of_the_attack_names_what_found_it(fault: str, tests: str) -> None:
    assert fault
    file = ""
    for name in NAMED.findall(tests):
        file = name if name.endswith(".py") else file
        assert names_in(file), file
        assert name == file or name in names_in(file), f"{file} has no {name}"
    assert file


def test_the_long_run_that_is_named_can_be_run() -> None:
    text = (ROOT / "DEVELOPERS.md").read_text("utf-8")
    for script in re.findall(r"`(?:nice -n 19 )?python (tests/\S+\.py)", text):
        assert (ROOT / script).is_file(), script
