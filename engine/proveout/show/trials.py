"""Outcomes of rule examples and expected cases as text and JSON."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from proveout.show.figures import percent
from proveout.trial.outcome import PASSED, Outcome, count


def trials_text(outcomes: Sequence[Outcome], share: float | None = None) -> str:
    """Return a line for each trial that did not pass, the count of all, and what share of the rules spoke."""
    lines = [
        f"{outcome.place}: {outcome.status}: {outcome.name}: {outcome.detail}"
        for outcome in outcomes
        if outcome.status != PASSED
    ]
    counted = count(outcomes)
    total = f"{len(outcomes)} tried: {counted['passed']} passed"
    for status in ("failed", "error"):
        if counted[status]:
            total += f", {counted[status]} {status}"
    spoke = [] if share is None else [f"{percent(share)} of the rules spoke."]
    return "\n".join([*lines, total, *spoke])


def trials_document(outcomes: Sequence[Outcome], share: float | None = None) -> dict[str, Any]:
    """Return outcomes as a document of schema ``proveout/trials/1``."""
    return {
        "schema": "proveout/trials/1",
        **({} if share is None else {"share": round(share, 6)}),
        "counts": dict(sorted(count(outcomes).items())),
        "trials": [
            {
                "name": outcome.name,
                "place": str(outcome.place),
                "status": outcome.status,
                "detail": outcome.detail,
            }
            for outcome in outcomes
        ],
    }
