"""The whole job at the terminal: inspection by inspection to the verdict, the repair and its verification."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

from proveout.app.amending import last_step
from proveout.app.filing import events_of
from proveout.app.job import (
    ENDED,
    TO_CONFIRM,
    TO_END,
    TO_INSPECT,
    TO_MEND,
    TO_TRY,
    TO_VERIFY,
    TO_WATCH,
    Stage,
    forget_place,
    settled,
)
from proveout.app.recording import Kept, appended, withdrawn
from proveout.model.advice import Triage
from proveout.model.book import Book
from proveout.model.case import SET_ASIDE
from proveout.model.problem import BadInputError
from proveout.record.bodies import Amendment
from proveout.show.change import change_text
from proveout.show.triage_page import triage_page
from proveout.show.why import why_text
from proveout.terminal.asking_kinds import answered
from proveout.terminal.common import say, tell, width
from proveout.terminal.paper import show
from proveout.terminal.turns import CANNOT, LATER, TURNS, UNDO, WHY, TurnError, ask
from proveout.terminal.waiting import doing


@dataclass(slots=True)
class Job:
    """A case under way.

    Attributes:
        case: its file.
        book: the rules.
        layers: directories laid over the shipped rules.
        display: preference for units.
        asked: kinds of vehicle asked about, so that nobody is asked twice.
    """

    case: Path
    book: Book
    layers: tuple[Path, ...]
    display: str
    asked: set[tuple[str, ...]] = field(default_factory=set)


def work(job: Job) -> None:
    """Go on with a case until it has ended or is left; what was recorded is kept at every point.

    Raises:
        BadInputError: the case cannot be read.
        click.Abort: it was broken off.
    """
    tell(f"At any point: {TURNS}; ? lists the answers.")
    while True:
        with doing("Working out what to do next"):
            stage = settled(job.case, job.book, job.layers)
        if stage.kind == ENDED:
            say("This case is closed.")
            return
        try:
            if not _one_stage(job, stage):
                return
        except TurnError as turn:
            if not _turned(job, stage, str(turn)):
                return


def _one_stage(job: Job, stage: Stage) -> bool:
    """Do one stage; give whether the job goes on."""
    from proveout.terminal import job_ending, job_inspecting, job_mending

    if stage.answer is not None:
        say("")
        show(triage_page(stage.answer, job.book, width(), job.display))
    if stage.answer is not None and _asked(job, stage.answer):
        return True
    if stage.kind == TO_INSPECT and stage.answer and stage.answer.next:
        job_inspecting.inspect(job, stage.answer.next.inspection, stage.answer)
        return True
    if stage.kind == TO_CONFIRM:
        return job_ending.confirm(job)
    does = {
        TO_MEND: job_mending.mend,
        TO_TRY: job_mending.put_right,
        TO_WATCH: job_mending.watch,
        TO_VERIFY: job_ending.verify,
        TO_END: job_ending.end,
    }
    return does[stage.kind](job, stage)


def _asked(job: Job, answer: Triage) -> bool:
    """Ask what there is to ask about the vehicle, once; give whether that changed what is known."""
    if answer.ask is None or answer.ask.kinds in job.asked:
        return False
    job.asked.add(answer.ask.kinds)
    adds = answered(answer.ask, ask)
    if adds:
        told(job, appended(job.case, Amendment(adds=adds), job.book, job.layers))
    return bool(adds)


def _turned(job: Job, stage: Stage, turn: str) -> bool:
    """Do what was said in the place of an answer; give whether the job goes on."""
    inspecting = stage.kind == TO_INSPECT
    if turn == WHY:
        _why(job, stage.answer)
    elif turn == UNDO:
        _undo(job)
    elif turn == CANNOT and inspecting:
        _set_aside(job, stage, _reason())
    elif turn in SET_ASIDE and inspecting:
        _set_aside(job, stage, turn)
    elif turn == LATER and inspecting:
        _set_aside(job, stage, "not-today")
    else:
        left(job)
        return False
    return True


def left(job: Job) -> None:
    """Say how to go on with a job that is left."""
    tell(f"Left here; everything recorded is kept. Go on with: proveout work {job.case}")


def told(job: Job, kept: Kept) -> None:
    """Say what a change of the record changed in the answer."""
    say("\n" + change_text(kept.before, kept.after, job.book, width(), job.display))


def _why(job: Job, answer: Triage | None) -> None:
    if answer is None or not answer.hypotheses:
        say("Nothing is searched for now: what was mended is to be shown to have held.")
        return
    cause = answer.verdict.cause or answer.hypotheses[0].cause
    say(why_text(answer, job.book, cause, width(), job.display))


def _undo(job: Job) -> None:
    try:
        number = last_step(events_of(job.case))
    except BadInputError as error:
        tell(f"  {error}")
        return
    forget_place(job.case)
    tell(f"Taken back: event {number}.")
    told(job, withdrawn(job.case, number, job.book, job.layers))


def _reason() -> str:
    """Ask why an inspection cannot be done."""
    reasons = {"1": "cannot-reach", "2": "no-tool", "3": "not-today"}
    for number, why in reasons.items():
        tell(f"    {number}  {why}")
    while True:
        answer = ask("Why not", reasons.values())
        if answer in reasons or answer in reasons.values():
            return reasons.get(answer, answer)


def _set_aside(job: Job, stage: Stage, why: str) -> None:
    assert stage.answer is not None and stage.answer.next is not None
    forget_place(job.case)
    aside = Amendment(adds={"set_aside": {stage.answer.next.inspection: why}})
    told(job, appended(job.case, aside, job.book, job.layers))
