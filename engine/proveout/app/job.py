"""Where a case stands between complaint and confirmed repair, and the place within an inspection."""

from __future__ import annotations

import json
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path

from msgspec import Struct

from proveout.app.filing import events_of
from proveout.app.keeping import keep_advice
from proveout.intake.document import case_of
from proveout.model.advice import INSPECT, MEND, REPAIR, WATCH, Triage
from proveout.model.book import Book
from proveout.model.problem import BadInputError
from proveout.plan.advice import advise
from proveout.record import files
from proveout.record.bodies import Purchase, Repair, bodies, last_body
from proveout.record.closing import came_back, confirmation, is_closed
from proveout.record.deeds import last_advice
from proveout.record.event import Event
from proveout.record.state import merged

#: The stages of a job: inspect further; mend what is proven; put right what is plainly broken; say what was
#: seen since; show that it held; end it as confirmed; end it otherwise; it has ended.
TO_INSPECT, TO_MEND, TO_TRY, TO_WATCH, TO_VERIFY, TO_CONFIRM, TO_END, ENDED = (
    "inspect",
    "mend",
    "try",
    "watch",
    "verify",
    "confirm",
    "end",
    "ended",
)


class Stage(Struct, frozen=True):
    """What is to be done now.

    Attributes:
        kind: one of the stages.
        answer: the triage, while the cause is searched for or is to be mended.
        cause: what is to be mended, or was.
        bought: whether the part for it was bought.
    """

    kind: str
    answer: Triage | None = None
    cause: str = ""
    bought: bool = False

    @property
    def currency(self) -> str:
        """Return how the user calls his currency, or ""."""
        return self.answer.currency if self.answer else ""


def stage_of(events: Sequence[Event], book: Book, known: Triage | None = None) -> Stage:
    """Return the stage of a case.

    Args:
        events: of the case.
        book: the rules.
        known: its triage as it stands, where that is known.

    Raises:
        BadInputError: the case names what the book does not have.
    """
    if is_closed(events):
        return Stage(ENDED)
    repair = last_body(events, Repair)
    if repair and not came_back(events, book):
        done = confirmation(events, book).confirmed
        return Stage(TO_CONFIRM if done else TO_VERIFY, cause=repair[1].cause)
    answer = known or advise(case_of(merged(events), book), book)
    if answer.next is not None and answer.verdict.kind == INSPECT:
        return Stage(TO_INSPECT, answer)
    if answer.verdict.kind == REPAIR:
        cause, since = answer.verdict.cause, repair[0].n if repair else 0
        bought = any(body.cause == cause for event, body in bodies(events, Purchase) if event.n > since)
        return Stage(TO_MEND, answer, cause, bought)
    further = {MEND: TO_TRY, WATCH: TO_WATCH}
    return Stage(further.get(answer.verdict.kind, TO_END), answer, answer.verdict.cause)


def settled(path: Path, book: Book, layers: tuple[Path, ...]) -> Stage:
    """Return the stage of a case file; an advice that is due, as after a mending, is kept in it first.

    Raises:
        BadInputError: the case cannot be read or used.
    """
    events = events_of(path)
    stage = stage_of(events, book)
    if stage.answer is not None and last_advice(events) is None:
        keep_advice(path, stage.answer, book, layers, expect_head=events[-1].digest)
    return stage


#: How the file begins that keeps a place; what stands there and begins otherwise is left alone.
_BEGINS = b'{"inspection"'


def _place_file(case: Path) -> Path:
    return case.with_name(f"{case.name}.place")


def keep_place(case: Path, inspection: str, step: int) -> None:
    """Keep how far an inspection was done, for going on later; where that cannot be, it begins anew."""
    with suppress(BadInputError, OSError):
        data = json.dumps({"inspection": inspection, "step": step}).encode()
        files.replace(_place_file(case), data, _BEGINS)


def kept_place(case: Path, inspection: str) -> int:
    """Return how many steps of an inspection were done when it was left; 0 where it was not."""
    try:
        kept = json.loads(files.read(_place_file(case)))
        return int(kept["step"]) if kept["inspection"] == inspection else 0
    except (BadInputError, ValueError, KeyError, TypeError, RecursionError):
        return 0


def forget_place(case: Path) -> None:
    """Let go of the place, as the inspection is done or another comes first."""
    with suppress(BadInputError, OSError):
        if files.read(_place_file(case)).startswith(_BEGINS):
            _place_file(case).unlink()
