"""Further results as plain JSON documents with a versioned schema name."""

from __future__ import annotations

from typing import Any

from proveout.model.advice import Triage
from proveout.model.book import Book
from proveout.record.documents import triage_document
from proveout.show.rates import rate_document


def why_document(triage: Triage, book: Book, cause: str) -> dict[str, Any]:
    """Return why a cause stands where it does, as a document of schema ``proveout/why/3``.

    ``spoke`` are the rules of its ledger, ``silent`` those that hold and of whose figures one that would bear
    on it does not count. ``cause`` is "" where none is in play.
    """
    whole = triage_document(triage, book)

    def bears(item: dict[str, Any]) -> bool:
        return bool(cause) and (item["background"] or cause in item["causes"])

    return {
        "schema": "proveout/why/3",
        "cause": cause,
        "verdict": whole["verdict"],
        "ledger": next((item for item in whole["ledgers"] if item["cause"] == cause), None),
        "base_rate": rate_document(triage, cause) if cause else None,
        "fired": whole["fired"],
        "spoke": [item for item in whole["spoke"] if bears(item)],
        "silent": [item for item in whole["silent"] if bears(item)],
        "causes": whole["causes"],
        "sensitivity": whole["sensitivity"],
    }
