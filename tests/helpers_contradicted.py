"""Repair verdicts of the shipped book, and the same with evidence added that contradicts them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from itertools import product
from typing import Any

from helpers_record import triage_of
from helpers_shipped import shipped_book
from proveout.model.advice import REPAIR, Verdict
from proveout.model.book import Book
from proveout.model.entries import Inspection

Readings = list[dict[str, str]]
#: Thresholds and a price at which few inspections prove: the more verdicts there are to attack.
EASY: Mapping[str, Any] = {"per_hour": 1000, "threshold": 0.6}
STRICTER: Mapping[str, Any] = {"per_hour": 1000, "threshold": 0.85}


def verdict_on(readings: Readings, costs: Mapping[str, Any]) -> Verdict:
    """Return the verdict on a case of which nothing is known but these readings."""
    return triage_of(shipped_book(), {"readings": readings, "costs": costs}).verdict


def sound(inspection: Inspection) -> str:
    """Return the id of the first normal result, or "" where there is none."""
    return next((result.id for result in inspection.results if result.normal), "")


def _taken(inspection: str, result: str) -> dict[str, str]:
    return {"inspection": inspection, "result": result}


def _proof(book: Book, cause: str, checks: tuple[str, ...]) -> Readings:
    """Return readings that show a cause, with what must be inspected before buying found sound."""
    needed = sorted({*book.causes[cause].before_buying} - {*checks})
    others = [_taken(key, sound(book.inspections[key])) for key in needed if sound(book.inspections[key])]
    return others + [_taken(key, book.inspections[key].proves[cause][0]) for key in checks]


def repairs(most: int) -> Iterator[tuple[str, Readings, str, Mapping[str, Any]]]:
    """Return causes with readings that prove them, one further direct inspection, and the costs at which.

    Two, one or three inspections show the cause. The further one can show it as well and has a normal result;
    it was not made yet.
    """
    book, seen = shipped_book(), 0
    for width, costs in product((2, 1, 3), (EASY, STRICTER)):
        for cause, checks in sorted(book.proved_by.items()):
            for number, further in enumerate(checks):
                shown = (*checks[number + 1 :], *checks[:number])[:width]
                if len(shown) < width or not sound(book.inspections[further]):
                    continue
                readings = [one for one in _proof(book, cause, shown) if one["inspection"] != further]
                got = verdict_on(readings, costs)
                if (got.kind, got.cause) == (REPAIR, cause):
                    yield cause, readings, further, costs
                    seen += 1
                    if seen == most:
                        return


class Outcomes(Counter[str]):
    """How often repair verdicts stayed or gave way; ``silent`` holds those that stayed without a word."""

    def __init__(self) -> None:
        super().__init__()
        self.silent: list[tuple[str, Readings]] = []

    def see(self, what: str, cause: str, readings: Readings, costs: Mapping[str, Any], word: str) -> None:
        """Count what the verdict on a cause became of readings that contradict each other."""
        got = verdict_on(readings, costs)
        if (got.kind, got.cause) != (REPAIR, cause):
            self[f"{what}: gave way"] += 1
        elif word in got.reasons[0] and "repeat it" in got.reasons[0]:
            self[f"{what}: stayed, the contradiction named first, its repeat proposed"] += 1
        else:
            self[f"{what}: stayed without a word"] += 1
            self.silent.append((cause, readings))


def contradicted(most: int) -> Outcomes:
    """Return what became of repair verdicts, each contradicted in two ways.

    ``sound``: one further direct inspection comes out sound. ``alternating``: the last one that showed the
    cause comes out sound, faulty, sound and faulty.
    """
    outcomes = Outcomes()
    for cause, readings, further, costs in repairs(most):
        book = shipped_book()
        passed = _taken(further, sound(book.inspections[further]))
        outcomes.see("sound", cause, [*readings, passed], costs, "speaks against it")
        last = readings[-1]
        if normal := sound(book.inspections[last["inspection"]]):
            twice = [_taken(last["inspection"], normal), last] * 2
            outcomes.see("alternating", cause, [*readings[:-1], *twice], costs, "contradicts itself")
    return outcomes
