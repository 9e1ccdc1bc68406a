"""The README's way from an idea to a reviewed change, command by command as it stands there.

Below each command stands what it says, and its exit code where that is not 0. The commands run over a small
book that has the entries which they name, since the shipped one would be compiled anew after each of them;
that the shipped book has these entries, too, is looked up.
"""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest

from helpers_book import TOPICS
from helpers_cli import proveout
from helpers_shipped import shipped_book

ROOT = Path(__file__).resolve().parents[2]

#: What of the small book is called otherwise, lest the tutorial name what the shipped one lacks.
_CALLED = {"hose-cracked": "filler-cap-seal-leaking", "hose-look": "cap-seal-look", "cracked:": "damaged:"}


def tutorial() -> list[tuple[list[str], str, int]]:
    """Return the words of each command, what it says, and its exit code."""
    text = (ROOT / "README.md").read_text("utf-8")
    block = re.search(r"<!-- tutorial -->\n```sh\n(.+?)```", text, re.DOTALL)
    assert block
    found = re.findall(r"^proveout (.+)\n# says: (.+?)(?: \(exit code (\d)\))?$", block[1], re.MULTILINE)
    assert len(found) == block[1].count("proveout ")
    return [(shlex.split(command), said, int(code or 0)) for command, said, code in found]


@pytest.fixture
def small_book(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Put the small book and one case in the place of the shipped ones."""
    monkeypatch.setattr("helpers_cli.lend_books", lambda _home: None)  # the shipped ones are not asked for
    for name, text in TOPICS.items():
        for old, new in _CALLED.items():
            text = text.replace(old, new)
        path = tmp_path / "book" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, "utf-8")
    cases = tmp_path / "cases"
    cases.mkdir()
    (cases / "seal-seen.yaml").write_text(
        "codes: [P0442]\nreadings: [{inspection: cap-seal-look, result: damaged}]\n", "utf-8"
    )
    monkeypatch.setattr("proveout.book.load.rules_dir", lambda: tmp_path / "book")
    monkeypatch.setattr("proveout.app.comparing.cases_dir", lambda: cases)
    (tmp_path / "shop").mkdir()
    monkeypatch.chdir(tmp_path / "shop")


@pytest.mark.usefixtures("small_book")
def test_each_command_does_what_the_text_says(tmp_path: Path) -> None:
    for words, said, code in tutorial():
        answer = proveout(*words, home=tmp_path)
        assert answer.code == code, (words, answer.out, answer.err)
        assert said in answer.out + answer.err, (words, answer.out, answer.err)


def test_it_goes_all_the_way_and_names_what_the_shipped_book_has() -> None:
    commands = [words for words, _, _ in tutorial()]
    assert [words[words.index("--kind") + 1] for words in commands if words[1] == "new"] == [
        "cause",
        "inspection",
        "row",
    ]
    assert {words[1] for words in commands} == {"new", "check", "test", "effect", "compare", "fmt"}
    book = shipped_book()
    assert "P0455" in book.words.codes
    assert "filler-cap-seal-leaking" in book.rules["cap-seal-look=damaged"].weights
    ours = {words[2] for words in commands if words[1] == "new"}
    assert not ours & {*book.causes, *book.inspections, *book.rules}
