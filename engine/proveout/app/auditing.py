"""Computes recorded advice anew, and gathers the argument for each purchase."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from proveout.audit.argument import Argument, argument
from proveout.audit.replay import book_digest
from proveout.intake.document import case_of
from proveout.model.book import Book
from proveout.model.preference import AS_WRITTEN
from proveout.plan.advice import advise
from proveout.readiness.warranty import known_terms
from proveout.record import snapshot
from proveout.record.documents import triage_document
from proveout.record.event import Event
from proveout.record.state import merged


def arguments(
    events: Sequence[Event], store: Path, today: Book, display: str = AS_WRITTEN
) -> tuple[Argument, ...]:
    """Return the argument for each purchase that an advice came before; figures in units by preference."""
    found = []
    for purchase in (event for event in events if event.kind == "purchase"):
        advice = next(
            (event for event in reversed(events) if event.kind == "advice" and event.n < purchase.n), None
        )
        if advice is None:
            continue
        book = _book(advice, store, today)
        document = merged(events, advice.n)
        whole = triage_document(advise(case_of(document, book), book), book, display)
        found.append(argument(purchase, advice, document, whole, book, known_terms(book, today)))
    return tuple(found)


def _book(advice: Event, store: Path, today: Book) -> Book:
    if today.digest == book_digest(advice):
        return today
    return snapshot.book_of(snapshot.load(store, str(advice.body.get("snapshot", ""))))
