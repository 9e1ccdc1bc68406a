"""Several codes of one family do not speak for "nothing wrong now" more than for the faults behind them."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from helpers_plan import THE_CODE, book_of, code_rule, sheet_of
from proveout.model.book import Book
from proveout.model.entries import Cause, CodeEntry, Remedy
from proveout.weigh.inference import infer
from proveout.weigh.ledger import ledgers
from proveout.weigh.siblings import FURTHER

SISTERS = (THE_CODE, "P0441", "P0446")


def family(codes: tuple[str, ...] = SISTERS) -> Book:
    """Three faults that set one code each, and "nothing wrong now", which sets any of them."""
    names = [f"fault-{n}" for n in range(len(codes))]
    causes = [Cause(name, name, name, 0.01, "made up", Remedy("repair", minutes=30)) for name in names]
    causes.append(Cause("away", "Nothing wrong now", "system", 0.01, "made up", Remedy("nothing", minutes=5)))
    rules = [
        replace(code_rule({name: 0.6, "away": 0.05}, code=code), id=f"row-{n}")
        for n, (name, code) in enumerate(zip(names, codes, strict=True))
    ]
    book = book_of(causes, (), rules)
    entries = {code: CodeEntry(code, "made up", "made-up") for code in codes}
    return replace(book, words=replace(book.words, codes=entries))


def away(book: Book, *codes: str) -> float:
    return infer(book, sheet_of(codes=codes), "reference").posterior.confidence()["away"]


def test_further_codes_of_the_family_hardly_raise_nothing_wrong_now() -> None:
    book = family()
    one = away(book, SISTERS[0])
    assert away(book, *SISTERS[:2]) <= one + 0.1
    assert away(book, *SISTERS) <= one + 0.1


def test_the_ledger_says_which_code_counts_less_and_why() -> None:
    found = infer(family(), sheet_of(codes=SISTERS), "reference")
    column = next(one for one in ledgers(found.network, found.posterior) if one.cause == "away")
    said = [entry.eased for entry in column.entries if entry.what.startswith("code")]
    assert sum(FURTHER in text for text in said) == 2
    others = [one for one in ledgers(found.network, found.posterior) if one.cause != "away"]
    assert not any(entry.eased for one in others for entry in one.entries)


def test_taken_as_independent_they_would() -> None:
    """The same codes of three families: what one cause explains, three separate faults hardly do."""
    book = family()
    entries = {code: CodeEntry(code, "made up", f"family-{code}") for code in SISTERS}
    apart = replace(book, words=replace(book.words, codes=entries))
    assert away(apart, *SISTERS) > 0.5 > away(book, *SISTERS)


def test_one_code_speaks_for_it_as_the_book_says() -> None:
    book = family()
    found = infer(book, sheet_of(codes=(SISTERS[0],)), "reference")
    assert found.network.evidence[0].cpt.given["away"] == pytest.approx((0.05,))


def test_the_order_of_the_codes_does_not_matter() -> None:
    book = family()
    assert away(book, *SISTERS) == away(book, *reversed(SISTERS))
