"""One inspection on a page: cautions, steps, picture, limits; and what it gave."""

from __future__ import annotations

import secrets
from http import HTTPStatus
from typing import Any

from proveout.app.filing import events_of
from proveout.app.recording import reading_of
from proveout.app.sending import receive
from proveout.intake.document import case_of
from proveout.intake.readings import own_limits
from proveout.measure.compute import find_formula
from proveout.measure.display import scale_of
from proveout.measure.units import symbols_of
from proveout.model.atom import CANNOT_TELL
from proveout.model.case import Case
from proveout.model.entries import Inspection
from proveout.model.problem import BadInputError
from proveout.model.vehicle import only_for
from proveout.physics.formula import Parameter
from proveout.record.bodies import Reading
from proveout.record.state import merged
from proveout.show.cautions import caution_texts
from proveout.show.glossary import words_html
from proveout.show.inspection import band_text, prose_of
from proveout.show.pictures import CURVE, LEADS, WHERE, pictures_of
from proveout.web.asking import Answer, Ask, Fields, Moved, Page, RefusedError, unusable
from proveout.web.desk import Desk, called
from proveout.web.render import drawn

_UNKNOWN = "There is no inspection of that name in this book."


def inspection(desk: Desk, ask: Ask) -> Answer:
    """Show how an inspection is done, its cautions first."""
    return _page(desk, ask, {}, 200)


def _page(desk: Desk, ask: Ask, wrong: dict[str, Any], status: int) -> Page:
    name, wanted = ask.place["name"], ask.place.get("inspection") or ask.fields.one("inspection")
    entry = desk.book.inspections.get(wanted)
    events = events_of(desk.path(name))
    if entry is None:
        raise RefusedError(HTTPStatus.NOT_FOUND, _UNKNOWN)
    document = merged(events)
    data = {
        "name": name,
        "title": called(document, name),
        "seen": events[-1].digest,
        "mark": secrets.token_hex(12),
        "book": desk.book,
        "entry": entry,
        "kinds": only_for(entry.fits, entry.not_for),
        "cautions": caution_texts(desk.book, entry),
        "words": drawn(words_html(desk.book, prose_of(entry))),
        "acknowledged": bool(wrong) or ask.fields.has("read"),
        "cannot_tell": CANNOT_TELL,
        "given": ask.fields,
        "problems": (),
    }
    return Page("inspect.html", data | _limits(entry, case_of(document, desk.book), desk) | wrong, status)


def _limits(entry: Inspection, case: Case, desk: Desk) -> dict[str, Any]:
    """Return what a page shows besides: pictures, limits, units, what may be stated with a reading."""
    spec, own = entry.reading, own_limits(entry.id, case, desk.book)
    held = own.spec if own else spec
    found = {one.of: one for one in pictures_of(desk.book, entry, case.has, held, desk.display)}
    shown = {name: (drawn(one.svg), one.words) for name, one in found.items()}
    pictures = {"where": shown.get(WHERE), "leads": shown.get(LEADS), "curve": shown.get(CURVE)}
    if spec is None or held is None:
        return {"bands": (), "pictures": pictures, "units": (), "stated": (), "limits_source": ""}
    scale = scale_of(spec, desk.display)
    stated: tuple[Parameter, ...] = ()
    if spec.derived is not None:
        formula = find_formula(spec.derived.formula)
        stated = tuple(formula.parameter(item) for item in (*spec.derived.stated, *spec.derived.given))
    return {
        "bands": [(band.result, band_text(band, scale)) for band in held.bands],
        "pictures": pictures,
        "units": tuple(dict.fromkeys((spec.unit, *symbols_of(spec.quantity)))),
        "stated": stated,
        "limits_source": held.limits_source,
    }


def reading(desk: Desk, ask: Ask) -> Answer:
    """Keep what an inspection gave, once however often it is sent."""
    name = ask.place["name"]
    path = desk.path(name)
    if ask.fields.one("inspection") not in desk.book.inspections:
        raise RefusedError(HTTPStatus.NOT_FOUND, _UNKNOWN)
    try:
        given = _reading(ask.fields, desk)
        kept = receive(path, given, ask.fields.one("seen"), desk.book, desk.layers)
    except BadInputError as error:
        if ask.waits or error.problems[0].check in ("overtaken", "mark-used", "other-case"):
            raise
        return _page(desk, ask, {"problems": error.problems}, 422)
    if kept is not None:
        desk.remember(kept.head, kept.after)
    return Moved(f"/case/{name}")


def _reading(fields: Fields, desk: Desk) -> Reading:
    """Return the reading that a form holds."""
    entry = desk.book.inspections[fields.one("inspection")]
    words = _words(fields, entry)
    if not words:
        expected = "a reading, or one of the results"
        raise unusable("what it gave", "nothing", expected)
    under = [
        f"{item.removeprefix('under-')} {fields.one(item)}"
        for item in sorted(fields.given)
        if item.startswith("under-") and fields.one(item)
    ]
    made = reading_of(entry.id, tuple(words), fields.one("instrument"), tuple(under), desk.book)
    return Reading(
        inspection=made.inspection,
        result=made.result,
        value=made.value,
        series=made.series,
        instrument=made.instrument,
        conditions=made.conditions,
        mark=fields.one("mark"),
    )


def _words(fields: Fields, entry: Inspection) -> list[str]:
    """Return what was typed or picked, as it would be typed at the terminal; the reading goes before."""
    spec, unit = entry.reading, fields.one("unit")
    if spec is not None and spec.series is not None:
        pairs = zip(fields.given.get("stimulus", ()), fields.given.get("response", ()), strict=False)
        typed = [
            f"{_with_unit(one, spec.series.stimulus_unit)}={_with_unit(other, spec.unit)}"
            for one, other in pairs
            if one.strip() and other.strip()
        ]
        if typed:
            return typed
    elif spec is not None and fields.one("value"):
        return [_with_unit(fields.one("value"), unit if unit in symbols_of(spec.quantity) else spec.unit)]
    return [fields.one("result")] if fields.one("result") else []


def _with_unit(typed: str, unit: str) -> str:
    """Return a figure with its unit, where it was typed as a bare figure."""
    bare = all(character in "0123456789.,+-−–± " for character in typed.strip())
    return f"{typed.strip()} {unit}" if bare and unit != "1" else typed.strip()
