"""A case told repair by repair: what was known, looked at, bought and mended, whether it held, and what next.

Everything in it is read off the record and the advices that it holds; ``show`` puts it into words.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import takewhile
from typing import Any

from proveout.audit.argument import Argument
from proveout.audit.replay import Shelf
from proveout.intake.document import case_of
from proveout.intake.sheet import sheet_of
from proveout.model.atom import RESULT, Observable
from proveout.model.book import Book
from proveout.model.case import Sheet
from proveout.model.problem import BadInputError, DamagedRecordError
from proveout.record.bodies import (
    Advice,
    Mending,
    Purchase,
    Reading,
    Repair,
    Verification,
    Watch,
    Withdrawal,
    bodies,
    body_of,
    last_body,
)
from proveout.record.closing import Confirmation, came_back, confirmation
from proveout.record.event import OF_THE_RECORD, Event
from proveout.record.state import merged, withdrawn

#: What became of a repair.
HELD, CAME_BACK, NOT_SHOWN, NOTHING_MENDED = "held", "came-back", "not-shown", "nothing-mended"


@dataclass(frozen=True, slots=True)
class Step:
    """One event of a story.

    Attributes:
        event: as recorded.
        book: of the advice that it belongs to, or None where that is not at hand.
        sheet: for a reading, the facts right after it.
        told: the advice that came with it, or None.
        before: the advice before it, or None.
        withdrawn: the withdrawal that took it back later, or None.
        argument: for a purchase, why.
        found: for a verification, whether the repair is confirmed by it.
        back: for a verification or a watch, whether the trouble showed again.
        lost: for a repair, the inspections made before it whose readings no longer count.
        currency: of amounts, as the case names it then; or "".
    """

    event: Event
    book: Book | None
    sheet: Sheet | None = None
    told: Advice | None = None
    before: Advice | None = None
    withdrawn: Event | None = None
    argument: Argument | None = None
    found: Confirmation | None = None
    back: bool = False
    lost: tuple[str, ...] = ()
    currency: str = ""

    @property
    def inspection(self) -> str:
        """Id of the inspection that a reading is of, as the book has it today; else ""."""
        if self.event.kind != Reading.kind:
            return ""
        name = body_of(self.event, Reading).inspection
        return self.book.former.get(f"inspection {name}", name) if self.book else name

    @property
    def was_proposed(self) -> bool:
        """Whether the advice before had proposed just this inspection."""
        return self.before is not None and self.before.next == self.inspection != ""


@dataclass(frozen=True, slots=True)
class Chapter:
    """The story of one repair, or of what came after the last.

    Attributes:
        number: from 1.
        start: the merged intake document at its beginning.
        steps: its events, advices left out, which stand with what led to them.
        mended: the repair or mending that it tells of, or None.
        outcome: what became of it.
    """

    number: int
    start: Mapping[str, Any]
    steps: tuple[Step, ...] = field(default_factory=tuple)
    mended: Step | None = None
    outcome: str = NOTHING_MENDED


def chapters(events: Sequence[Event], shelf: Shelf, arguments: Sequence[Argument]) -> tuple[Chapter, ...]:
    """Return the story of a case, one chapter a repair.

    Args:
        events: of the case; its chain holds.
        shelf: gives the books.
        arguments: of its purchases.
    """
    argued = {item.purchase.n: item for item in arguments}
    aside = {body.event: event for event, body in bodies(events, Withdrawal)}
    gone = withdrawn(events)
    steps = [
        _step(events, event, shelf, argued.get(event.n), aside[event.n] if event.n in gone else None)
        for event in events[1:]
        if event.kind not in ("advice", *OF_THE_RECORD)
    ]
    found = []
    for number, part in enumerate(_parts(steps), start=1):
        upto = part[0].event.n - 1 if part and number > 1 else 1
        mended = next((one for one in part if one.event.kind in (Repair.kind, Mending.kind)), None)
        found.append(Chapter(number, merged(events, upto), tuple(part), mended, _outcome(steps, mended)))
    return tuple(found)


def _parts(steps: Sequence[Step]) -> list[list[Step]]:
    """Cut the steps into chapters: one ends where, after a repair, something else than its proof comes."""
    after = (Verification.kind, Watch.kind, "close", "note")
    parts: list[list[Step]] = [[]]
    mended = False
    for step in steps:
        kind = step.event.kind
        if mended and kind not in after:
            parts.append([])
            mended = False
        parts[-1].append(step)
        mended = mended or kind in (Repair.kind, Mending.kind)
    return parts


def _outcome(steps: Sequence[Step], mended: Step | None) -> str:
    """Return what became of a repair, by what was looked at after it and before the next one."""
    if mended is None:
        return NOTHING_MENDED
    after = [one for one in steps if one.event.n > mended.event.n]
    shown = takewhile(lambda one: one.event.kind not in (Repair.kind, Mending.kind), after)
    told = [one for one in shown if one.event.kind in (Verification.kind, Watch.kind)]
    if not told:
        return NOT_SHOWN
    if told[-1].back:
        return CAME_BACK
    last = told[-1]
    held = last.found.confirmed if last.found is not None else last.event.kind == Watch.kind
    return HELD if held else NOT_SHOWN


#: Kinds of event that an amount may stand in.
_PAID = frozenset({Purchase.kind, Mending.kind})


def _step(
    events: Sequence[Event], event: Event, shelf: Shelf, argued: Argument | None, gone: Event | None
) -> Step:
    before = events[: event.n - 1]
    follows = events[event.n] if event.n < len(events) else None
    with_it = follows if follows is not None and follows.kind == "advice" else None
    last = last_body(before, Advice)
    book = _book(shelf, with_it or (last[0] if last else None))
    found, back = _shown(events[: event.n], event, book)
    return Step(
        event=event,
        book=book,
        sheet=_sheet(events, event, book),
        told=body_of(with_it, Advice) if with_it else None,
        before=last[1] if last else None,
        withdrawn=gone,
        argument=argued,
        found=found,
        back=back,
        lost=_lost(before, event),
        currency=str(merged(before).get("costs", {}).get("currency", "")) if event.kind in _PAID else "",
    )


def _lost(before: Sequence[Event], event: Event) -> tuple[str, ...]:
    """Return the inspections whose readings a repair sets aside; of those that it names, the ones made."""
    if event.kind != Repair.kind:
        return ()
    made = dict.fromkeys(item["inspection"] for item in merged(before).get("readings", ()))
    voids = body_of(event, Repair).voids
    return tuple(name for name in made if name in voids)


def _book(shelf: Shelf, advice: Event | None) -> Book | None:
    """Return the book of an advice; today's, or none, where it is not kept."""
    if advice is None:
        return shelf.today
    try:
        return shelf.book_for(advice)
    except (BadInputError, DamagedRecordError):
        return shelf.today


def _sheet(events: Sequence[Event], event: Event, book: Book | None) -> Sheet | None:
    if event.kind != Reading.kind or book is None:
        return None
    try:
        return sheet_of(case_of(merged(events, event.n), book), book)
    except BadInputError:
        return None


def _shown(upto: Sequence[Event], event: Event, book: Book | None) -> tuple[Confirmation | None, bool]:
    """Return what a verification or a watch shows of the repair before it."""
    if event.kind == Watch.kind:
        return None, body_of(event, Watch).since == "comes-back"
    if event.kind != Verification.kind or book is None:
        return None, False
    try:
        return confirmation(upto, book), came_back(upto, book)
    except BadInputError:
        return None, False


def result_of(step: Step) -> tuple[str, ...]:
    """Return the results that a reading came out as, the likeliest first; none where that is not known."""
    if step.sheet is None:
        return ()
    wanted = Observable(RESULT, step.inspection)
    seen = next((one for one in step.sheet.observations if one.observable == wanted), None)
    return tuple(state for state, _ in sorted(seen.states, key=lambda pair: -pair[1])) if seen else ()
