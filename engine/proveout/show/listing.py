"""Lists of cases as text and JSON."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from proveout.record.index import Row
from proveout.show.figures import price

Total = tuple[str, str, int, float, float]


def cases_text(rows: Sequence[Row]) -> str:
    """Return one line for each case: last day, file, state, codes, cause, cost of wrong parts."""
    lines = []
    for row in rows:
        told = row.summary
        state = told.outcome or ("closed" if told.closed else "open")
        wrong = f", {price(told.wrong_cost)} on wrong parts" if told.wrong_cost else ""
        codes = " ".join(told.codes)
        lines.append(f"{told.last[:10]}  {row.path}  {state}  {codes}  {told.cause}{wrong}".rstrip())
    return "\n".join(lines) or "No case fits."


def cases_document(rows: Sequence[Row]) -> dict[str, Any]:
    """Return the cases as a document of schema ``proveout/cases/1``."""
    return {
        "schema": "proveout/cases/1",
        "cases": [
            {
                "path": str(row.path),
                "title": row.summary.title,
                "vehicle": row.summary.vehicle,
                "codes": list(row.summary.codes),
                "opened": row.summary.opened,
                "last": row.summary.last,
                "events": row.summary.events,
                "head": row.summary.head,
                "closed": row.summary.closed,
                "outcome": row.summary.outcome,
                "cause": row.summary.cause,
                "parts_cost": row.summary.parts_cost,
                "wrong_cost": row.summary.wrong_cost,
            }
            for row in rows
        ],
    }


def totals_text(rows: Sequence[Total]) -> str:
    """Return a line for each outcome and cause: cases, cost of parts, cost of wrong parts."""
    lines = [f"{'cases':>6} {'parts':>9} {'wrong':>9}  outcome, cause"]
    lines += [
        f"{number:>6} {parts:>9.0f} {wrong:>9.0f}  {outcome}, {cause or 'unknown'}"
        for outcome, cause, number, parts, wrong in rows
    ]
    return "\n".join(lines)


def totals_document(rows: Sequence[Total]) -> dict[str, Any]:
    """Return the totals as a document of schema ``proveout/totals/1``."""
    keys = ("outcome", "cause", "cases", "parts_cost", "wrong_cost")
    return {"schema": "proveout/totals/1", "totals": [dict(zip(keys, row, strict=True)) for row in rows]}
