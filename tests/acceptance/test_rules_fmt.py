"""``rules fmt`` keeps what a file says, and ``rules effect`` tells what one rule changes."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from helpers_book import write_book
from helpers_cli import proveout
from proveout.app.comparing import compare
from proveout.app.formatting import formatted
from proveout.book.load import book_without, load_book
from proveout.book.shipped import rules_dir
from proveout.model.problem import BadInputError
from proveout.text.layout import laid_out

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


def test_the_shipped_book_is_laid_out() -> None:
    assert formatted([rules_dir()], write=False) == []


@pytest.mark.parametrize(
    ("text", "new"),
    [
        ("a:\n- b\n-   c: 1\n    d: [1,\n        2]\n", "a:\n  - b\n  - c: 1\n    d: [1,\n        2]\n"),
        (
            "a:\n    - - 1\n      -   2\n    # of b\n    -   b: |2\n            x\n             y\n",
            "a:\n  - - 1\n    - 2\n  # of b\n  - b: |2\n        x\n         y\n",
        ),
        ("a: |+\n\n\nb: |\n   x  \n\n\n    y\n\n\n", "a: |+\n\n\nb: |\n  x  \n\n\n   y\n"),
        ("a:\n      b\n      c  # why\n   \n\n# end", "a:\n  b\n  c  # why\n\n# end\n"),
        ('a: "b\n\n\n      c"\n', 'a: "b\n\n\n  c"\n'),
        ("? a\n:    b\n? c\n", "? a\n: b\n\n? c\n"),
        ("a: [  # one\n  b,\n\n\n  # two\n  ]\n", "a: [  # one\n  b,\n\n  # two\n  ]\n"),
        ("\ufeff--- # x\n- a\r-  b", "--- # x\n- a\n- b\n"),
    ],
)
def test_how_deep_an_entry_stands(text: str, new: str) -> None:
    assert laid_out(text, "f") == new
    assert laid_out(new, "f") == new


def test_a_line_that_is_too_long_is_broken() -> None:
    words = ", ".join(f"word-{n}" for n in range(20))
    assert laid_out(f"a:\n  - words: [{words},\n            one, two]  # few\n", "f") == (
        "a:\n  - words: [word-0, word-1, word-2, word-3, word-4, word-5, word-6, word-7, word-8, word-9, "
        "word-10, word-11, word-12, word-13,\n"
        "            word-14, word-15, word-16, word-17, word-18, word-19, one, two]  # few\n"
    )
    text = "It leaks - and nobody sees it. " * 5
    assert laid_out(f"a: {{id: x, because: {text}}}\n", "f") == (
        "a: {id: x,\n  because: It leaks - and nobody sees it. It leaks - and nobody sees it. It leaks - and "
        "nobody sees it. It leaks - and nobody sees\n  it. It leaks - and nobody sees it. }\n"
    )


@pytest.mark.parametrize("line", ["# " + "why " * 50, "a: " + "x" * 200, "a: 1  # " + "why " * 50])
def test_a_long_comment_or_word_stays(line: str) -> None:
    assert laid_out(f"{line}\n", "f") == f"{line.rstrip()}\n"


def test_what_would_say_something_else_is_left_alone() -> None:
    with pytest.raises(BadInputError, match=r"f:2:6: a character that ends a line.*not-laid-out"):
        laid_out('a: 1\nb: "c\u2028d"\n', "f")


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
