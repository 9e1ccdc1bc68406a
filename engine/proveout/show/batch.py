"""One case of a batch as a document: its triage, or what is wrong with it."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from proveout.model.advice import Triage
from proveout.model.book import Book
from proveout.model.problem import Problem
from proveout.show.documents import problems_document, triage_document


def batch_triage(source: str, triage: Triage, book: Book) -> dict[str, Any]:
    """Return a triage as a document of schema ``proveout/batch/1``; ``source`` names where it is from."""
    return {"schema": "proveout/batch/1", "source": source, "triage": triage_document(triage, book)}


def batch_problems(source: str, problems: Iterable[Problem]) -> dict[str, Any]:
    """Return what is wrong with a case as a document of schema ``proveout/batch/1``."""
    document = problems_document(tuple(problems))
    return {"schema": "proveout/batch/1", "source": source, "problems": document["problems"]}
