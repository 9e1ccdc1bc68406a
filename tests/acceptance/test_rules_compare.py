"""Two books on the same cases, as the author of a change and who reviews it would ask."""

from __future__ import annotations

import json
import subprocess
from pathlib import Path

import pytest

from helpers_book import write_book
from helpers_cli import Answer, proveout
from helpers_shipped import shipped_book
from proveout.app.comparing import compare as compared
from proveout.book.load import load_book
from proveout.show.compared import compared_text
from proveout.text.compose import compose
from proveout.text.schema import validate
from proveout.trial.compare import said_alone
from proveout.trial.single_facts import single_facts

LARGE_LEAK = "codes: [P0455]\ntools: [pump]\n"
MOVED = ("weigh: {hose-cracked: often, valve-leaks: seldom}", "weigh: {valve-leaks: often}")


@pytest.fixture
def books(tmp_path: Path) -> tuple[Path, Path, Path]:
    """Return a book, the same with one frequency changed, and a directory with one case."""
    old = write_book(tmp_path / "old")
    new = write_book(tmp_path / "new", edit={"rules.yaml": [MOVED]})
    cases = tmp_path / "mine"
    cases.mkdir()
    (cases / "large.yaml").write_text(LARGE_LEAK, "utf-8")
    return old, new, cases


def compare(home: Path, *arguments: object) -> Answer:
    return proveout("rules", "compare", "--whole", *arguments, home=home)


def test_the_same_book_changes_nothing(books: tuple[Path, Path, Path], tmp_path: Path) -> None:
    old, _, cases = books
    answer = compare(tmp_path, old, old, "--cases", cases, "--draw", 6)
    assert answer.code == 0, answer.err
    assert "0 rules differ; 0 answers changed" in answer.out


def test_a_moved_frequency_is_told_with_the_rule_that_did_it(
    books: tuple[Path, Path, Path], tmp_path: Path
) -> None:
    old, new, cases = books
    answer = compare(tmp_path, old, new, "--cases", cases, "--draw", 0)
    assert answer.code == 1, answer.err
    assert "1 rules differ; 3 answers changed" in answer.out
    assert "large-leak alone: says more or less by itself" in answer.out
    assert "likeliest: hose-cracked -> valve-leaks" in answer.out
    assert "by the rule large-leak (changed)" in answer.out
    summary = compare(tmp_path, old, new, "--cases", cases, "--draw", 0, "--summary").out
    assert f"| **{cases / 'large.yaml'}** | " in summary and "`large-leak` changed" in summary


def test_drawn_cases_see_it_too_and_the_seed_settles_them(
    books: tuple[Path, Path, Path], tmp_path: Path
) -> None:
    old, new, _ = books
    first, again = (compare(tmp_path, old, new, "--draw", 12, "--json") for _ in range(2))
    assert first.out == again.out
    assert not validate(compose(first.out, "out"), "compared")
    changes = json.loads(first.out)["changes"]
    assert any(change["case"].startswith("drawn 1:") for change in changes)


def test_an_expected_change_is_no_finding(books: tuple[Path, Path, Path], tmp_path: Path) -> None:
    old, new, cases = books
    wanted = tmp_path / "wanted.yaml"
    asked = ("--cases", cases, "--draw", 0, "--expect", wanted)
    wanted.write_text(f"{cases / 'large.yaml'}: [leading, next, confidence]\n'*': [weight]\n", "utf-8")
    assert compare(tmp_path, old, new, *asked).code == 0
    wanted.write_text("'*': [confidence]\n", "utf-8")
    assert compare(tmp_path, old, new, *asked).code == 1
    wanted.write_text("'*': [confidense]\n", "utf-8")
    answer = compare(tmp_path, old, new, *asked)
    assert answer.code == 3
    assert "wanted.yaml:1:7" in answer.err


