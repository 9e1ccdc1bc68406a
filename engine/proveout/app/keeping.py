"""Writes advice into a case file, and keeps the book it rests on so that it can be replayed later."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from proveout.app.places import data_dir
from proveout.app.profile import who
from proveout.book.shipped import rules_dir
from proveout.model.advice import Triage
from proveout.model.book import Book
from proveout.record import casefile, snapshot
from proveout.record.advice import advice_document
from proveout.record.bodies import Body


def now() -> str:
    """Return the time as case files spell it: UTC, whole seconds."""
    return datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def keep_advice(
    path: Path,
    answer: Triage,
    book: Book,
    layers: tuple[Path, ...],
    because: Sequence[Body] = (),
    expect_head: str | None = None,
) -> str:
    """Append an advice to a case file and give the new head digest.

    Args:
        path: the case file.
        answer: the advice.
        book: the rules, of which a snapshot is kept.
        layers: the directories laid over the shipped rules.
        because: what led to it, which is kept together with it or not at all: a reading
            without its advice would be recorded again, and then count as a second look.
        expect_head: the digest that was seen as the last one.
    """
    return casefile.append_all(
        path,
        (*((body.kind, body.kept()) for body in because), ("advice", advice_body(answer, book, layers))),
        now(),
        expect_head,
        who(),
    )[-1].digest


def advice_body(answer: Triage, book: Book, layers: tuple[Path, ...]) -> dict[str, Any]:
    """Return the body of an advice; a snapshot of the book that it rests on is kept before it."""
    kept = snapshot.keep(data_dir() / "books", snapshot.take((rules_dir(), *layers)))
    return {**advice_document(answer, book), "snapshot": kept}
