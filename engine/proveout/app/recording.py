"""Turns what was typed into a reading, tries it on the case, and only then keeps it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from msgspec import Struct

from proveout.app.before import Before, before_by_advice, before_by_sheet
from proveout.app.filing import events_of
from proveout.app.keeping import keep_advice, now
from proveout.app.opening import checked
from proveout.audit.replay import book_digest
from proveout.intake.answers import meant
from proveout.intake.document import case_of, unknown_id
from proveout.intake.forms import reading_forms
from proveout.intake.readings import readings_of
from proveout.intake.sheet import sheet_of
from proveout.measure.judging import Judged
from proveout.model.advice import Triage
from proveout.model.atom import CANNOT_TELL
from proveout.model.book import Book
from proveout.model.case import Read
from proveout.model.entries import Inspection
from proveout.model.problem import NOWHERE, BadInputError, Problem
from proveout.plan.advice import advise
from proveout.plan.proof import claims, hypotheses_of
from proveout.record import state
from proveout.record.bodies import Advice, Body, Reading, body_of
from proveout.record.closing import check_open
from proveout.record.event import Event, seal
from proveout.weigh.inference import infer


def _inspection(name: str, book: Book) -> Inspection:
    if name not in book.inspections:
        raise BadInputError(unknown_id("inspection", name, book.inspections, NOWHERE))
    return book.inspections[name]


def reading_of(
    name: str, reading: tuple[str, ...], instrument: str, conditions: tuple[str, ...], book: Book
) -> Reading:
    """Return a reading from what was typed."""
    inspection = _inspection(name, book)
    reading = meant(reading, inspection)
    said = " ".join(reading)
    given: dict[str, Any] = {}
    words = {result.id for result in inspection.results} | {CANNOT_TELL}
    if said in words or (said and inspection.reading is None):
        given["result"] = said
    elif inspection.reading is not None and inspection.reading.series:
        given["series"] = [_pair(item, inspection) for item in reading]
    else:
        given["value"] = said
    return Reading(inspection=name, instrument=instrument, conditions=list(conditions), **given)


def _pair(item: str, inspection: Inspection) -> list[str]:
    stimulus, separator, response = item.partition("=")
    if not separator or not stimulus or not response:
        raise BadInputError(
            Problem(NOWHERE, "reading-form", f"{item!r} for {inspection.id}", reading_forms(inspection))
        )
    return [stimulus, response]


class Kept(Struct, frozen=True):
    """What came of recording something.

    Attributes:
        before: how the case stood before.
        after: the triage after.
        head: the new head digest.
        reading: what a reading says; None for results in words.
    """

    before: Before
    after: Triage
    head: str
    reading: Judged | None = None


def record(
    path: Path,
    reading: Reading,
    book: Book,
    layers: tuple[Path, ...],
    seen: Sequence[Event] | None = None,
) -> Kept:
    """Keep a reading, unless it cannot be used.

    Args:
        path: the case file.
        reading: what was read.
        book: the rules.
        layers: directories laid over the shipped rules.
        seen: the events of the file, where they were just read; it is refused where others came meanwhile.

    Raises:
        BadInputError: the reading or the file cannot be used; nothing is written.
        DamagedRecordError: the file's digests do not hold.
    """
    events = seen or events_of(path)
    check_open(events)
    document = state.merged(events)
    given = document.get("readings", ())
    case = case_of({**document, "readings": [*given, reading.kept()]}, book)
    readings = readings_of(case, book)
    new = readings[len(given)]
    former = readings[: len(given)] + readings[len(given) + 1 :]
    after = advise(case, book, sheet=sheet_of(case, book, readings))
    before = _before(events, document, former, book)
    head = keep_advice(path, after, book, layers, [reading], events[-1].digest)
    return Kept(before, after, head, new.told if isinstance(new.told, Judged) else None)


def appended(path: Path, body: Body, book: Book, layers: tuple[Path, ...]) -> Kept:
    """Append an event that changes what is known, such as an amendment, with the advice that follows.

    Raises:
        BadInputError: what then is known cannot be used; nothing is written.
        DamagedRecordError: the file's digests do not hold.
    """
    events = events_of(path)
    check_open(events)
    last = events[-1]
    before = _before(events, state.merged(events), None, book)
    after = checked(
        state.merged((*events, seal(last.n + 1, now(), body.kind, last.digest, body.kept()))), book
    )
    return Kept(before, after, keep_advice(path, after, book, layers, [body], last.digest))


def withdrawn(path: Path, number: int, book: Book, layers: tuple[Path, ...], reason: str = "") -> Kept:
    """Withdraw a reading, note or amendment by the number of its event; it stays in the file, not counted.

    Raises:
        BadInputError: there is no such event.
    """
    return appended(path, state.withdrawal(events_of(path), number, reason), book, layers)


def _before(
    events: Sequence[Event], document: Mapping[str, Any], readings: Sequence[Read] | None, book: Book
) -> Before:
    """Return how a case stands: by its last advice, where that is the last event and of this very book.

    Else it is inferred; what would be done next is not asked, as no change is told from it.

    Args:
        events: of the case.
        document: merged of them.
        readings: judged already, where they are.
        book: the rules.
    """
    last = events[-1]
    if last.kind == "advice" and book_digest(last) == book.digest and "inputs" in last.body:
        made = Counter(item["inspection"] for item in document.get("readings", ()))
        made.update(document.get("results", {}).keys())
        return before_by_advice(body_of(last, Advice), [name for name, times in made.items() if times > 1])
    case = case_of(document, book)
    sheet = sheet_of(case, book, readings)
    found = infer(book, sheet)
    facts, belief = found.chained.facts, found.posterior
    claimed = claims(book, sheet, facts, belief, case.costs)
    return before_by_sheet(sheet, hypotheses_of(book, sheet, facts, belief, claimed))
