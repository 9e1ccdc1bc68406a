"""Every complaint about rules has a page, and every page a complaint."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest
from click.testing import CliRunner

import proveout.book
import proveout.text
from proveout.book.checks import PAGES
from proveout.cli.main import main
from proveout.text.wording import _CHECKS

ROOMS = [Path(str(room.__file__)).parent for room in (proveout.book, proveout.text)]


def _told() -> set[str]:
    """Return the names of all complaints, read off the calls that make them."""
    files = [path for room in ROOMS for path in room.rglob("*.py") if path.parent.name != "compiled"]
    files.append(ROOMS[0].parent / "intake" / "stray.py")
    found = {f"schema-{name}" for name in (*_CHECKS.values(), "value")}
    for path in files:
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if (
                isinstance(node, ast.Call)
                and getattr(node.func, "id", "") == "Problem"
                and len(node.args) > 1
            ):
                name = node.args[1]
                found |= (
                    {name.value} if isinstance(name, ast.Constant) and isinstance(name.value, str) else set()
                )
    return found


def test_every_complaint_has_a_page_and_every_page_a_complaint() -> None:
    assert _told() == set(PAGES)


@pytest.mark.parametrize("name", sorted(PAGES))
def test_a_page_says_why_and_gives_what_is_refused_with_what_passes(name: str) -> None:
    page = PAGES[name]
    assert page.why.endswith((".", "?"))
    assert page.bad
    shown = CliRunner().invoke(main, ["rules", "explain", name])
    assert shown.exit_code == 0
    assert shown.output.startswith(name)
    assert " ".join(page.bad.split()) in " ".join(shown.output.split())


def test_without_a_name_all_are_listed_and_a_wrong_name_is_answered() -> None:
    listed = CliRunner().invoke(main, ["rules", "explain"]).output
    assert all(name in listed for name in PAGES)
    wrong = CliRunner().invoke(main, ["rules", "explain", "left-of"])
    assert wrong.exit_code != 0
