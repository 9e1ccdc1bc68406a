"""Lists of cases as text and JSON."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from proveout.record.index import Row
from proveout.show.figures import money
from proveout.text.unhyphened import unhyphened

Total = tuple[str, str, int, float, float, str]


def cases_text(rows: Sequence[Row], titles: Mapping[str, str]) -> str:
    """Return one line for each case: last day, file, state, codes, cause, cost of wrong parts.

    Args:
        rows: the cases.
        titles: what causes are called; one that stands in no book at hand is told by its id.
    """
    lines = []
    for row in rows:
        told = row.summary
        state = unhyphened(told.outcome) or ("closed" if told.closed else "open")
        wrong = f", {money(told.wrong_cost, told.currency)} on wrong parts" if told.wrong_cost else ""
        codes, cause = " ".join(told.codes), titles.get(told.cause, told.cause)
        lines.append(f"{told.last[:10]}  {row.path}  {state}  {codes}  {cause}{wrong}".rstrip())
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
                "currency": row.summary.currency,
            }
            for row in rows
        ],
    }


def totals_text(rows: Sequence[Total], titles: Mapping[str, str]) -> str:
    """Return a line for each outcome, cause and currency: cases, cost of parts, cost of wrong parts."""
    room = max((len(row[-1]) for row in rows), default=0)
    beside = f" {'':<{room}}" if room else ""
    lines = [f"{'cases':>6} {'parts':>9} {'wrong':>9}{beside}  outcome, cause"]
    for outcome, cause, number, parts, wrong, currency in rows:
        amounts = f"{parts:>9.0f} {wrong:>9.0f}" + (f" {currency:<{room}}" if room else "")
        lines.append(f"{number:>6} {amounts}  {unhyphened(outcome)}, {titles.get(cause, cause) or 'unknown'}")
    return "\n".join(lines)


def totals_document(rows: Sequence[Total]) -> dict[str, Any]:
    """Return the totals as a document of schema ``proveout/totals/1``."""
    keys = ("outcome", "cause", "cases", "parts_cost", "wrong_cost", "currency")
    return {"schema": "proveout/totals/1", "totals": [dict(zip(keys, row, strict=True)) for row in rows]}
