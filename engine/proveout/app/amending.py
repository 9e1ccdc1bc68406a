"""Turns what is to be added to a case, taken back or set aside into an amendment."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from msgspec import Struct

from proveout.app.facts import vocabularies
from proveout.app.naming import id_of, inspection_of
from proveout.intake.document import case_of
from proveout.model.book import Book
from proveout.model.problem import NOWHERE, BadInputError, Problem, WrongUsageError
from proveout.plan.advice import advise
from proveout.record.event import Event
from proveout.record.state import WITHDRAWABLE, withdrawn

#: What the facts of the vehicle and the freeze frame are called, by their keys.
_FACTS: Mapping[str, tuple[str, ...]] = {
    "age_years": ("age",),
    "first_year": ("year", "model year"),
    "mileage_km": ("mileage", "distance"),
    "coolant_c": ("coolant temperature",),
    "speed_kmh": ("speed",),
    "load_pct": ("load",),
    "fuel_level_pct": ("fuel level",),
    "short_trim_pct": ("short trim",),
    "long_trim_pct": ("long trim",),
    "intake_air_c": ("intake air temperature",),
}
_MAPPINGS = ("vehicle", "freeze_frame", "about", "costs")


class _Held(Struct, frozen=True):
    """Something that a case holds: where it stands, and what it is called."""

    key: str
    item: Any
    title: str
    words: tuple[str, ...] = ()


def drops(wanted: Iterable[str], document: Mapping[str, Any], book: Book) -> dict[str, list[Any]]:
    """Return what an amendment drops for some names, as its body has it.

    Raises:
        BadInputError: the case holds nothing of that name, or several things.
    """
    held = {f"({number})": item for number, item in enumerate(_held(document, book))}
    found: dict[str, list[Any]] = {}
    for name in wanted:
        item = held[id_of("thing in this case", name, held)]
        found.setdefault(item.key, []).append(item.item)
    return found


def _held(document: Mapping[str, Any], book: Book) -> Iterable[_Held]:
    for item in document.get("codes", ()):
        code = item if isinstance(item, str) else item["code"]
        yield _Held("codes", code, code)
    for key, (_, _, terms) in vocabularies(book).items():
        for item in document.get(key, ()):
            term = terms.get(item)
            yield _Held(key, item, term.title if term else item, (item, *getattr(term, "words", ())))
    for key in ("said", "remarks", "monitors_run"):
        yield from (_Held(key, item, item) for item in document.get(key, ()))
    for key in _MAPPINGS:
        yield from (
            _Held(key, item, item.replace("_", " "), _FACTS.get(item, ())) for item in document.get(key, {})
        )
    for item in document.get("set_aside", {}):
        entry = book.inspections[item]
        yield _Held("set_aside", item, entry.title, (item, *entry.words))


def set_aside(given: Mapping[str, Sequence[str]], document: Mapping[str, Any], book: Book) -> dict[str, str]:
    """Return the inspections to set aside, each with why; an empty name means the one proposed.

    Raises:
        BadInputError: a name is not known.
        WrongUsageError: nothing is proposed.
    """
    return {_meant(name, document, book): why for why, names in given.items() for name in names}


def _meant(name: str, document: Mapping[str, Any], book: Book) -> str:
    if name:
        return inspection_of(name, book)
    proposed = advise(case_of(document, book), book).next
    if proposed is None:
        raise WrongUsageError("No inspection is proposed in this case; name the one that is meant.")
    return proposed.inspection


def last_step(events: Sequence[Event]) -> int:
    """Return the number of the event that an undo takes back: the last that was not taken back yet.

    Raises:
        BadInputError: it cannot be taken back.
    """
    gone = withdrawn(events)
    left = [event for event in events if event.kind not in ("advice", "withdrawal") and event.n not in gone]
    last = left[-1]
    if last.kind not in WITHDRAWABLE:
        expected = "a reading, note or amendment as the last step; a deed that was done stays in the record"
        raise BadInputError(
            Problem(NOWHERE, "not-withdrawable", f"event {last.n}, which is a {last.kind}", expected)
        )
    return last.n
