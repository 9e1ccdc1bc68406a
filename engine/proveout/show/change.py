"""What a new observation changed: the causes that moved, the verdict and the next step."""

from __future__ import annotations

from proveout.model.advice import Triage
from proveout.model.atom import RESULT
from proveout.model.book import Book
from proveout.show.figures import cause_title, observable_title, percent, wrapped
from proveout.show.triage import headline

#: A change of confidence below this is not worth a line.
_WORTH_SAYING = 0.01
_SHOWN = 6


def _confidences(triage: Triage) -> dict[str, float]:
    return {standing.cause: standing.confidence for standing in triage.standings}


def _direct(triage: Triage) -> dict[str, str]:
    return {standing.cause: standing.direct for standing in triage.standings}


def change_text(before: Triage, after: Triage, book: Book, width: int = 80) -> str:
    """Give what changed from one triage to the next, the largest change first."""
    old, new = _confidences(before), _confidences(after)
    moved = sorted(
        (cause for cause in old.keys() | new.keys()),
        key=lambda cause: (-abs(new.get(cause, 0.0) - old.get(cause, 0.0)), cause),
    )
    lines = ["What changed"]
    for cause in moved[:_SHOWN]:
        was, now = old.get(cause, 0.0), new.get(cause, 0.0)
        shown = _direct(after).get(cause, "none") != _direct(before).get(cause, "none")
        if abs(now - was) < _WORTH_SAYING and not shown:
            continue
        arrow = f"{percent(was)} to {percent(now)}"
        lines += wrapped(f"{cause_title(book, cause)}: {arrow}", width, "  ", "      ")
    if len(lines) == 1:
        lines.append("  No cause moved by a percent or more.")
    lines += _repeats(before, after, book, width)
    lines += ["", f"Verdict: {headline(after, book)}"]
    for reason in after.verdict.reasons[:2]:
        lines += wrapped(reason, width, "  ")
    if after.next:
        step, again = after.next.inspection, ", once more" if after.next.again else ""
        lines.append(f"Next{again}: {book.inspections[step].title} ({step})")
    return "\n".join(lines)


def _repeats(before: Triage, after: Triage, book: Book, width: int) -> list[str]:
    """Say of which inspection another reading counts now than before."""
    old = {seen.observable: seen for seen in before.sheet.observations if seen.observable.kind == RESULT}
    anew = after.sheet.repeated ^ before.sheet.repeated
    lines: list[str] = []
    for seen in after.sheet.observations:
        was = old.get(seen.observable)
        if was and (seen.observable.key in anew or seen.states != was.states):
            title = observable_title(book, seen.observable)
            lines += wrapped(f"{title}: {seen.said} counts now, no longer {was.said}.", width, "  ", "      ")
    return lines
