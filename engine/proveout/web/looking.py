"""Pages to look at: the list of cases, a case as it stands, why, the report, search."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from proveout.app.before import last_change
from proveout.app.filing import events_of, reminders_for
from proveout.app.job import TO_MEND, TO_VERIFY, Stage
from proveout.app.searching import KINDS, search
from proveout.app.source import open_case
from proveout.app.story import story_of
from proveout.app.verifying import asked_after, known_monitors
from proveout.intake.called import observable_title
from proveout.intake.telling import notes
from proveout.model.advice import Triage
from proveout.model.atom import CODE, RESULT, Observable
from proveout.model.belief import Entry
from proveout.model.book import Book
from proveout.model.case import SET_ASIDE
from proveout.readiness.warranty import ASK_FIRST
from proveout.record.ahead import still_to_drive
from proveout.record.closing import confirmation, ending
from proveout.record.documents import reasons
from proveout.record.event import Event
from proveout.record.state import merged
from proveout.show import driving
from proveout.show.cautions import caution_titles, remedy_said
from proveout.show.change import moves
from proveout.show.deeds import ending_text
from proveout.show.documents import why_document
from proveout.show.html import STYLE
from proveout.show.jobsheet import job_sheet_html
from proveout.show.report import ASSESSOR, READERS, report_html
from proveout.show.triage import headline
from proveout.text.unhyphened import unhyphened
from proveout.web.asking import Answer, Ask, Data, Page, Sheet
from proveout.web.desk import Desk, called

_LONGEST_SEARCH = 200


def cases(desk: Desk, ask: Ask) -> Answer:
    """Show the list of cases."""
    words = ask.fields.one("words")[:_LONGEST_SEARCH]
    rows = [(row, desk.called(row)) for row in desk.folder.rows(words)]
    return Page("cases.html", {"rows": rows, "words": words, "book": desk.book})


def terms(desk: Desk, _ask: Ask) -> Answer:
    """Show the words of the trade with what they mean."""
    glossary = desk.book.words.glossary
    ordered = sorted(glossary.values(), key=lambda term: term.title.casefold())
    return Page("terms.html", {"terms": ordered, "book": desk.book})


def find(desk: Desk, ask: Ask) -> Answer:
    """Answer a search over codes and words."""
    kinds = [kind for kind in ask.fields.every("kind") if kind in KINDS] or KINDS
    found = search(ask.fields.one("q")[:_LONGEST_SEARCH], desk.book, kinds)
    return Data({"found": [{"kind": one.kind, "id": one.id, "title": one.title} for one in found]})


def head(desk: Desk, ask: Ask) -> Answer:
    """Say which event of a case is the last, so that a page can tell that it is old."""
    return Data({"head": events_of(desk.path(ask.place["name"]))[-1].digest})


def case(desk: Desk, ask: Ask) -> Answer:
    """Show a case as it stands, with what is to be done now."""
    name = ask.place["name"]
    events = events_of(desk.path(name))
    stage = desk.stage(events)
    data = _common(desk, name, events)
    data |= {"stage": stage, "reasons_aside": SET_ASIDE, "changed": None}
    if stage.answer is not None:
        data |= _answered(desk, stage.answer) | {"changed": _changed(desk, events, stage.answer)}
    data |= _remedy(desk, events, stage) if stage.cause in desk.book.causes else {}
    data |= _verifying(desk, events) if stage.kind == TO_VERIFY else {}
    if ended := ending(events):
        data["ended"] = ending_text(ended, desk.book)
    return Page("case.html", data)


def _common(desk: Desk, name: str, events: tuple[Event, ...]) -> dict[str, Any]:
    """Return what every page of a case is filled with."""
    document = merged(events)
    return {
        "name": name,
        "title": called(document, name),
        "seen": events[-1].digest,
        "document": document,
        "book": desk.book,
        "events": len(events),
        "currency": _currency(document),
    }


def _currency(document: Mapping[str, Any]) -> str:
    return str(document.get("costs", {}).get("currency", ""))


def _answered(desk: Desk, answer: Triage) -> dict[str, Any]:
    """Return what a page shows of a triage."""
    book, urgent = desk.book, answer.driving_on
    return {
        "answer": answer,
        "headline": headline(answer, book),
        "reasons": reasons(answer, book, desk.display),
        "urgency": urgent.do or "unknown",
        "urgent": driving.heading(urgent),
        "urgent_because": driving.reasons(urgent),
        "urgent_cautions": driving.cautions(urgent, book),
        "notes": notes(answer.sheet, desk.display),
        "next_cautions": caution_titles(book, book.inspections[answer.next.inspection])
        if answer.next
        else [],
    }


def _changed(desk: Desk, events: tuple[Event, ...], answer: Triage) -> dict[str, Any] | None:
    """Return what the last step changed, and where it was a reading, what that says."""
    found = last_change(events)
    if found is None:
        return None
    step, before = found
    read = None
    if step.kind == "reading" and answer.sheet.readings:
        read = answer.sheet.readings[-1]
    return {
        "step": step,
        "moves": moves(before, answer),
        "read": read,
        "said": read.said(desk.display) if read else "",
        "yields": read.told.yields(desk.display) if read and read.told else (),
        "noted": read.told.noted(desk.display) if read and read.told else (),
    }


def _remedy(desk: Desk, events: tuple[Event, ...], stage: Stage) -> dict[str, Any]:
    """Return what mends a cause, and who else may pay for it."""
    cause = desk.book.causes[stage.cause]
    due = reminders_for(events, desk.book, cause.id) if stage.kind == TO_MEND else ()
    return {
        "cause": cause,
        "remedy": remedy_said(cause.remedy, _currency(merged(events))),
        "remedy_cautions": [desk.book.words.cautions[key] for key in cause.remedy.cautions],
        "ask_first": ASK_FIRST,
        "reminders": due,
    }


def _verifying(desk: Desk, events: tuple[Event, ...]) -> dict[str, Any]:
    """Return what is asked after a repair, and what is still missing."""
    found = confirmation(events, desk.book)
    return {
        "confirmation": found,
        "asked": asked_after(events, found, desk.book),
        "monitors": known_monitors(desk.book),
        "needs": still_to_drive(events, desk.book),
    }


def why(desk: Desk, ask: Ask) -> Answer:
    """Show why a cause stands where it does, rule by rule."""
    name = ask.place["name"]
    events = events_of(desk.path(name))
    answer = desk.stage(events).answer
    data = _common(desk, name, events)
    if answer is None or not answer.hypotheses:
        return Page("why.html", data | {"answer": None})
    known = [hypothesis.cause for hypothesis in answer.hypotheses]
    wanted = ask.fields.one("cause")
    cause = next((one for one in (wanted, answer.verdict.cause) if one in known), known[0])
    ledger = next(one for one in answer.ledgers if one.cause == cause)
    running, rows = 0.0, []
    for entry in ledger.entries:
        running += entry.decibans
        rows.append((entry, *_evidence(entry, desk.book), 1 / (1 + 10 ** (-running / 10))))
    told = why_document(answer, desk.book, cause)
    return Page("why.html", data | {"answer": answer, "cause_id": cause, "rows": rows, "told": told})


def _evidence(entry: Entry, book: Book) -> tuple[str, str]:
    """Return what a line of a ledger is about, and what was seen of it, in words."""
    kind, _, key = entry.what.partition(" ")
    if not key:
        return "How common it is" if entry.what == "prior" else entry.what, entry.said
    said = unhyphened(entry.said)
    absent = "not set" if kind == CODE else "not there"
    normal = kind != RESULT and said == "normal"
    return observable_title(book, Observable(kind, key)), absent if normal else said


def report(desk: Desk, ask: Ask) -> Answer:
    """Return the report of a case, to print or to hand over."""
    reader = ask.fields.one("for")
    path = desk.path(ask.place["name"])
    events = events_of(path)
    if reader not in READERS:
        return Page("report.html", _common(desk, path.name, events) | {"readers": READERS})
    story = story_of(
        open_case(str(path), desk.book).document,
        events,
        desk.book,
        file=path if reader == ASSESSOR else None,
        redact=ask.fields.has("redact"),
    )
    return Sheet(report_html(story, reader, desk.display), STYLE)


def sheet(desk: Desk, ask: Ask) -> Answer:
    """Return the job sheet of a case, to print."""
    events = events_of(desk.path(ask.place["name"]))
    return Sheet(job_sheet_html(story_of(merged(events), events, desk.book), desk.display), STYLE)
