"""What is done with a case from its page: set aside, undone, bought, mended, watched, verified, closed."""

from __future__ import annotations

import re
from typing import Any

from proveout.app.amending import last_step
from proveout.app.facts import code_from
from proveout.app.filing import append
from proveout.app.meant import tried
from proveout.app.recording import appended, reading_of, withdrawn
from proveout.app.verifying import asked_after, known_monitors
from proveout.measure.distance import distance, kilometres
from proveout.measure.number import NumberError, read_number
from proveout.model.case import SET_ASIDE
from proveout.record.bodies import Amendment, Body
from proveout.record.closing import close_body, confirmation, reopening_body
from proveout.record.deeds import (
    counters_from,
    mending_body,
    purchase_body,
    repair_body,
    verification_body,
    watch_body,
)
from proveout.record.event import Event
from proveout.record.state import merged
from proveout.web.asking import Answer, Ask, Fields, Moved, unusable
from proveout.web.desk import Desk

_MOST_MONEY, _MOST_MINUTES = 1e9, 1e6


def set_aside(desk: Desk, ask: Ask) -> Answer:
    """Set the proposed inspection aside, with why; another is proposed."""
    name, why = ask.place["name"], ask.fields.one("why")
    if why not in SET_ASIDE:
        raise unusable("why not", f"{why!r}", f"one of {', '.join(SET_ASIDE)}")
    desk.unmoved(name, ask.fields.one("seen"))
    aside = Amendment(adds={"set_aside": {ask.fields.one("inspection"): why}})
    kept = appended(desk.path(name), aside, desk.book, desk.layers)
    desk.remember(kept.head, kept.after)
    return Moved(f"/case/{name}")


def undo(desk: Desk, ask: Ask) -> Answer:
    """Take back the last step."""
    name = ask.place["name"]
    events = desk.unmoved(name, ask.fields.one("seen"))
    kept = withdrawn(desk.path(name), last_step(events), desk.book, desk.layers)
    desk.remember(kept.head, kept.after)
    return Moved(f"/case/{name}")


def _done(desk: Desk, name: str, events: tuple[Event, ...], body: Body) -> Answer:
    """Keep what was done, and the advice that is due after it."""
    path = desk.path(name)
    append(path, events, body)
    desk.settle(path)
    return Moved(f"/case/{name}")


def bought(desk: Desk, ask: Ask) -> Answer:
    """Record that a part was bought."""
    name, cause = ask.place["name"], ask.fields.one("cause")
    events = desk.unmoved(name, ask.fields.one("seen"))
    cost = _figure(ask.fields, "cost", "what it cost", _MOST_MONEY)
    if cost is None:
        raise unusable("what it cost", "nothing", "a number, such as 12,50")
    return _done(desk, name, events, purchase_body(events, desk.book, cause, cost))


def mended(desk: Desk, ask: Ask) -> Answer:
    """Record the repair of a proven cause."""
    name = ask.place["name"]
    events = desk.unmoved(name, ask.fields.one("seen"))
    took = _figure(ask.fields, "minutes", "how long it took", _MOST_MINUTES)
    return _done(desk, name, events, repair_body(events, desk.book, ask.fields.one("cause"), minutes=took))


def put_right(desk: Desk, ask: Ask) -> Answer:
    """Record that a plain defect was put right, to be watched."""
    name = ask.place["name"]
    events = desk.unmoved(name, ask.fields.one("seen"))
    took = _figure(ask.fields, "minutes", "how long it took", _MOST_MINUTES)
    return _done(desk, name, events, mending_body(events, desk.book, ask.fields.one("cause"), minutes=took))


def watched(desk: Desk, ask: Ask) -> Answer:
    """Record whether the trouble stayed away since."""
    name = ask.place["name"]
    events = desk.unmoved(name, ask.fields.one("seen"))
    return _done(desk, name, events, watch_body(events, ask.fields.one("since")))


def closed(desk: Desk, ask: Ask) -> Answer:
    """End a case."""
    name = ask.place["name"]
    events = desk.unmoved(name, ask.fields.one("seen"))
    append(desk.path(name), events, close_body(events, desk.book, ask.fields.one("outcome")))
    return Moved(f"/case/{name}")


def reopened(desk: Desk, ask: Ask) -> Answer:
    """Open a closed case again."""
    name = ask.place["name"]
    events = desk.unmoved(name, ask.fields.one("seen"))
    return _done(desk, name, events, reopening_body(events, ask.fields.one("reason")))


def verified(desk: Desk, ask: Ask) -> Answer:
    """Record what showed after a repair."""
    name, fields = ask.place["name"], ask.fields
    events = desk.unmoved(name, fields.one("seen"))
    due = asked_after(events, confirmation(events, desk.book), desk.book)
    known = known_monitors(desk.book)
    body = verification_body(
        events,
        desk.book,
        repeated=[item for one in due.again if (item := _again(desk, events, one, fields))],
        codes_cleared=fields.has("cleared"),
        codes_now=_codes(fields),
        codes_read=fields.has("none-stored") or fields.has("codes"),
        monitors_run=[item for item in fields.every("monitor") if item in known],
        driven_km=_driven(fields),
        counters=counters_from(fields.one("counters").split()),
        gone=[item for item in due.gone if item in fields.every("gone")],
    )
    return _done(desk, name, events, body)


def _again(desk: Desk, events: tuple[Event, ...], name: str, fields: Fields) -> dict[str, Any]:
    """Return what an inspection gave when it was done again; nothing where it was not."""
    words = tuple((fields.one(f"reading-{name}") or fields.one(f"again-{name}")).split())
    if not words:
        return {}
    tried(name, words, merged(events), desk.book)
    return reading_of(name, words, "", (), desk.book).kept()


def _codes(fields: Fields) -> list[Any]:
    """Return the codes stored now."""
    typed = [text for text in re.split(r"[,;\s]+", fields.one("codes")) if text]
    if typed and fields.has("none-stored"):
        raise unusable("codes stored now", "codes, and that none is stored", "one of the two")
    return [code_from(text) for text in typed]


def _driven(fields: Fields) -> float:
    """Return how far it was driven, km."""
    typed = fields.one("driven")
    if not typed:
        return 0.0
    try:
        value, unit = distance(typed)
    except ValueError as error:
        raise unusable("how far it was driven", str(error)) from None
    return kilometres(value, unit or ("mi" if fields.one("driven-unit") == "mi" else "km"))


def _figure(fields: Fields, name: str, called: str, most: float) -> float | None:
    """Return a number of a form; None where it was left out."""
    typed = fields.one(name)
    if not typed:
        return None
    try:
        value = read_number(typed).value
    except NumberError as error:
        raise unusable(called, error.saw, mend=error.mend) from None
    if not 0 <= value < most:
        raise unusable(called, typed, f"a number from 0 to {most:g}")
    return value
