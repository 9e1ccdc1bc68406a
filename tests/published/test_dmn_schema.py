"""Decision tables against the published schema of DMN 1.3.

Source: Object Management Group, Decision Model and Notation 1.3, XML schema (namespace
https://www.omg.org/spec/DMN/20191111/MODEL/), as the package SpiffWorkflow on PyPI carries it: DMN13.xsd with
DMNDI13.xsd and DC.xsd. It was written by people who had no part in this program.
"""

from __future__ import annotations

import os
from importlib import import_module
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest

from helpers_book import write_topics
from helpers_shipped import shipped_book
from proveout.app.topics import rules_of
from proveout.book.load import load_book
from proveout.model.book import Book
from proveout.show.decision_table import decision_table


def needed(module: str) -> Any:
    """Return a module of the test extra; without it the test is skipped, but not where CI runs it."""
    if os.environ.get("PROVEOUT_FRESH"):
        return import_module(module)
    return pytest.importorskip(module)


@pytest.fixture(scope="module")
def schema() -> Any:
    needed("SpiffWorkflow")
    etree = needed("lxml.etree")
    home = files("SpiffWorkflow").joinpath("dmn", "parser", "schema", "DMN13.xsd")
    return etree.XMLSchema(etree.parse(str(home)))


def wrong(schema: Any, text: str) -> list[str]:
    """Return what the schema refuses in a document."""
    schema.validate(needed("lxml.etree").fromstring(text.encode()))
    return [str(error.message) for error in schema.error_log]


def topics(book: Book) -> list[str]:
    return sorted({rule.place.file for rule in book.rules.values()})


def test_every_kind_of_rule_gives_a_table_that_fits(schema: Any, tmp_path: Path) -> None:
    book = load_book(base=write_topics(tmp_path))
    tables = [decision_table(book, topic, rules_of(topic, book)) for topic in topics(book)]
    assert len(tables) == 3 and "annotationEntry" in "".join(tables)
    assert [wrong(schema, table) for table in tables] == [[], [], []]


def test_tables_of_the_shipped_book_fit(schema: Any) -> None:
    book = shipped_book()
    for topic in topics(book)[::8]:
        assert wrong(schema, decision_table(book, topic, rules_of(topic, book))) == [], topic


@pytest.mark.parametrize(
    ("right", "spoiled"),
    [
        ('hitPolicy="COLLECT"', 'hitPolicy="ALL"'),
        ("annotationEntry", "annotationEntries"),
        ("<outputEntry>", '<outputEntry colour="red">'),
    ],
)
def test_the_schema_refuses_what_is_spoiled(schema: Any, tmp_path: Path, right: str, spoiled: str) -> None:
    book = load_book(base=write_topics(tmp_path))
    table = decision_table(book, topics(book)[0], rules_of(topics(book)[0], book))
    assert right in table
    assert wrong(schema, table.replace(right, spoiled)) != []
