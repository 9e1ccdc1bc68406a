"""Codes and live values out of a plain table: CSV with a header, a row for each code or value.

The columns are our own: ``code`` and ``status`` for a code; ``name``, ``value`` and ``unit`` for a value. Of
a table with other headings it is stated which is which. A row with a code gives a code; one with a name that
a freeze frame has gives its value; all others are left out, and named.
"""

from __future__ import annotations

import csv
from collections.abc import Mapping
from typing import Any

from msgspec import Struct, field

from proveout.book.codes import parse_code
from proveout.intake.index import plain_text
from proveout.measure.reading import read
from proveout.model.case import CODE_STATUSES
from proveout.model.problem import BadInputError, Place, Problem

#: The columns, each with what it holds.
COLUMNS: Mapping[str, str] = {
    "code": "a trouble code",
    "status": "its status",
    "name": "what was measured",
    "value": "the value, with or without its unit",
    "unit": "the unit of the value",
}
#: Key of the freeze frame to quantity, unit and the names that its row may have.
FRAME_ROWS: Mapping[str, tuple[str, str, tuple[str, ...]]] = {
    "coolant_c": ("temperature", "degC", ("coolant", "coolant temperature", "engine coolant temperature")),
    "speed_kmh": ("speed", "km/h", ("speed", "vehicle speed", "road speed", "VSS")),
    "rpm": ("speed", "rpm", ("rpm", "engine speed", "engine rpm", "revs")),
    "load_pct": ("duty", "%", ("load", "calculated load", "engine load", "calculated engine load")),
    "fuel_level_pct": ("duty", "%", ("fuel level", "fuel tank level", "fuel level input")),
    "short_trim_pct": ("duty", "%", ("short trim", "short term fuel trim", "short fuel trim", "STFT")),
    "long_trim_pct": ("duty", "%", ("long trim", "long term fuel trim", "long fuel trim", "LTFT")),
    "intake_air_c": ("temperature", "degC", ("intake air", "intake air temperature", "IAT")),
}  # fmt: skip
#: Longest table that is read, rows.
_LONGEST = 10_000


class Table(Struct):
    """What a table gave: codes and freeze frame as an intake document has them, and the rows left out."""

    codes: list[Any] = field(default_factory=list)
    frame: dict[str, float] = field(default_factory=dict)
    left_out: list[str] = field(default_factory=list)


def table_of(text: str, name: str, columns: Mapping[str, str]) -> Table:
    """Read a table.

    Args:
        text: its text; the separator is the comma, semicolon or tabulator that its header has most of.
        name: of the file, for complaints.
        columns: our column to the heading that the table has for it; the same word where left out.

    Raises:
        BadInputError: a heading is missing, a code, status or value cannot be read, or it is too long.
    """
    lines = text.lstrip("\ufeff").splitlines()
    header = lines[0] if lines else ""
    mark = max(",;\t", key=header.count)
    rows = list(csv.reader(lines, delimiter=mark))
    places = _places(rows[0] if rows else [], name, columns)
    if len(rows) > _LONGEST:
        raise BadInputError(Problem(Place(name), "table", f"{len(rows)} rows", f"at most {_LONGEST}"))
    found = Table()
    for number, row in enumerate(rows[1:], start=2):
        cells = {ours: row[at].strip() if at < len(row) else "" for ours, at in places.items()}
        if any(cells.values()):
            _take(cells, Place(name, number), found)
    return found


def _places(header: list[str], name: str, columns: Mapping[str, str]) -> dict[str, int]:
    """Say in which place of a row each of our columns stands."""
    headings = {plain_text(heading): at for at, heading in reversed(list(enumerate(header)))}
    for ours, theirs in columns.items():
        if ours not in COLUMNS or plain_text(theirs) not in headings:
            saw = f"no column {theirs!r}" if ours in COLUMNS else f"a column {ours!r}"
            known = ", ".join(header) if ours in COLUMNS else ", ".join(COLUMNS)
            raise BadInputError(Problem(Place(name, 1), "table", saw, f"one of {known}"))
    wanted = {ours: plain_text(columns.get(ours, ours)) for ours in COLUMNS}
    places = {ours: headings[theirs] for ours, theirs in wanted.items() if theirs in headings}
    if "code" not in places and not {"name", "value"} <= places.keys():
        mend = "say which is which: --column code=HEADING"
        raise BadInputError(
            Problem(
                Place(name, 1), "table", f"the headings {', '.join(header)}", "code, or name and value", mend
            )
        )
    return places


def _take(cells: Mapping[str, str], place: Place, found: Table) -> None:
    if cells.get("code"):
        found.codes.append(_code(cells, place))
        return
    said = plain_text(cells.get("name", ""))
    for key, (quantity, unit, names) in FRAME_ROWS.items():
        if said and said in map(plain_text, (key, *names)) and cells.get("value"):
            text = f"{cells['value']} {cells.get('unit', '')}".strip()
            found.frame[key] = round(read(text, quantity, unit, place=place).middle, 2)
            return
    found.left_out.append(f"line {place.line}: {cells.get('name') or ' '.join(filter(None, cells.values()))}")


def _code(cells: Mapping[str, str], place: Place) -> Any:
    code = parse_code(cells["code"], place).code
    status = plain_text(cells.get("status", "")) or CODE_STATUSES[0]
    known = {"stored": "confirmed", "current": "confirmed", "active": "confirmed"}
    status = known.get(status, status)
    if status not in CODE_STATUSES:
        raise BadInputError(
            Problem(
                place,
                "unknown-status",
                f"the status {status!r} of {code}",
                f"one of {', '.join(CODE_STATUSES)}",
            )
        )
    return {"code": code, "status": status} if status != CODE_STATUSES[0] else code
