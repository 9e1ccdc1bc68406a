"""What a new observation changed: the causes that moved, the verdict and the next step."""

from __future__ import annotations

from collections.abc import Iterable

from proveout.app.standing import Before
from proveout.intake.telling import said
from proveout.model.advice import Triage
from proveout.model.atom import RESULT
from proveout.model.book import Book
from proveout.model.preference import AS_WRITTEN
from proveout.record.documents import reasons
from proveout.show.figures import cause_title, observable_title, percent, wrapped
from proveout.show.triage import headline

#: A change of confidence below this is not worth a line.
_WORTH_SAYING = 0.01
_SHOWN = 6


def change_text(before: Before, after: Triage, book: Book, width: int = 80, display: str = AS_WRITTEN) -> str:
    """Return what changed up to a triage, the largest change first, units by preference."""
    old = before.confidence
    new = {standing.cause: standing.confidence for standing in after.standings}
    direct = {standing.cause: standing.direct for standing in after.standings}
    moved = sorted(
        (cause for cause in old.keys() | new.keys()),
        key=lambda cause: (-abs(new.get(cause, 0.0) - old.get(cause, 0.0)), cause),
    )
    lines = ["What changed"]
    for cause in moved[:_SHOWN]:
        was, now = old.get(cause, 0.0), new.get(cause, 0.0)
        shown = direct.get(cause, "none") != before.direct.get(cause, "none")
        if abs(now - was) < _WORTH_SAYING and not shown:
            continue
        arrow = f"{percent(was)} to {percent(now)}"
        lines += wrapped(f"{cause_title(book, cause)}: {arrow}", width, "  ", "      ")
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
            now = said(after.sheet, seen.observable, display)
            told = f"{title}: {now} counts now, no longer {before.said[key]}."
            lines += wrapped(told, width, "  ", "      ")
    return lines


def _rounded(states: Iterable[tuple[str, float]]) -> list[tuple[str, float]]:
    """Round weights as records do, so that those of a record and new ones can be compared."""
    return [(state, round(weight, 9)) for state, weight in states]
