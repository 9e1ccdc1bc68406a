"""What a new observation changed: the causes that moved, the verdict and the next step."""

from __future__ import annotations

from collections.abc import Iterable

from msgspec import Struct

from proveout.app.before import Before
from proveout.intake.called import observable_title
from proveout.intake.telling import said
from proveout.model.advice import Triage
from proveout.model.atom import RESULT
from proveout.model.book import Book
from proveout.model.preference import AS_WRITTEN
from proveout.record.documents import reasons
from proveout.show.figures import cause_title, percent, wrapped
from proveout.show.triage import headline
from proveout.text.unhyphened import unhyphened

#: A change of confidence below this is not worth a line.
_WORTH_SAYING = 0.01
_SHOWN = 6


class Move(Struct, frozen=True):
    """A cause of which a change moved the confidence: its id, and what it was and is."""

    cause: str
    was: float
    now: float


def moves(before: Before, after: Triage) -> tuple[Move, ...]:
    """Return what a change moved by a percent or more, or showed or cleared; the largest first."""
    old = before.confidence
    new = {hypothesis.cause: hypothesis.confidence for hypothesis in after.hypotheses}
    direct = {hypothesis.cause: hypothesis.direct for hypothesis in after.hypotheses}
    moved = sorted(
        (Move(cause, old.get(cause, 0.0), new.get(cause, 0.0)) for cause in old.keys() | new.keys()),
        key=lambda move: (-abs(move.now - move.was), move.cause),
    )
    return tuple(
        move
        for move in moved[:_SHOWN]
        if abs(move.now - move.was) >= _WORTH_SAYING
        or direct.get(move.cause, "none") != before.direct.get(move.cause, "none")
    )


def change_text(before: Before, after: Triage, book: Book, width: int = 80, display: str = AS_WRITTEN) -> str:
    """Return what changed up to a triage, the largest change first, units by preference."""
    lines = ["What changed"]
    for move in moves(before, after):
        arrow = f"{percent(move.was)} to {percent(move.now)}"
        lines += wrapped(f"{cause_title(book, move.cause)}: {arrow}", width, "  ", "      ")
    if len(lines) == 1:
        lines.append("  No cause moved by a percent or more.")
    lines += _repeats(before, after, book, width, display)
    lines += ["", f"Verdict: {headline(after, book)}"]
    for reason in reasons(after, book, display)[:2]:
        lines += wrapped(reason, width, "  ")
    if after.next:
        step, again = after.next.inspection, ", once more" if after.next.again else ""
        lines.append(f"Next{again}: {book.inspections[step].title} ({step})")
    return "\n".join(lines)


def _repeats(before: Before, after: Triage, book: Book, width: int, display: str) -> list[str]:
    """Say of which inspection another reading counts now than before."""
    anew = after.sheet.repeated ^ before.repeated
    lines: list[str] = []
    for seen in after.sheet.observations:
        key = seen.observable.key
        if seen.observable.kind != RESULT or key not in before.states:
            continue
        if key in anew or _rounded(seen.states) != _rounded(before.states[key]):
            title = observable_title(book, seen.observable)
            now, then = unhyphened(said(after.sheet, seen.observable, display)), unhyphened(before.said[key])
            told = f"{title.rstrip('?')}: “{now}” counts now, no longer “{then}”."
            lines += wrapped(told, width, "  ", "      ")
    return lines


def _rounded(states: Iterable[tuple[str, float]]) -> list[tuple[str, float]]:
    """Round weights as records do, so that those of a record and new ones can be compared."""
    return [(state, round(weight, 9)) for state, weight in states]
