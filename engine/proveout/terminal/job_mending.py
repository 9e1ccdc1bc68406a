"""The repair within a job: who else may pay, the part, the mending."""

from __future__ import annotations

from proveout.app.filing import append, events_of, reminders_for
from proveout.app.job import Stage
from proveout.intake.answers import SHOWED
from proveout.intake.resolve import choose
from proveout.measure.number import NumberError, read_number
from proveout.model.atom import COMES_BACK, STAYS_AWAY
from proveout.model.entries import Cause
from proveout.record.deeds import mending_body, purchase_body, repair_body, watch_body
from proveout.show.cautions import remedy_lines
from proveout.show.deeds import after_repair_text, reminders_text, watching_text
from proveout.show.page import HEAD, Page
from proveout.terminal.common import say, tell, width
from proveout.terminal.job import Job
from proveout.terminal.paper import show
from proveout.terminal.turns import agreed, ask

#: Most that a part may cost, and most minutes that a repair may take.
_MOST_MONEY, _MOST_MINUTES = 1e9, 1e6


def mend(job: Job, stage: Stage) -> bool:
    """Take somebody through the repair of a proven cause and record it.

    Raises:
        TurnError: something else is wanted.
        click.Abort: it was broken off.
    """
    cause = job.book.causes[stage.cause]
    if cause.remedy.part and not stage.bought:
        _bought(job, cause, stage.currency)
    page = Page(width())
    page.line()
    page.line((HEAD, "What mends it"))
    page.lay(remedy_lines(job.book, cause.remedy, width(), stage.currency))
    show(page)
    while not agreed("\nIs it mended?"):
        tell("  Take your time: later leaves the job here, and it goes on from here.")
    minutes = _figure("How many minutes it took (Enter: not known)", _MOST_MINUTES)
    events = events_of(job.case)
    append(job.case, events, repair_body(events, job.book, cause.id, minutes=minutes))
    say("\n" + after_repair_text(cause, job.book, width()))
    return True


def put_right(job: Job, stage: Stage) -> bool:
    """Take somebody through putting right what is plainly broken, and record it.

    Raises:
        TurnError: something else is wanted.
        click.Abort: it was broken off.
    """
    cause = job.book.causes[stage.cause]
    page = Page(width())
    page.line()
    page.line((HEAD, "What puts it right"))
    page.lay(remedy_lines(job.book, cause.remedy, width(), stage.currency))
    show(page)
    while not agreed("\nIs it put right?"):
        tell("  Take your time: later leaves the job here, and it goes on from here.")
    minutes = _figure("How many minutes it took (Enter: not known)", _MOST_MINUTES)
    events = events_of(job.case)
    append(job.case, events, mending_body(events, job.book, cause.id, minutes=minutes))
    say("\n" + watching_text(cause, str(job.case), width()))
    return True


def watch(job: Job, stage: Stage) -> bool:
    """Ask what was seen since something was put right, and record it; give whether the job goes on.

    Raises:
        TurnError: something else is wanted.
        click.Abort: it was broken off.
    """
    while True:
        said = ask(
            f"\nHas the trouble stayed away since? ({STAYS_AWAY}, {COMES_BACK}; Enter: not known yet)",
            (STAYS_AWAY, COMES_BACK),
        )
        if not said:
            tell(f"  {job.book.causes[stage.cause].title}: it goes on from here when you know.")
            return False
        said = choose(said, SHOWED).id or said
        if said in SHOWED:
            events = events_of(job.case)
            append(job.case, events, watch_body(events, said))
            return True
        tell(f"  {said}: {STAYS_AWAY} or {COMES_BACK}.")


def _bought(job: Job, cause: Cause, currency: str) -> None:
    """Remind of who else may pay, and record what the part cost, if one was bought."""
    events = events_of(job.case)
    say("\n" + reminders_text(reminders_for(events, job.book, cause.id), cause.title, width()))
    unit = f", {currency}" if currency else ""
    cost = _figure(f"\nWhat the part cost{unit}: {cause.remedy.part} (Enter: none was bought)", _MOST_MONEY)
    if cost is not None:
        append(job.case, events, purchase_body(events, job.book, cause.id, cost))


def _figure(text: str, most: float) -> float | None:
    """Ask for a number; None where it was passed over."""
    while True:
        answer = ask(text, ("a number, such as 12,50",))
        if not answer:
            return None
        try:
            value = read_number(answer).value
        except NumberError as error:
            tell(f"  {error.saw}; {error.mend}")
            continue
        if 0 <= value < most:
            return value
        tell(f"  {answer} is less than nothing, or too much.")
