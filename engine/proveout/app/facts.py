"""Turns what was given about a case, name by name, into a part of an intake document."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from proveout.app.naming import id_of, monitor_of
from proveout.intake.resolve import Named
from proveout.measure.number import NumberError, read_number
from proveout.model.atom import COMES_BACK
from proveout.model.book import Book
from proveout.model.case import CODE_STATUSES
from proveout.model.problem import NOWHERE, BadInputError, Problem, WrongUsageError

#: Option's parameter name to key of the intake document, for what stands there as typed.
_VEHICLE = {
    "age_years": "age_years",
    "mileage_km": "mileage_km",
    "engine": "engine",
    "fuel": "fuel",
    "climate": "climate",
}
_ABOUT = {"vehicle_name": "vehicle", "plate": "plate", "owner": "owner", "job": "job"}
_COSTS = {
    "per_hour": "per_hour",
    "refer_out": "refer_out",
    "refer_proven": "refer_proven",
    "currency": "currency",
}
_LISTS = (
    *("codes", "symptoms", "absent", "said", "happens_when", "replaced", "replaced_again", "never_changed"),
    *("put_right", "code_families", "recent_work", "tools", "monitors_run", "columns", "has", "lacks"),
)
_SINGLE = (
    *("for_years", "engine_exchanged", "readiness", "frame_bytes", "table"),
    *(*_VEHICLE, *_ABOUT, *_COSTS),
)
#: All that may be given about a case by name, where nothing is: lists are empty, and what is single is None.
NOT_GIVEN: Mapping[str, Any] = {**dict.fromkeys(_LISTS, ()), **dict.fromkeys(_SINGLE)}
#: The oldest vehicle that is counted with, years.
_OLDEST = 150


def vocabularies(book: Book) -> Mapping[str, tuple[str, str, Mapping[str, Named]]]:
    """Return, by key of the intake document, the option's parameter, what it is called, and its entries."""
    words = book.words
    return {
        "symptoms": ("symptoms", "symptom", words.symptoms),
        "symptoms_absent": ("absent", "symptom", words.symptoms),
        "happens_when": ("happens_when", "circumstance", words.circumstances),
        "replaced": ("replaced", "component", words.components),
        "recent_work": ("recent_work", "kind of recent work", words.recent_work),
        "tools": ("tools", "tool", words.tools),
    }


def code_from(text: str) -> str | dict[str, str]:
    """Read ``CODE[:STATUS]``.

    Raises:
        BadInputError: it is no code, or the status is not one of those known.
    """
    from proveout.book.codes import parse_code

    written, _, status = text.strip().partition(":")
    parse_code(written)
    status = status.strip().casefold()
    if not status:
        return written.strip()
    if status not in CODE_STATUSES:
        known = ", ".join(CODE_STATUSES)
        raise BadInputError(
            Problem(NOWHERE, "unknown-status", f"the status {status!r} of {written}", f"one of {known}")
        )
    return {"code": written.strip(), "status": status}


def age_from(answer: str, this_year: int) -> dict[str, Any]:
    """Read an age in years, or the year from which it counts, as facts of the vehicle.

    Raises:
        ValueError: it is neither.
    """
    text = re.sub(r"\s*(years?( old)?|y|yrs?)$", "", answer.strip().casefold())
    try:
        value = read_number(text).value
    except NumberError as error:
        raise ValueError(f"{error.saw}; write it like 12 or 2009") from None
    if this_year - _OLDEST <= value <= this_year and value == int(value) and value > _OLDEST:
        return {"first_year": int(value), "age_years": float(this_year - int(value))}
    if not 0 <= value <= _OLDEST:
        raise ValueError(
            f"`{answer}` is no age in years from 0 to {_OLDEST}, and no year of the last {_OLDEST}"
        )
    return {"age_years": value}


def document_from(given: Mapping[str, Any], book: Book) -> tuple[dict[str, Any], list[str]]:
    """Return the part of an intake document that the options amount to, and what of a table was left out.

    Args:
        given: by the names of ``NOT_GIVEN``; what is left out counts as not given.
        book: the rules.

    Raises:
        BadInputError: a name, code, byte or table cannot be read.
    """
    given = {**NOT_GIVEN, **given}
    document: dict[str, Any] = {
        "codes": [code_from(text) for text in given["codes"]],
        "said": list(given["said"]),
        "monitors_run": [monitor_of(name, book) for name in given["monitors_run"]],
        "freeze_frame": {},
        "vehicle": {**_group(given, _VEHICLE), **_kinds(given)},
        "about": _group(given, _ABOUT),
        "code_families": list(given["code_families"]),
        "history": _history(given, book),
        "mended": [
            {"cause": id_of("cause", item, book.causes), "since": COMES_BACK} for item in given["put_right"]
        ],
        "costs": _group(given, _COSTS),
    }
    for key, (flag, kind, terms) in vocabularies(book).items():
        named = (book.former.get(f"{kind} {item}", item) for item in given[flag])
        document[key] = list(dict.fromkeys(id_of(kind, item, terms) for item in named))
    left_out = _bytes_and_table(given, document, book)
    return {key: value for key, value in document.items() if value}, left_out


def _history(given: Mapping[str, Any], book: Book) -> dict[str, Any]:
    """Return what was said of the time before.

    Raises:
        BadInputError: a component is not known, or how often it was replaced is no number above one.
    """
    parts = book.words.components
    again = {}
    for text in given["replaced_again"]:
        name, _, times = text.rpartition("=")
        if not (name and times.isdecimal() and 2 <= int(times) <= 20):
            expected = "a component and how often, 2 to 20, such as ignition-coil=2"
            raise BadInputError(Problem(NOWHERE, "bad-times", f"{text!r}", expected))
        again[id_of("component", name, parts)] = int(times)
    told = {
        "for_years": given["for_years"],
        "replaced_again": again,
        "never_changed": list(dict.fromkeys(id_of("component", n, parts) for n in given["never_changed"])),
        "engine_exchanged": given["engine_exchanged"],
    }
    return {key: value for key, value in told.items() if value}


def _group(given: Mapping[str, Any], names: Mapping[str, str]) -> dict[str, Any]:
    return {key: given[name] for name, key in names.items() if given[name] is not None}


def _kinds(given: Mapping[str, Any]) -> dict[str, list[str]]:
    return {key: list(dict.fromkeys(given[key])) for key in ("has", "lacks") if given[key]}


def _bytes_and_table(given: Mapping[str, Any], document: dict[str, Any], book: Book) -> list[str]:
    """Add what the bytes and the table say, and give the rows that say nothing."""
    from proveout.intake.frame import frame_from_bytes, monitors_from_bytes
    from proveout.intake.table import table_of
    from proveout.text.read import read_text

    if given["readiness"]:
        document["monitors_run"] += monitors_from_bytes(given["readiness"], book)
    if given["frame_bytes"]:
        document["freeze_frame"].update(frame_from_bytes(given["frame_bytes"]))
    if given["table"] is None:
        if given["columns"]:
            raise WrongUsageError("--column says how to read a --table, and none was given.")
        return []
    pairs = [item.partition("=") for item in given["columns"]]
    if any(not theirs for _, _, theirs in pairs):
        raise WrongUsageError("Write --column as OURS=THEIRS, such as --column code=DTC.")
    table = table_of(
        read_text(given["table"]), str(given["table"]), {ours: theirs for ours, _, theirs in pairs}
    )
    document["codes"] += table.codes
    document["freeze_frame"].update(table.frame)
    return table.left_out
