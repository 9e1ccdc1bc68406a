"""Simulated cases by family as text and JSON."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from proveout.trial.played import FamilyRow, Played, overall

_HEAD = (
    "family",
    "cases",
    "right",
    "wrong",
    "suspected",
    "referred",
    "bought",
    "cost",
    "parts",
    "ratio",
    "remedies",
    "ratio",
    "looks",
    "90 %",
)


def _figures(row: FamilyRow) -> tuple[str, ...]:
    return (
        row.family,
        str(row.cases),
        f"{row.right * 100:.1f} %",
        f"{row.wrong * 100:.1f} %",
        f"{row.suspected * 100:.1f} %",
        f"{row.referred * 100:.1f} %",
        f"{row.bought * 100:.1f} %",
        f"{row.cost:.0f}",
        f"{row.parts:.0f}",
        _times(row.parts, row.cost),
        f"{row.remedies:.0f}",
        _times(row.remedies, row.cost),
        f"{row.inspections:.1f}",
        str(row.most),
    )


def _times(blind: float, ours: float) -> str:
    return f"{blind / ours:.2f}" if ours else "-"


def simulated_text(rows: Sequence[FamilyRow], played: Sequence[Played]) -> str:
    """Return a table by family: how cases ended, mean cost, and that of inspecting nothing.

    Rows stand in the order given; several families are summed up in a last one.
    """
    table = [_HEAD, *(_figures(row) for row in [*rows, *([overall(played)] if len(rows) > 1 else [])])]
    lines = [f"{row[0]:<24}" + "".join(f"{cell:>10}" for cell in row[1:]) for row in table]
    known = [one for one in played if one.truth]
    right, suspected = sum(one.right for one in known), sum(one.suspected for one in known)
    akin = sum(one.akin for one in known)
    lines += [
        "",
        f"Of {len(known)} cases with a cause of the book {_of(right, known)} ended with it proven, and "
        f"{_of(suspected, known)} were handed over with it named as the likeliest. Of those that ended wrong "
        f"{_of(akin, known)} named another fault of the part at fault, which the same new part ends.",
        "bought: a part was bought as proven, at any time, that nothing present needed;",
        "cost: mean cost of following triage to its end; parts: of replacing parts by likelihood instead,",
        "remedies: of doing any remedy by likelihood; ratio: how many times the cost of following triage;",
        "looks: mean number of inspections; 90 %: what nine in ten cases do not pass.",
    ]
    return "\n".join(lines)


def _of(count: int, known: Sequence[Played]) -> str:
    return f"{count} ({count / max(len(known), 1) * 100:.1f} %)"


def simulated_document(rows: Sequence[FamilyRow]) -> dict[str, Any]:
    """Return the table as a document of schema ``proveout/simulated/3``."""
    return {
        "schema": "proveout/simulated/3",
        "families": [
            {
                "family": row.family,
                "cases": row.cases,
                "right": round(row.right, 9),
                "wrong": round(row.wrong, 9),
                "akin": round(row.akin, 9),
                "suspected": round(row.suspected, 9),
                "referred": round(row.referred, 9),
                "bought": round(row.bought, 9),
                "cost": round(row.cost, 9),
                "parts": round(row.parts, 9),
                "remedies": round(row.remedies, 9),
                "inspections": round(row.inspections, 9),
                "most_inspections": row.most,
            }
            for row in rows
        ],
    }