def test_what_one_of_the_books_cannot_read(books: tuple[Path, Path, Path], tmp_path: Path) -> None:
    old, new, cases = books
    (cases / "looked.yaml").write_text(LARGE_LEAK + "readings: [{inspection: hose-look, result: whole}]\n")
    for path in new.iterdir():
        path.write_text(path.read_text("utf-8").replace("hose-look", "look-at-hose"), "utf-8")
    answer = compare(tmp_path, old, new, "--cases", cases, "--draw", 0)
    assert answer.code == 1
    assert "looked.yaml: can be read with one of the books only" in answer.out


def test_books_out_of_a_git_repository(
    books: tuple[Path, Path, Path], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    old, new, cases = books
    here = tmp_path / "repo"
    (here / "book").mkdir(parents=True)
    monkeypatch.chdir(here)
    who = ("-c", "user.name=a", "-c", "user.email=a@example.org")
    for text in (old, new):
        for path in text.iterdir():
            (here / "book" / path.name).write_bytes(path.read_bytes())
        for command in (["init", "-q"], ["add", "-A"], [*who, "commit", "-q", "-m", "x"]):
            subprocess.run(["git", *command], check=True)
    answer = compare(tmp_path, "HEAD~1:book", "HEAD:book", "--cases", cases, "--draw", 0)
    assert "1 rules differ; 3 answers changed" in answer.out, answer.err
    assert compare(tmp_path, "HEAD~1:book", "book", "--cases", cases, "--draw", 0).out == answer.out
    for name in ("HEAD~7:book", "--output=x:book", "HEAD:nothing"):
        assert compare(tmp_path, "--draw", 0, "--", name, "book").code == 3
    assert not (here / "x").exists()


@pytest.mark.parametrize("name", ["nowhere", "12345678", "a:"])
def test_a_book_that_is_not_there(books: tuple[Path, Path, Path], tmp_path: Path, name: str) -> None:
    answer = compare(tmp_path, books[0], name)
    assert (answer.code, answer.out) == (3, "")
    assert "no-such-book" in answer.err


#: One change each, with what must be said of it though no case has it.
SLIPS = {
    "a frequency": (
        "rules.yaml",
        ("weigh: {hose-cracked: 0.6}", "weigh: {hose-cracked: 0.1}"),
        "! hose-seen alone: says more or less by itself",
    ),
    "another cause": (
        "rules.yaml",
        ("weigh: {hose-cracked: 0.3}", "weigh: {valve-leaks: 0.3}"),
        "! hose-off alone: says more or less by itself",
    ),
    "a limit": (
        "inspections.yaml",
        ("holds: ..-40", "holds: ..-4"),
        "! valve-holds at -36 kPa: another result or conclusion",
    ),
    "a condition left out": (
        "rules.yaml",
        (", none: [{code: P0455}]}", "}"),
        "! system-open with code P0455=set: another result or conclusion",
    ),
    "a base rate": (
        "causes.yaml",
        ("base_rate: 12.5 per 1000", "base_rate: 1.25 per 1000"),
        "! hose-seen alone: says more or less by itself",
    ),
}


@pytest.mark.parametrize("name", SLIPS)
def test_a_change_that_no_case_meets_shows_in_a_single_fact(name: str, tmp_path: Path) -> None:
    file, edit, said = SLIPS[name]
    old = load_book(base=write_book(tmp_path / "old"))
    home = write_book(tmp_path / "new", edit={file: [edit]})
    found = compared(old, load_book(base=home), {}, least=0.02)
    assert said in compared_text(found, found.changes, 20)
    assert not compared(old, old, {}, least=0.02).changes


def test_every_rule_and_limit_of_the_shipped_book_is_asked_and_can_be_read() -> None:
    book = shipped_book()
    facts = single_facts(book)
    assert set(book.rules) <= {name for fact in facts for name in fact.about}
    with_limits = {name for name, one in book.inspections.items() if one.reading and one.reading.bands}
    assert {f"inspection {name}" for name in with_limits} <= {name for fact in facts for name in fact.about}
    wrong = [fact.name for fact in facts[::40] if said_alone(fact.document, book).wrong]
    assert not wrong
