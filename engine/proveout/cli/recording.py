"""Turns what was typed into a reading, tries it on the case, and only then keeps it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from proveout.cli.advise import advise
from proveout.cli.filing import events_of
from proveout.cli.keeping import keep_advice, now
from proveout.cli.opening import append
from proveout.intake import case_of, judged, unknown_id
from proveout.measure import Judged
from proveout.measure.display import AS_WRITTEN
from proveout.model.advice import Triage
from proveout.model.atom import CANNOT_TELL
from proveout.model.book import Book
from proveout.model.entries import Inspection
from proveout.model.problem import NOWHERE, BadInputError, Problem
from proveout.record import state
from proveout.record.event import seal
from proveout.show import reading_forms


def _inspection(name: str, book: Book) -> Inspection:
    if name not in book.inspections:
        raise BadInputError(unknown_id("inspection", name, book.inspections, NOWHERE))
    return book.inspections[name]


def body_of(
    name: str, reading: tuple[str, ...], instrument: str, conditions: tuple[str, ...], book: Book
) -> dict[str, Any]:
    """Give the body of a reading event from what was typed."""
    inspection = _inspection(name, book)
    body: dict[str, Any] = {"inspection": name}
    words = {result.id for result in inspection.results} | {CANNOT_TELL}
    if len(reading) == 1 and (reading[0] in words or inspection.reading is None):
        body["result"] = reading[0]
    elif inspection.reading is not None and inspection.reading.series:
        body["series"] = [_pair(item, inspection) for item in reading]
    else:
        body["value"] = " ".join(reading)
    if instrument:
        body["instrument"] = instrument
    if conditions:
        body["conditions"] = list(conditions)
    return body


def _pair(item: str, inspection: Inspection) -> list[str]:
    stimulus, separator, response = item.partition("=")
    if not separator or not stimulus or not response:
        raise BadInputError(
            Problem(NOWHERE, "reading-form", f"{item!r} for {inspection.id}", reading_forms(inspection))
        )
    return [stimulus, response]


@dataclass(frozen=True, slots=True)
class Kept:
    """What came of recording something.

    Attributes:
        before, after: the triage before and after.
        head: the new head digest.
        told: the triage after, its texts in the units preferred.
        reading: what a reading says, in the units preferred; None for results in words.
    """

    before: Triage
    after: Triage
    head: str
    told: Triage
    reading: Judged | None = None

    @classmethod
    def aside(cls, path: Path, inspection: str, why: str, book: Book, layers: tuple[Path, ...]) -> Kept:
        """Set an inspection aside, so that another is proposed, and give what came of it."""
        body = {"adds": {"set_aside": {inspection: why}}}
        head, before, after = append(path, "amendment", body, book, layers)
        return cls(before, after, head, after)


def _advised(document: Mapping[str, Any], book: Book, display: str = AS_WRITTEN) -> Triage:
    return advise(case_of(document, book), book, display=display)


def _told(document: Mapping[str, Any], book: Book, after: Triage, display: str) -> Triage:
    """Give the triage for the eye; what is kept never has a preference in it."""
    return after if display == AS_WRITTEN else _advised(document, book, display)


def record(
    path: Path, body: Mapping[str, Any], book: Book, layers: tuple[Path, ...], display: str = AS_WRITTEN
) -> Kept:
    """Keep a reading, unless it cannot be used.

    Raises:
        BadInputError: the reading or the file cannot be used; nothing is written.
        DamagedRecordError: the file's digests do not hold.
    """
    events = events_of(path)
    document = state.merged(events)
    before = _advised(document, book)
    tried = {**document, "readings": [*document.get("readings", ()), body]}
    after = _advised(tried, book)
    head = keep_advice(path, after, book, layers, [("reading", body)], events[-1].digest)
    case = case_of(tried, book)
    says = judged(case.taken[len(tried["readings"]) - 1], case, book, display)
    return Kept(before, after, head, _told(tried, book, after, display), says)


def withdrawn(
    path: Path, number: int, book: Book, layers: tuple[Path, ...], display: str = AS_WRITTEN
) -> Kept:
    """Withdraw a reading by the number of its event; it stays in the file but no longer counts.

    Raises:
        BadInputError: there is no such reading.
    """
    events = events_of(path)
    body = state.withdrawal(events, number)
    before = _advised(state.merged(events), book)
    last = events[-1]
    left = state.merged((*events, seal(last.n + 1, now(), "withdrawal", last.digest, body)))
    after = _advised(left, book)
    head = keep_advice(path, after, book, layers, [("withdrawal", body)], last.digest)
    return Kept(before, after, head, _told(left, book, after, display))
