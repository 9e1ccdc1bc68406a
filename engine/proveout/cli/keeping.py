"""Writes advice into a case file, and keeps the book it rests on so that it can be replayed later."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

from proveout.book import rules_dir
from proveout.cli.common import data_dir
from proveout.model.advice import Triage
from proveout.model.book import Book
from proveout.record import casefile, snapshot
from proveout.show import advice_document


def now() -> str:
    """Give the time as case files spell it: UTC, whole seconds."""
    return datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def keep_advice(path: Path, answer: Triage, book: Book, layers: tuple[Path, ...]) -> str:
    """Append an advice to a case file and give the new head digest."""
    kept = snapshot.keep(data_dir() / "books", snapshot.take((rules_dir(), *layers)))
    body = {**advice_document(answer, book), "snapshot": kept}
    return casefile.append(path, "advice", body, now()).digest
