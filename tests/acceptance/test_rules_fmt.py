"""``rules fmt`` keeps what a file says, and ``rules effect`` tells what one rule changes."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from helpers_book import write_book
from helpers_cli import proveout
from proveout.app.comparing import compare
from proveout.book.load import book_without, load_book
from proveout.book.shipped import rules_dir
from proveout.model.problem import BadInputError
from proveout.text.compose import compose
from proveout.text.layout import laid_out
from proveout.text.node import plain

UNTIDY = (
    "# yaml-language-server: $schema=x.json\ncomponents:   \n  - {id: a, title: A}  # mind it\r\n\n\n"
    "# of the causes\ncauses: []\ntools: []\n\n"
)
TIDY = (
    "# yaml-language-server: $schema=x.json\n\ncomponents:\n  - {id: a, title: A}  # mind it\n\n"
    "# of the causes\ncauses: []\n\ntools: []\n"
)


def test_a_file_is_laid_out_in_one_way() -> None:
    assert laid_out(UNTIDY, "f") == TIDY


@pytest.mark.parametrize("path", sorted(rules_dir().glob("*/*.yaml"))[::9], ids=lambda path: path.stem)
def test_content_and_comments_stay_and_a_second_time_changes_nothing(path: Path) -> None:
    text = path.read_text("utf-8")
    new = laid_out(text, path.name)
    assert plain(compose(new, "f")) == plain(compose(text, "f"))
    assert laid_out(new, "f") == new
    bare = [line.rstrip() for line in text.splitlines() if line.strip()]
    assert [line for line in new.splitlines() if line] == bare


def test_what_would_say_something_else_is_left_alone() -> None:
    with pytest.raises(BadInputError, match="not-laid-out"):
        laid_out("a: |\n  x  \n\n\n  y\n", "f")


def test_the_command_writes_or_only_tells(tmp_path: Path) -> None:
    shop = tmp_path / "shop"
    shop.mkdir()
    (shop / "a.yaml").write_text(UNTIDY, "utf-8")
    told = proveout("rules", "fmt", "--check", shop, home=tmp_path)
    assert (told.code, (shop / "a.yaml").read_text("utf-8") == TIDY) == (1, False)
    assert proveout("rules", "fmt", shop, home=tmp_path).code == 0
    assert (shop / "a.yaml").read_text("utf-8") == TIDY
    assert proveout("rules", "fmt", "--check", shop, home=tmp_path).code == 0


def test_the_effect_of_a_rule_is_what_the_book_without_it_answers_otherwise(tmp_path: Path) -> None:
    home = write_book(tmp_path / "book")
    cases: dict[str, dict[str, Any]] = {
        "leaks": {"codes": ["P0442"], "results": {"valve-holds": "leaks"}},
        "none": {"symptoms": ["smell"]},
    }
    found = compare(book_without((), "valve-fails", base=home), load_book(base=home), cases, least=0.02)
    (change,) = (one for one in found.changes if one.case in cases)
    assert change.case == "leaks"
    assert ("valve-fails", "new") in change.rules
    assert change.moved[0] == "valve-leaks" and change.moved[2] > change.moved[1]


def test_a_rule_that_is_not_there_is_answered(tmp_path: Path) -> None:
    wrong = proveout("rules", "effect", "cap-seal-look=damagd", home=tmp_path)
    assert wrong.code != 0 and "damaged" in wrong.err
