"""What a trial gives: one outcome a check, and their count."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from proveout.model.problem import Place

PASSED, FAILED, ERROR = "passed", "failed", "error"


@dataclass(frozen=True, slots=True)
class Outcome:
    """One trial.

    Attributes:
        name: what was tried, such as ``evap-purge-leaks fires 1``.
        place: where it is written.
        status: passed, failed (it ran and the answer was another), or error (it could not run).
        detail: for a failure, what was expected and what came.
    """

    name: str
    place: Place
    status: str
    detail: str = ""


def count(outcomes: Iterable[Outcome]) -> Counter[str]:
    """Count outcomes by status."""
    return Counter(outcome.status for outcome in outcomes)
