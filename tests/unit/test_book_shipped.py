"""The book that comes with the program: every file opens in an editor with its schema."""

from __future__ import annotations

import re
from pathlib import Path
from statistics import median

import pytest

from helpers_size import named_in
from proveout.app.checking import checked
from proveout.book.load import load_book
from proveout.book.shipped import rules_dir, schemas_dir

FILES = sorted(rules_dir().rglob("*.yaml"))


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.relative_to(rules_dir()).as_posix())
def test_each_file_begins_with_the_way_to_its_schema(path: Path) -> None:
    first = path.read_text("utf-8").partition("\n")[0]
    match = re.fullmatch(r"# yaml-language-server: \$schema=(\S+)", first)
    assert match is not None
    name = "pattern" if path.parent.name == "patterns" else "book"
    assert (path.parent / match[1]).resolve() == schemas_dir() / f"{name}.schema.json"


def test_the_book_is_spread_over_files_of_a_readable_length() -> None:
    """About 400 lines at most: what nobody would read in one go nobody mends."""
    lengths = [path.read_text("utf-8").count("\n") for path in FILES]
    assert max(lengths) <= 430
    assert median(lengths) <= 300


def test_a_file_is_named_after_its_subject_and_not_after_what_its_sentences_do() -> None:
    """Nobody knew whether a line lived in looks, tests, trials, signs, beside, when or second-ways."""
    classes = {"looks", "tests", "trials", "signs", "beside", "when", "ways", "others", "misc"}
    assert [path.name for path in FILES if classes & set(path.stem.split("-"))] == []


def test_a_cause_is_named_in_few_files() -> None:
    """What is known of a cause stands in its topic; `tests/bench/book_size.py` prints the figures."""
    assert median(named_in().values()) <= 5


def test_the_rules_shown_in_the_readme_fit_the_book(tmp_path: Path) -> None:
    text = (Path(__file__).parents[2] / "README.md").read_text("utf-8")
    shown = re.findall(r"<!-- (\w+) example -->\n```yaml\n(.*?)```", text, re.DOTALL)
    assert [name for name, _ in shown] == ["rule", "row", "circuit"]
    for name, part in shown:
        (tmp_path / f"{name}.yaml").write_text(part, "utf-8")
    assert [str(problem) for problem in checked((tmp_path,)).problems] == []
    book = load_book([tmp_path])
    assert book.rules["roof-drain-water=stands"].weights == {"roof-drain-blocked": 0.9}
    assert book.rules["cap-seal-look=damaged"].layer == tmp_path.name
    assert book.proved_by["refrigerant-sensor-supply-open"]
