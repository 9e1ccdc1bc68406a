"""Free text is matched cautiously: what is clear is taken, what is unclear is offered, the rest is listed."""

from __future__ import annotations

import pytest

from proveout.intake import match, resolve
from proveout.model.atom import SYMPTOM
from proveout.model.book import Book
from proveout.model.entries import Component, Term, Vocabulary

BOOK = Book(
    causes={},
    inspections={},
    rules={},
    words=Vocabulary(
        symptoms={
            "fuel-smell": Term("fuel-smell", "Smell of fuel", ("smells of petrol", "gas smell")),
            "rough-idle": Term("rough-idle", "Engine idles roughly", ("shakes at the lights", "rough idle")),
        },
        circumstances={"rain": Term("rain", "In rain", ("when it rains", "wet weather"))},
    ),
)


@pytest.mark.parametrize(
    ("said", "symptom"),
    [
        ("It smells of petrol in the garage", "fuel-smell"),
        ("there is a smell of the fuel", "fuel-smell"),
        ("Shakes at the lights!", "rough-idle"),
    ],
)
def test_plain_statements_are_taken(said: str, symptom: str) -> None:
    (found,), lost = match([said], BOOK)
    assert (found.kind, found.id, found.taken) == (SYMPTOM, symptom, True)
    assert lost == ()


@pytest.mark.parametrize(
    "said", ["no smell of fuel", "it never shakes at the lights", "doesn't have a rough idle"]
)
def test_a_denial_is_offered_not_taken(said: str) -> None:
    found, _ = match([said], BOOK)
    assert found and all(item.negated and not item.taken for item in found)


def test_what_means_nothing_here_is_listed_and_nothing_is_dropped() -> None:
    found, lost = match(["smells of petrol, the radio hums and it shakes at the lights"], BOOK)
    assert {item.id for item in found} == {"fuel-smell", "rough-idle"}
    assert lost == ("the radio hums",)


def test_a_misspelling_is_offered_for_confirmation() -> None:
    (found,), _ = match(["rouhg idel"], BOOK)
    assert found.id == "rough-idle" and not found.taken


def test_several_vocabularies_are_searched() -> None:
    found, _ = match(["only in wet weather"], BOOK)
    assert [(item.kind, item.id) for item in found] == [("happens", "rain")]


@pytest.mark.parametrize("given", ["purge-valve", "Purge Valve", "purge  solenoid", "PURGE SOLENOID"])
def test_ids_titles_and_words_name_an_entry(given: str) -> None:
    parts = {"purge-valve": Component("purge-valve", "Purge valve", ("purge solenoid",))}
    assert resolve(given, parts) == "purge-valve"


def test_an_unknown_word_is_given_back_for_the_complaint() -> None:
    assert resolve("flux valve", {}) == "flux valve"
