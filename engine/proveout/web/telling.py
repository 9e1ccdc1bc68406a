"""A new case, and what turns up later: codes, symptoms and facts of the vehicle from a form."""

from __future__ import annotations

import re
import secrets
from collections.abc import Mapping
from datetime import UTC, datetime
from typing import Any

from proveout.app.amending import drops
from proveout.app.facts import age_from, document_from
from proveout.app.filing import events_of
from proveout.app.opening import keep
from proveout.app.recording import appended
from proveout.app.searching import KINDS
from proveout.measure.distance import distance, kilometres
from proveout.model.book import Book
from proveout.model.problem import BadInputError
from proveout.record.bodies import Amendment
from proveout.record.state import merged
from proveout.web.asking import Answer, Ask, Fields, Moved, Page, unusable
from proveout.web.desk import Desk, called

_FUELS = ("petrol", "diesel", "E85", "LPG", "CNG", "hybrid")
_MARK = re.compile(r"[A-Za-z0-9-]{8,64}")
_CODE = re.compile(r"[PBCU][0-3][0-9A-F]{3}(?::\w+)?", re.IGNORECASE)


def new(desk: Desk, ask: Ask) -> Answer:
    """Show the form of a new case."""
    return _form(desk, ask, ())


def _form(desk: Desk, ask: Ask, problems: tuple[Any, ...], of: str = "", status: int = 200) -> Page:
    """Show the form of a new case, or of what is to be added to the case of a name."""
    tools = sorted((tool for tool in desk.book.words.tools.values() if not tool.basic), key=lambda t: t.title)
    data: dict[str, Any] = {
        "name": of,
        "title": "",
        "seen": "",
        "held": {},
        "mark": secrets.token_hex(8),
        "tools": tools,
        "fuels": _FUELS,
        "given": ask.fields,
        "picked": _picked(ask.fields, desk.book),
        "problems": problems,
        "book": desk.book,
    }
    if of:
        events = events_of(desk.path(of))
        document = merged(events)
        data |= {"title": called(document, of), "seen": events[-1].digest, "held": document}
    return Page("intake.html", data, status)


def _picked(fields: Fields, book: Book) -> list[tuple[str, str, str]]:
    """Return what was picked in a form that is shown again: kind, id and title of each."""
    words = book.words
    titles: Mapping[str, Mapping[str, Any]] = {
        "symptoms": words.symptoms,
        "symptoms_absent": words.symptoms,
        "happens_when": words.circumstances,
        "recent_work": words.recent_work,
        "replaced": words.components,
    }
    found = [(kind, key) for kind in KINDS for key in fields.every(kind)]
    return [
        (kind, key, titles[kind][key].title if kind in titles and key in titles[kind] else key)
        for kind, key in found
    ]


def open_new(desk: Desk, ask: Ask) -> Answer:
    """Open a case; the same form sent twice opens one."""
    mark = ask.fields.one("mark")
    if not _MARK.fullmatch(mark):
        raise unusable("this form", "a form that is not from here", mend="open the page again")
    try:
        document = _document(ask.fields, desk.book)
        if not any(document.get(key) for key in ("codes", "symptoms", "said")):
            expected = "a code, or something that you notice"
            raise unusable("what is stored or noticed", "nothing", expected)
        path = desk.folder.new(_called(document), datetime.now(UTC).strftime("%Y-%m-%d"), mark)
        if not path.exists():
            head, answer = keep(path, document, desk.book, desk.layers)
            desk.remember(head, answer)
        elif events_of(path)[0].body != document:
            raise unusable("this form", "it opened another case before", mend="open a new form")
    except BadInputError as error:
        return _form(desk, ask, error.problems, status=422)
    return Moved(f"/case/{path.name}")


def adding(desk: Desk, ask: Ask) -> Answer:
    """Show the form of what is to be added to a case."""
    return _form(desk, ask, (), ask.place["name"])


def add(desk: Desk, ask: Ask) -> Answer:
    """Add to a case what turned up later, and take back what was wrong."""
    name = ask.place["name"]
    events = desk.unmoved(name, ask.fields.one("seen"))
    try:
        adds = _document(ask.fields, desk.book)
        dropped = drops(ask.fields.every("drop"), merged(events), desk.book)
        if not adds and not dropped:
            raise unusable("what turned up", "nothing", "something to add, or to take back")
        kept = appended(desk.path(name), Amendment(adds=adds, drops=dropped), desk.book, desk.layers)
    except BadInputError as error:
        return _form(desk, ask, error.problems, name, 422)
    desk.remember(kept.head, kept.after)
    return Moved(f"/case/{name}")


def _called(document: Mapping[str, Any]) -> str:
    """Return words by which a new case is called."""
    about, codes = document.get("about", {}), document.get("codes", ())
    first = [item if isinstance(item, str) else item["code"] for item in codes][:2]
    return " ".join([str(about.get("job") or about.get("vehicle") or ""), *first])


def _document(fields: Fields, book: Book) -> dict[str, Any]:
    """Return the part of an intake document that a form amounts to.

    What stands in the search fields and was not picked counts as typed: codes as codes, the rest as said.
    """
    typed = [word for text in fields.every("typed") for word in re.split(r"[,;]+", text) if word.strip()]
    codes = [word for text in typed for word in text.split() if _CODE.fullmatch(word)]
    left = [" ".join(word for word in text.split() if not _CODE.fullmatch(word)) for text in typed]
    given: dict[str, Any] = {
        "codes": [*fields.every("codes"), *codes],
        "said": [*fields.every("said"), *(text for text in left if text)],
        "symptoms": fields.every("symptoms"),
        "absent": fields.every("symptoms_absent"),
        "happens_when": fields.every("happens_when"),
        "recent_work": fields.every("recent_work"),
        "replaced": fields.every("replaced"),
        "tools": fields.every("tools"),
        "fuel": fields.one("fuel") or None,
        "engine": fields.one("engine") or None,
        "mileage_km": _mileage(fields),
        "vehicle_name": fields.one("vehicle") or None,
        "plate": fields.one("plate") or None,
        "owner": fields.one("owner") or None,
        "job": fields.one("job") or None,
        "currency": fields.one("currency") or None,
    }
    document, _ = document_from(given, book)
    if age := _age(fields):
        document["vehicle"] = {**document.get("vehicle", {}), **age}
    return document


def _age(fields: Fields) -> dict[str, Any]:
    if not fields.one("age"):
        return {}
    try:
        return age_from(fields.one("age"), datetime.now(UTC).year)
    except ValueError as error:
        raise unusable("age or year", str(error)) from None


def _mileage(fields: Fields) -> float | None:
    """Return the mileage, km."""
    if not fields.one("mileage"):
        return None
    try:
        value, unit = distance(fields.one("mileage"))
    except ValueError as error:
        raise unusable("mileage", str(error)) from None
    return kilometres(value, unit or ("mi" if fields.one("mileage-unit") == "mi" else "km"))
