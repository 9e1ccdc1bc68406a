"""How a job ends: the repair is shown to have held, or the case is closed otherwise."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any, TypeVar

from proveout.app.facts import code_from
from proveout.app.filing import append, events_of
from proveout.app.job import Stage
from proveout.app.meant import tried
from proveout.app.naming import monitor_of
from proveout.app.recording import reading_of
from proveout.app.verifying import Asked, asked_after
from proveout.intake.forms import reading_forms
from proveout.measure.distance import distance, kilometres
from proveout.model.advice import REFER
from proveout.model.problem import BadInputError
from proveout.record.ahead import still_to_drive
from proveout.record.closing import CONFIRMED, NOTHING_WRONG, REFERRED, close_body, confirmation
from proveout.record.deeds import counters_from, verification_body
from proveout.record.state import merged
from proveout.show.deeds import confirmation_text
from proveout.terminal.common import say, tell, width
from proveout.terminal.job import Job, left
from proveout.terminal.turns import agreed, ask
from proveout.text.unhyphened import unhyphened

T = TypeVar("T")


def verify(job: Job, _stage: Stage) -> bool:
    """Ask what showed after the repair and record it; the job is left where something is still missing.

    Raises:
        TurnError: something else is wanted.
        click.Abort: it was broken off.
    """
    events = events_of(job.case)
    found = confirmation(events, job.book)
    say("\n" + confirmation_text(found, still_to_drive(events, job.book), job.book, width()))
    if not agreed("\nDo you have something to record of it now?"):
        left(job)
        return False
    due = asked_after(events, found, job.book)
    body = verification_body(
        events,
        job.book,
        repeated=[item for name in due.again if (item := _again(job, name))],
        codes_cleared=agreed("Were the codes cleared after the repair?"),
        codes_now=_until(_codes, "Codes stored now, or none"),
        codes_read=True,
        monitors_run=_until(_monitors(job), "Readiness monitors that have completed since (Enter: none)"),
        driven_km=_until(_driven, "How far it was driven since the codes were cleared (Enter: not yet)"),
        **_further(due),
    )
    append(job.case, events, body)
    events = events_of(job.case)
    found = confirmation(events, job.book)
    say("\n" + confirmation_text(found, still_to_drive(events, job.book), job.book, width()))
    return True


def _again(job: Job, name: str) -> dict[str, Any]:
    """Ask what an inspection gave when it was done again; nothing where it was not."""
    entry = job.book.inspections[name]
    document = merged(events_of(job.case))

    def read(answer: str) -> dict[str, Any]:
        words = tuple(answer.split())
        if not words:
            return {}
        tried(name, words, document, job.book)
        return reading_of(name, words, "", (), job.book).kept()

    return _until(read, f"{entry.title}, done again: {reading_forms(entry)} (Enter: not done)")


def _driven(answer: str) -> float:
    """Read how far it was driven, km."""
    return kilometres(*distance(answer)) if answer else 0.0


def _further(due: Asked) -> dict[str, Any]:
    """Ask for what else can tell: the counters of misfires; without codes, whether it is gone."""
    if due.counters:
        text = "Counters of misfires after the drive, such as misfire-3=0 (Enter: not read)"
        return {"counters": _until(lambda answer: counters_from(answer.split()), text)}
    if due.gone and agreed("Was it looked for on a drive, and is it gone?"):
        return {"gone": list(due.gone)}
    return {}


def _codes(answer: str) -> list[Any]:
    """Read codes; that there are none must be said, as it speaks for the repair."""
    if not answer:
        raise ValueError("the codes as they are stored now, or none where you looked and there are none")
    if answer.casefold() == "none":
        return []
    return [code_from(text) for text in re.split(r"[,;\s]+", answer) if text]


def _monitors(job: Job) -> Callable[[str], list[str]]:
    def read(answer: str) -> list[str]:
        return [monitor_of(name, job.book) for name in re.split(r"[,;]\s*|\band\b", answer) if name.strip()]

    return read


def _until(read: Callable[[str], T], text: str) -> T:
    """Ask until the answer can be used."""
    while True:
        try:
            return read(ask(text))
        except (BadInputError, ValueError) as error:
            tell(f"  {error}")


def confirm(job: Job) -> bool:
    """Close a case whose repair is confirmed, if that is wanted."""
    return _closed(job, CONFIRMED, "The repair is confirmed. Close the case?")


def end(job: Job, stage: Stage) -> bool:
    """Close a case in which nothing further is worth doing here, if that is wanted."""
    assert stage.answer is not None
    for reason in stage.answer.verdict.reasons[1:]:
        say(f"  {reason}")
    if stage.answer.is_blank:
        tell(f"Add a code or what you notice: proveout amend {job.case}")
        return False
    if stage.answer.verdict.kind == REFER:
        return _closed(job, REFERRED, "\nClose the case as referred?")
    return _closed(job, NOTHING_WRONG, "\nClose the case, as nothing needs mending?")


def _closed(job: Job, outcome: str, question: str) -> bool:
    if not agreed(question):
        left(job)
        return False
    events = events_of(job.case)
    head = append(job.case, events, close_body(events, job.book, outcome))
    say(f"Closed as {unhyphened(outcome)}. Keep this head with the report: it shows a cut tail.\n{head}")
    return False
