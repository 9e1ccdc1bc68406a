"""One inspection of a job: cautions first, then step by step, then what it gave."""

from __future__ import annotations

from msgspec.structs import replace

from proveout.app.filing import events_of
from proveout.app.job import forget_place, keep_place, kept_place
from proveout.app.meant import tried
from proveout.app.recording import reading_of, record
from proveout.intake.answers import meant
from proveout.intake.document import case_of
from proveout.intake.forms import reading_forms
from proveout.intake.readings import own_limits
from proveout.model.advice import Triage
from proveout.model.atom import CANNOT_TELL
from proveout.model.case import SET_ASIDE
from proveout.model.entries import Inspection
from proveout.model.presence import MARKS, UNKNOWN
from proveout.model.problem import BadInputError
from proveout.record.state import merged
from proveout.show.inspection import before_lines, limit_page, picture_lines, result_lines
from proveout.show.page import HEAD, Page
from proveout.show.pictures import CURVE, LEADS, WHERE, Drawn, pictures_of
from proveout.show.reading import reading_text
from proveout.terminal.common import say, tell, width
from proveout.terminal.job import Job, told
from proveout.terminal.paper import show
from proveout.terminal.turns import TurnError, agreed, ask
from proveout.weigh.presence import Presence


def inspect(job: Job, name: str, answer: Triage) -> None:
    """Take somebody through an inspection and record what it gave.

    Raises:
        TurnError: something else is wanted; the place is kept.
        click.Abort: it was broken off; the place is kept.
    """
    entry = job.book.inspections[name]
    _cautioned(job, entry)
    _steps(job, entry)
    words = _reading(job, entry)
    reading = replace(reading_of(name, words, "", (), job.book), fault=_fault(job, entry, answer))
    kept = record(job.case, reading, job.book, job.layers)
    forget_place(job.case)
    if kept.reading is not None:
        say("\n" + reading_text(entry, kept.reading, width(), job.display))
    told(job, kept)


def _cautioned(job: Job, entry: Inspection) -> None:
    """Show the cautions, and go on only where they were read and can be kept."""
    page = Page(width())
    page.line()
    page.wrap(entry.title, role=HEAD)
    before_lines(page, job.book, entry)
    show(page)
    while not agreed("\nHave you read the cautions, and can you keep to them?"):
        tell("  Then do not do it: say can't or later, and another inspection is proposed.")
    drawn = _pictures(job, entry)
    pictures = Page(width())
    picture_lines(pictures, drawn.get(WHERE), "")
    picture_lines(pictures, drawn.get(LEADS), "")
    if pictures.lines:
        show(pictures)


def _pictures(job: Job, entry: Inspection) -> dict[str, Drawn]:
    """Return the pictures of an inspection by what they are of, as the vehicle of the case has it."""
    case = case_of(merged(events_of(job.case)), job.book)
    own = own_limits(entry.id, case, job.book)
    found = pictures_of(job.book, entry, case.has, own.spec if own else None, job.display)
    return {one.of: one for one in found}


def _steps(job: Job, entry: Inspection) -> None:
    """Show one step after the other; begin where it was left."""
    done = min(kept_place(job.case, entry.id), len(entry.steps))
    if done:
        answer = ask(f"You left after step {done} of {len(entry.steps)}. Enter goes on, 1 begins anew")
        done = 0 if answer == "1" else done
    for number, step in enumerate(entry.steps[done:], start=done + 1):
        page = Page(width())
        page.wrap(step, f"  {number}. ")
        say(page.text())
        ask(f"Step {number} of {len(entry.steps)}, Enter when it is done")
        keep_place(job.case, entry.id, number)


def _fault(job: Job, entry: Inspection, answer: Triage) -> str:
    """Ask whether the fault was there meanwhile, where that bears on something that may be the cause."""
    causes = [hypothesis.cause for hypothesis in answer.hypotheses]
    if not Presence(job.book, answer.sheet).bears(entry.id, causes):
        return ""
    asked = "Was the fault there while you did it (present, absent, unknown)"
    while True:
        said = ask(asked, [f"{mark}: it was made {text}" for mark, text in MARKS.items()]).strip().casefold()
        if found := [mark for mark in MARKS if said and mark.startswith(said)]:
            return found[0]
        if not said:
            return UNKNOWN


def _reading(job: Job, entry: Inspection) -> tuple[str, ...]:
    """Ask what it gave until that can be used.

    Raises:
        TurnError: it was not done; its argument says why.
    """
    document = merged(events_of(job.case))
    page = Page(width())
    own = own_limits(entry.id, case_of(document, job.book), job.book)
    limit_page(page, entry, job.display, own)
    picture_lines(page, _pictures(job, entry).get(CURVE), "")
    result_lines(page, entry)
    show(page)
    answers = [f"{result.id}: {result.means}" for result in entry.results]
    answers.append(f"{CANNOT_TELL}: it was done, and told nothing")
    while True:
        words = meant(ask(f"\nWhat it gave: {reading_forms(entry)}", answers).split(), entry)
        if not words:
            continue
        if words[0] in SET_ASIDE:
            raise TurnError(words[0])
        try:
            tried(entry.id, words, document, job.book)
        except BadInputError as error:
            for problem in error.problems:
                tell(f"  {problem}")
        else:
            return words
