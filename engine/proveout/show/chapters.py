"""The story of a case, repair by repair, in sentences: each says what the record and its advices show."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from proveout.audit.chapters import CAME_BACK, HELD, NOT_SHOWN, Chapter, Step, result_of
from proveout.intake.telling import said as said_of
from proveout.model.atom import RESULT, Observable
from proveout.model.book import Book
from proveout.model.preference import AS_WRITTEN
from proveout.readiness.status import monitor_said
from proveout.record.bodies import (
    Advice,
    Amendment,
    Close,
    Mending,
    Note,
    Purchase,
    Reading,
    Reopening,
    Repair,
    Verification,
    Watch,
    Withdrawal,
    body_of,
)
from proveout.show.argument import against_text
from proveout.show.figures import money, percent
from proveout.text.unhyphened import unhyphened

_OUTCOMES = {
    HELD: "it held",
    CAME_BACK: "the trouble came back",
    NOT_SHOWN: "whether it held was not shown",
}
#: Past participles of the actions of remedies.
_DONE = {
    "replace": "replaced",
    "repair": "repaired",
    "clean": "cleaned",
    "tighten": "tightened",
    "clear-passage": "passage cleared",
    "relearn": "learnt anew",
    "reprogram": "reprogrammed",
    "refer": "handed over",
    "nothing": "left as it is",
}


def heading(chapter: Chapter) -> str:
    """Return what a chapter is about, and how it ended."""
    if chapter.mended is None:
        return f"{chapter.number}. What was done{' after that' if chapter.number > 1 else ''}"
    cause = str(chapter.mended.event.body["cause"])
    return f"{chapter.number}. {_cause(chapter.mended.book, cause)}: {_OUTCOMES[chapter.outcome]}"


def known(chapter: Chapter, book: Book | None) -> list[str]:
    """Return in sentences what was known at the beginning of a chapter."""
    document = chapter.start
    told = []
    for key, name in (("codes", "Codes"), ("symptoms", "Symptoms"), ("replaced", "Replaced before")):
        items = [_called(key, item, book) for item in document.get(key, ())]
        if items:
            told.append(f"{name}: {', '.join(items)}.")
    if chapter.number > 1:
        return told
    made = [_inspection(book, item["inspection"]) for item in document.get("readings", ())]
    return [*told, f"Inspected before the case was opened: {', '.join(made)}."] if made else told


def sentences(step: Step, display: str = AS_WRITTEN) -> list[str]:
    """Return what one event was, in sentences; the first names it."""
    return _TOLD.get(step.event.kind, _other)(step, display)


def _reading(step: Step, display: str) -> list[str]:
    said = ""
    if step.sheet is not None:
        said = said_of(step.sheet, Observable(RESULT, step.inspection), display)
    given = body_of(step.event, Reading)
    said = unhyphened(said or str(given.result or given.value or "a series"))
    words = [word for word in map(unhyphened, result_of(step)) if word != said]
    came = f", which means {' or '.join(words)}" if words else ""
    asked = ", as was proposed" if step.was_proposed else ""
    told = [f"{_inspection(step.book, step.inspection).rstrip('?')}{asked}: {said}{came}."]
    if step.withdrawn is not None:
        reason = body_of(step.withdrawn, Withdrawal).reason
        why = f" ({reason})" if reason else ""
        return [*told, f"It was taken back later, by event {step.withdrawn.n}{why}, and counts no longer."]
    return told + _moved(step)


def _moved(step: Step) -> list[str]:
    """Say what the advice that came with an event says, beside the one before."""
    if step.told is None:
        return []
    before = {item.id: item.confidence for item in step.before.causes} if step.before else {}
    told = []
    if step.told.causes:
        lead = max(step.told.causes, key=lambda item: item.confidence)
        was = f", before it {percent(before[lead.id])}" if lead.id in before else ""
        told.append(f"Likeliest then: {_cause(step.book, lead.id)} ({percent(lead.confidence)}{was}).")
    return [*told, f"Advice: {advice_said(step.told, step.book)}."]


def advice_said(advice: Advice, book: Book | None) -> str:
    """Return what an advice said to do, in a few words."""
    kind, cause = advice.verdict.kind, advice.verdict.cause
    if kind == "inspect" and advice.next:
        return f"inspect further, next “{_inspection(book, advice.next)}”"
    words = {
        "inspect": "inspect further",
        "repair": "repair",
        "refer": "hand it over",
        "none": "nothing to mend",
        "mend": "put it right and watch",
        "watch": "watch",
    }
    return words.get(kind, kind) + (f", {_cause(book, cause)}" if cause else "")


def _purchase(step: Step, _display: str) -> list[str]:
    body = body_of(step.event, Purchase)
    told = [f"Bought: {body.part} for {_paid(step, body.cost)}, for “{_cause(step.book, body.cause)}”."]
    item = step.argument
    if item is None:
        why = "no advice was given before it" if step.before is None else "the book of its advice is not kept"
        return [*told, f"Why cannot be told: {why}."]
    return [*told, against_text(item) or "The advice had said so."]


def _paid(step: Step, amount: float) -> str:
    """Return an amount in the currency of the advice that it belongs to."""
    return money(amount, step.currency)


def _repair(step: Step, _display: str) -> list[str]:
    body = body_of(step.event, Repair)
    took = f" in {body.minutes:g} min" if body.minutes else ""
    told = [f"{_cause(step.book, body.cause)}: {_DONE.get(body.action, body.action)}{took}."]
    if body.codes_cleared:
        told.append("The codes were cleared.")
    if step.lost:
        titles = ", ".join(_inspection(step.book, name) for name in step.lost)
        told.append(f"What was read of the old part no longer counts: {titles}.")
    return told + ([body.note] if body.note else [])


def _mending(step: Step, _display: str) -> list[str]:
    body = body_of(step.event, Mending)
    cost = f" for {_paid(step, body.cost)}" if body.cost else ""
    told = [f"{_cause(step.book, body.cause)}: put right{cost}, to watch what comes of it."]
    return told + ([body.note] if body.note else []) + _moved(step)


def _watch(step: Step, _display: str) -> list[str]:
    body = body_of(step.event, Watch)
    told = "The trouble came back." if step.back else "The trouble stayed away."
    return [told, *([body.note] if body.note else []), *_moved(step)]


def _verification(step: Step, _display: str) -> list[str]:
    body = body_of(step.event, Verification)
    done = ["The codes were cleared."] if body.codes_cleared else []
    done += [f"Driven: {body.driven_km:g} km."] if body.driven_km else []
    run = ", ".join(map(monitor_said, body.monitors_run))
    done += [f"Run: the monitors {run}."] if run else []
    for item in body.repeated:
        gave = item.get("result") or item.get("value") or "a series"
        done.append(f"Made again: {_inspection(step.book, str(item['inspection']))}: {gave}.")
    now = [_called("codes", item, step.book) for item in body.codes_now]
    if now:
        done.append(f"Stored again: {', '.join(now)}.")
    elif body.read_codes:
        done.append("The codes were read: none is stored.")
    gone = [_called("symptoms", item, step.book) for item in body.gone]
    done += [f"Gone: {', '.join(gone)}."] if gone else []
    if step.back:
        done.append("So the trouble was back.")
    elif step.found is not None and step.found.confirmed:
        done.append("So the repair is confirmed.")
    elif step.found is not None:
        done.append(f"So it is not confirmed yet: {' '.join(step.found.missing)}")
    return ["Whether it held was looked at.", *done, *([body.note] if body.note else [])]


def _close(step: Step, _display: str) -> list[str]:
    body = body_of(step.event, Close)
    cause = f": {_cause(step.book, body.cause)}" if body.cause else ""
    return [f"Closed as {unhyphened(body.outcome)}{cause}.", *([body.note] if body.note else [])]


def _reopening(step: Step, _display: str) -> list[str]:
    return [f"Opened again: {body_of(step.event, Reopening).reason}"]


def _withdrawal(step: Step, _display: str) -> list[str]:
    return [f"Event {body_of(step.event, Withdrawal).event} was taken back.", *_moved(step)]


def _amendment(step: Step, _display: str) -> list[str]:
    body = body_of(step.event, Note if step.event.kind == Note.kind else Amendment)
    told = [body.text] if isinstance(body, Note) and body.text else []
    for key, items in body.adds.items():
        if isinstance(items, list):
            told.append(f"Added under {key}: {', '.join(_called(key, item, step.book) for item in items)}.")
        else:
            told.append(f"Added: {key}.")
    for key, items in body.drops.items():
        told.append(f"Taken out of {key}: {', '.join(_called(key, item, step.book) for item in items)}.")
    return (told or ["A note."]) + _moved(step)


def _other(step: Step, _display: str) -> list[str]:
    return [f"{step.event.kind}."]


_TOLD: Mapping[str, Callable[[Step, str], list[str]]] = {
    Reading.kind: _reading,
    Purchase.kind: _purchase,
    Repair.kind: _repair,
    Mending.kind: _mending,
    Watch.kind: _watch,
    Verification.kind: _verification,
    Close.kind: _close,
    Reopening.kind: _reopening,
    Withdrawal.kind: _withdrawal,
    Amendment.kind: _amendment,
    Note.kind: _amendment,
}


def _cause(book: Book | None, cause: str) -> str:
    return book.causes[cause].title if book is not None and cause in book.causes else cause


def _inspection(book: Book | None, name: str) -> str:
    name = book.former.get(f"inspection {name}", name) if book is not None else name
    return book.inspections[name].title if book is not None and name in book.inspections else name


def _called(key: str, item: Any, book: Book | None) -> str:
    """Return what an item of a list of an intake document is called."""
    if isinstance(item, Mapping):
        if "code" in item:
            return " ".join(str(item[part]) for part in ("code", "status") if part in item)
        return _inspection(book, str(item.get("inspection", item.get("cause", ""))))
    if book is None:
        return str(item)
    known_words: Mapping[str, Mapping[str, Any]] = {
        "symptoms": book.words.symptoms,
        "symptoms_absent": book.words.symptoms,
        "happens_when": book.words.circumstances,
        "recent_work": book.words.recent_work,
        "replaced": book.words.components,
        "tools": book.words.tools,
    }
    found = known_words.get(key, {})
    name = book.former.get(f"symptom {item}", item) if key.startswith("symptoms") else item
    return str(found[name].title) if name in found else str(item)
