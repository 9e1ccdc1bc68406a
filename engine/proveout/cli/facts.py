"""The options by which facts are given, for opening a case and for amending one, and what they amount to."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, TypeVar

import click

from proveout.cli.naming import id_of
from proveout.cli.numbers import DISTANCE, number
from proveout.intake.resolve import Named
from proveout.model.book import Book
from proveout.model.case import CODE_STATUSES
from proveout.model.problem import NOWHERE, BadInputError, Problem

F = TypeVar("F", bound=Callable[..., Any])

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
_MONEY = number(0, 1e6)

_OPTIONS = (
    click.option("--code", "codes", multiple=True, metavar="CODE[:STATUS]",
                 help="A code read; status confirmed (default), pending or permanent."),
    click.option("--symptom", "symptoms", multiple=True, metavar="NAME", help="A symptom that is there."),
    click.option("--absent", multiple=True, metavar="NAME", help="A symptom looked for and not there."),
    click.option("--said", multiple=True, metavar="TEXT", help="What the driver says, in any words."),
    click.option("--when", "happens_when", multiple=True, metavar="NAME", help="When it happens."),
    click.option("--replaced", multiple=True, metavar="COMPONENT", help="A part replaced without effect."),
    click.option("--recent-work", multiple=True, metavar="NAME", help="Work done just before it began."),
    click.option("--tool", "tools", multiple=True, metavar="NAME", help="A tool at hand, not a basic one."),
    click.option("--monitor-run", "monitors_run", multiple=True, metavar="NAME",
                 help="A readiness monitor known to have completed."),
    click.option("--readiness", metavar="HEX", help="The four readiness bytes (service 01, item 01)."),
    click.option("--frame", "frame_bytes", metavar="BYTES",
                 help="Freeze frame (service 02): items and bytes in hexadecimal, such as '05=7B 0C=1AF8'."),
    click.option("--table", type=click.Path(path_type=Path), metavar="CSV",
                 help="A table of codes and values with the columns code, status, name, value, unit."),
    click.option("--column", "columns", multiple=True, metavar="OURS=THEIRS",
                 help="Which heading of the table stands for which of these columns."),
    click.option("--age", "age_years", type=number(0, 150), metavar="YEARS", help="Age of the vehicle."),
    click.option("--mileage", "mileage_km", type=DISTANCE, metavar="DISTANCE",
                 help="Its mileage, in km unless it says mi."),
    click.option("--motor", "engine", metavar="TEXT", help="Its engine, in words."),
    click.option("--fuel", metavar="TEXT", help="Its fuel, such as petrol."),
    click.option("--climate", metavar="TEXT", help="Where it lives, such as road-salt, dusty, humid or dry."),
    click.option("--vehicle", "vehicle_name", metavar="TEXT", help="What you call it; for you only."),
    click.option("--plate", metavar="TEXT", help="Its licence plate; kept for you only."),
    click.option("--owner", metavar="TEXT", help="Whose it is; kept for you only."),
    click.option("--job", metavar="TEXT", help="Your number for the job; kept for you only."),
    click.option("--per-hour", type=_MONEY, metavar="AMOUNT", help="What an hour of your time counts."),
    click.option("--refer-out", type=_MONEY, metavar="AMOUNT", help="What a specialist costs who searches."),
    click.option("--refer-proven", type=_MONEY, metavar="AMOUNT",
                 help="What he costs where the cause is proven."),
    click.option("--currency", metavar="TEXT", help="What your currency is called, such as EUR."),
)  # fmt: skip


def fact_options(command: F) -> F:
    """Add every option that gives a fact."""
    for option in reversed(_OPTIONS):
        command = option(command)
    return command


def vocabularies(book: Book) -> Mapping[str, tuple[str, str, Mapping[str, Named]]]:
    """Give, by key of the intake document, the option's parameter, what it is called, and its entries."""
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
        BadInputError: it is no code, or the status is not one of the three.
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


def document_from(given: Mapping[str, Any], book: Book) -> tuple[dict[str, Any], list[str]]:
    """Give the part of an intake document that the options amount to, and what of a table was left out.

    Raises:
        BadInputError: a name, code, byte or table cannot be read.
    """
    document: dict[str, Any] = {
        "codes": [code_from(text) for text in given["codes"]],
        "said": list(given["said"]),
        "monitors_run": list(given["monitors_run"]),
        "freeze_frame": {},
        "vehicle": _group(given, _VEHICLE),
        "about": _group(given, _ABOUT),
        "costs": _group(given, _COSTS),
    }
    for key, (flag, kind, terms) in vocabularies(book).items():
        document[key] = list(dict.fromkeys(id_of(kind, item, terms) for item in given[flag]))
    left_out = _bytes_and_table(given, document, book)
    return {key: value for key, value in document.items() if value}, left_out


def _group(given: Mapping[str, Any], names: Mapping[str, str]) -> dict[str, Any]:
    return {key: given[name] for name, key in names.items() if given[name] is not None}


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
            raise click.UsageError("--column says how to read a --table, and none was given.")
        return []
    pairs = [item.partition("=") for item in given["columns"]]
    if any(not theirs for _, _, theirs in pairs):
        raise click.UsageError("Write --column as OURS=THEIRS, such as --column code=DTC.")
    table = table_of(
        read_text(given["table"]), str(given["table"]), {ours: theirs for ours, _, theirs in pairs}
    )
    document["codes"] += table.codes
    document["freeze_frame"].update(table.frame)
    return table.left_out
