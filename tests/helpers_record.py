"""Case files, faults of the operating system, and a small book for the tests of the record room."""

from __future__ import annotations

import errno
import os
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest

from proveout.intake.document import case_of
from proveout.intake.sheet import sheet_of
from proveout.model.advice import Triage
from proveout.model.book import Book
from proveout.plan.advice import triage
from proveout.record import casefile, files
from proveout.record.advice import ADVICE, advice_document
from proveout.record.event import NO_PREVIOUS, Event, seal

INTAKE = {"title": "Grey van", "vehicle": {"age_years": 14, "mileage_km": 183_000}, "codes": ["P0442"]}

#: One body of each kind; the bodies of readings and causes fit the small book of ``helpers_book``.
EVENTS: tuple[tuple[str, dict[str, Any]], ...] = (
    ("note", {"text": 'Customer says: smells after filling up; "strong" – 2 × a week.'}),
    ("reading", {"inspection": "hose-look", "result": "whole"}),
    ("reading", {"inspection": "valve-holds", "value": "-12 kPa", "conditions": ["engine cold"]}),
    ("withdrawal", {"event": 4, "reason": "hose of the pump leaked"}),
    ("reading", {"inspection": "valve-holds", "value": "-10 kPa", "instrument": "pump A"}),
    ("advice", {"book": {"digest": "ab" * 32}, "causes": [{"id": "valve-leaks", "confidence": 0.93125}]}),
    ("purchase", {"part": "shut-off valve", "cause": "valve-leaks", "cost": 44.9, "against_verdict": False}),
    ("repair", {"cause": "valve-leaks", "action": "replace", "component": "valve", "voids": ["valve-holds"]}),
    ("verification", {"repeated": [{"inspection": "valve-holds", "result": "holds"}], "codes_cleared": True}),
    ("close", {"outcome": "confirmed", "cause": "valve-leaks"}),
    ("note", {"text": "---", "figures": [1e-7, -0.0, 2.5, 1e22], "none": None, "empty": {}, "list": []}),
)


def at(n: int) -> str:
    """Return a time for event ``n``."""
    return f"2024-05-04T{9 + n // 60:02}:{n % 60:02}:00Z"


def write_case(path: Path, count: int = 12) -> bytes:
    """Write a case file of up to twelve events and give its bytes."""
    casefile.create(path, INTAKE, at(1))
    for n, (kind, body) in enumerate(EVENTS[: count - 1], 2):
        casefile.append(path, kind, body, at(n))
    return path.read_bytes()


@dataclass
class FaultyOs:
    """The module ``os`` whose ``nth`` call to one of ``calls`` fails.

    Attributes:
        nth: the call that fails, from 1.
        number: of the error that it gives.
        short: a write that is to fail writes half of its bytes first (and the next write fails).
        lasting: every later call of the same name fails too.
    """

    nth: int
    number: int = errno.EIO
    short: bool = False
    lasting: bool = False
    calls: tuple[str, ...] = ("open", "write", "fsync", "replace", "read", "fstat", "stat", "makedirs")
    count: int = 0
    failed: list[str] = field(default_factory=list)

    def __getattr__(self, name: str) -> Any:
        real = getattr(os, name)
        return self._watched(name, real) if name in self.calls else real

    def _watched(self, name: str, real: Callable[..., Any]) -> Callable[..., Any]:
        def call(*args: Any, **kwargs: Any) -> Any:
            self.count += 1
            if self.count == self.nth or (
                self.failed and (self.lasting or self.short) and name == self.failed[0]
            ):
                self.failed.append(name)
                if self.short and name == "write" and len(self.failed) == 1:
                    return real(args[0], bytes(args[1])[: len(args[1]) // 2])
                raise OSError(self.number, os.strerror(self.number))
            return real(*args, **kwargs)

        return call


def with_fault(
    monkeypatch: pytest.MonkeyPatch, fault: FaultyOs, action: Callable[[], object]
) -> Exception | None:
    """Run an action under a fault and give the exception that came of it."""
    with monkeypatch.context() as patch:
        patch.setattr(files, "os", fault)
        try:
            action()
        except Exception as error:
            return error
    return None


def names(directory: Path) -> set[str]:
    """Return the names of all files below a directory."""
    return {path.relative_to(directory).as_posix() for path in directory.rglob("*") if path.is_file()}


def chain_of(*events: tuple[str, dict[str, Any]], intake: dict[str, Any] | None = None) -> tuple[Event, ...]:
    """Return the events of a case without a file, sealed one upon the other."""
    found = [seal(1, at(1), "intake", NO_PREVIOUS, intake or INTAKE)]
    for n, (kind, body) in enumerate(events, 2):
        found.append(seal(n, at(n), kind, found[-1].digest, body))
    return tuple(found)


def advice_of(
    book: Book, document: Mapping[str, Any], engine: str = "reference", form: str = ADVICE
) -> dict[str, Any]:
    """Return the body of an advice, as the command line records it, or as it was in a former form."""
    return advice_document(triage_of(book, document, engine), book, form)


def triage_of(book: Book, document: Mapping[str, Any], engine: str = "reference") -> Triage:
    """Return the triage of an intake document."""
    case = case_of(document, book)
    return triage(book, sheet_of(case, book), tools=frozenset(case.tools), costs=case.costs, engine=engine)
