"""Pictures show what the inspection says, and nothing where that is in doubt."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from collections import Counter

import pytest

from helpers_shipped import shipped_book
from proveout.model.book import Book
from proveout.show.picture import HARNESS, JOINED, METAL, PINS, SWAP, Picture, picture_of
from proveout.show.picture_svg import picture_svg


@pytest.fixture(scope="module")
def drawn() -> dict[str, Picture]:
    found = {key: picture_of(entry) for key, entry in shipped_book().inspections.items()}
    return {key: picture for key, picture in found.items() if picture is not None}


@pytest.fixture(scope="module")
def book() -> Book:
    return shipped_book()


def test_every_form_is_met_in_the_book(drawn: dict[str, Picture]) -> None:
    forms = Counter(picture.form for picture in drawn.values())
    assert len(forms) == 6 and min(forms.values()) >= 3, forms


def test_the_leads_are_where_the_words_of_the_inspection_put_them(
    book: Book, drawn: dict[str, Picture]
) -> None:
    for key, picture in drawn.items():
        words, entry = book.inspections[key].leads.casefold(), book.inspections[key]
        if picture.form in (JOINED, HARNESS):
            assert picture.wire in words and "black" in words and "red" in words, key
            assert ("battery" if picture.black != METAL else "bare") in words, key
        if picture.form == JOINED:
            assert entry.state is not None and not entry.state.all_of("unplugged"), key
        if picture.form == PINS:
            assert entry.state is not None and entry.state.all_of("unplugged"), key
            assert entry.reading is not None and entry.reading.quantity == "resistance", key
        if picture.form == SWAP:
            assert entry.kind == "swap"


def test_no_picture_sets_ohms_on_a_live_circuit(book: Book, drawn: dict[str, Picture]) -> None:
    """Common practice, no source: resistance is read with the key off."""
    for key, picture in drawn.items():
        state = book.inspections[key].state
        if picture.meter == "ohms":
            assert state is not None and state.key != "on", key


def test_each_picture_is_sound_svg_with_words_in_it(drawn: dict[str, Picture]) -> None:
    for picture in set(drawn.values()):
        root = ET.fromstring(picture_svg(picture))
        names = {element.tag.rpartition("}")[2] for element in root.iter()}
        assert names <= {"svg", "title", "rect", "text", "path", "circle"}
        assert root.findtext("{http://www.w3.org/2000/svg}title") == picture.words()
