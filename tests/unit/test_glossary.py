"""Words of the trade: each explained in two sentences, met in the book, and named where it is met."""

from __future__ import annotations

import json
import re
from collections import Counter
from pathlib import Path

import pytest

from helpers_cli import proveout
from helpers_shipped import shipped_book
from proveout.model.book import Book
from proveout.show.glossary import terms_on, words_html
from proveout.show.inspection import prose_of
from proveout.text.schema import fits
from proveout.text.sides import both_sides


@pytest.fixture(scope="module")
def book() -> Book:
    return shipped_book()


def test_each_word_is_explained_in_two_sentences_and_no_spelling_means_two(book: Book) -> None:
    glossary = book.words.glossary
    assert len(glossary) >= 40
    wrong = [name for name, term in glossary.items() if len(re.findall(r"[.](?= |$)", term.text)) != 2]
    assert wrong == []
    spelt = Counter(word.lower() for term in glossary.values() for word in (term.title, *term.words))
    assert [word for word, count in spelt.items() if count > 1] == []


#: What readers bring along from other pages, and this book says in plain words.
BROUGHT = {"continuity", "drive-cycle", "lambda", "upstream"}


def test_each_word_is_met_in_the_book(book: Book) -> None:
    """A word that nobody meets explains nothing."""
    prose = [text for entry in book.inspections.values() for text in prose_of(entry)]
    prose += [caution.text for caution in book.words.cautions.values()]
    prose += [code.meaning for code in book.words.codes.values()]
    prose += [rule.because for rule in book.rules.values()]
    prose += [note for cause in book.causes.values() for note in (*cause.remedy.notes, *cause.after_repair)]
    met = {term.id for term in terms_on(book, prose)}
    assert met | BROUGHT == set(book.words.glossary)


def test_a_word_is_found_whole_in_any_spelling_and_case(book: Book) -> None:
    def found(text: str) -> list[str]:
        return [term.id for term in terms_on(book, [text])]

    assert found("Back-probed at the plug, OL without end.") == ["back-probe", "open-circuit"]
    assert found("The LONG TRIM stays up.") == ["fuel-trim"]
    assert found("bankrupt, embankment, signalled") == []


def test_pages_name_the_words_that_stand_on_them(tmp_path: Path, book: Book) -> None:
    case = tmp_path / "case.yaml"
    case.write_text("codes: [P0562]\n", encoding="utf-8")
    told = proveout("steps", str(case), "body-ground-drop", home=tmp_path).out
    assert "Words explained by 'proveout terms':" in told and "ground, load" in told
    page = tmp_path / "page.html"
    proveout("steps", str(case), "body-ground-drop", "--page", str(page), home=tmp_path)
    assert "<summary>Words on this page</summary>" in page.read_text(encoding="utf-8")
    assert words_html(book, ["nothing here"]) == ""


def test_terms_prints_what_is_asked_for_or_all(tmp_path: Path, book: Book) -> None:
    one = proveout("terms", "voltage drop", home=tmp_path)
    assert one.out.startswith("voltage drop") and one.code == 0
    document = json.loads(proveout("terms", "--json", home=tmp_path).out)
    assert fits(document, "terms") and len(document["terms"]) == len(book.words.glossary)
    unknown = proveout("terms", "flux capacitor", home=tmp_path)
    assert unknown.code == 3 and "flux capacitor" in unknown.err


def test_a_shop_explains_a_word_of_its_own(tmp_path: Path) -> None:
    layer = tmp_path / "own"
    layer.mkdir()
    (layer / "words.yaml").write_text(
        "glossary:\n"
        "  - {id: loom, title: loom, words: [looms], text: A bundle of wires. It is tied to the body.}\n",
        encoding="utf-8",
    )
    told = proveout("terms", "looms", "--rules", str(layer), home=tmp_path).out
    assert told.startswith("loom") and "A bundle of wires." in told


@pytest.mark.parametrize(
    ("given", "said"),
    [
        (["Look with a torch.", "Torch off."], ("Look with a torch (flashlight).", "Torch off.")),
        (["Prop the bonnet."], ("Prop the bonnet (hood).",)),
        (["Petrol or gasoline?"], ("Petrol or gasoline?",)),
        (["torchlight"], ("torchlight",)),
    ],
)
def test_words_that_mislead_across_the_atlantic_carry_both(given: list[str], said: tuple[str, ...]) -> None:
    assert both_sides(given) == said
    assert both_sides(both_sides(given)) == said


def test_no_inspection_of_the_book_speaks_of_a_torch_alone(book: Book) -> None:
    """A torch is a flame to half of the readers."""
    for entry in book.inspections.values():
        prose = " ".join(prose_of(entry)[1:]).lower()
        assert not re.search(r"\btorch\b", prose) or "flashlight" in prose, entry.id
