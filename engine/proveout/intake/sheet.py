"""A case turned into facts for the chainer and observations to weigh."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from msgspec import Struct, field

from proveout.book.codes import parse_code
from proveout.intake.facts import facts_of
from proveout.intake.history import history_of
from proveout.intake.telling import reading_notes
from proveout.intake.vehicle import kinds_of
from proveout.model.atom import (
    CANNOT_TELL,
    CODE,
    HAPPENS,
    NORMAL,
    REPLACED,
    RESULT,
    STATUS,
    STAYS_AWAY,
    SYMPTOM,
    WATCH,
    WORK,
    Atom,
    Observable,
    Observation,
)
from proveout.model.book import Book
from proveout.model.case import SET_ASIDE, Case, Read, Sheet
from proveout.model.entries import Inspection
from proveout.model.preference import AS_WRITTEN
from proveout.model.presence import ABSENT

if TYPE_CHECKING:
    from proveout.intake.words import Match

_SET, _PRESENT, _DONE = "set", "present", "done"


class _Gathered(Struct):
    """What is gathered while a case is read; becomes a frozen ``Sheet``."""

    atoms: set[Atom] = field(default_factory=set)
    seen: dict[Observable, Observation] = field(default_factory=dict)
    unmatched: list[str] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    opened: set[str] = field(default_factory=set)
    repeated: set[str] = field(default_factory=set)
    contrary: dict[str, str] = field(default_factory=dict)
    presence: dict[str, str] = field(default_factory=dict)

    def see(self, kind: str, key: str, state: str, said: str) -> None:
        observable = Observable(kind, key)
        self.seen[observable] = Observation(observable, ((state, 1.0),), said)
        if state != NORMAL:
            self.atoms.add(Atom(kind, key, state))


def sheet_of(
    case: Case, book: Book, readings: Sequence[Read] | None = None, *, each_code: bool = False
) -> Sheet:
    """Return the facts and observations of a case, in canonical order.

    A repeated inspection counts with its latest result, and a note says so. A reading too near a limit
    becomes a mixed observation and gives no fact. A code that is not set counts as normal only where its
    monitor has run.

    Args:
        case: what is known.
        book: the rules.
        readings: the case's inspections where they were judged already, as ``readings_of`` gives them.
        each_code: as in ``Sheet``, for advice kept before its third form.

    Raises:
        BadInputError: a reading cannot be used.
    """
    known = _judged(case, book) if readings is None else tuple(readings)
    gathered = _Gathered()
    _codes(case, book, gathered)
    _absent_codes(case, book, gathered, each_code=each_code)
    _complaints(case, gathered)
    _free_text(case, book, gathered)
    for read in known:
        _reading(read, book, gathered)
    _watched(case, gathered)
    gathered.atoms |= {Atom(REPLACED, key, _DONE) for key in case.replaced}
    gathered.atoms |= facts_of(case, book)
    history, told = history_of(case, book)
    gathered.notes += told
    gathered.notes += [f"{book.inspections[name].title} is left out: it {SET_ASIDE[why]}."
                       for name, why in case.set_aside.items()]  # fmt: skip
    return Sheet(
        frozenset(gathered.atoms),
        tuple(gathered.seen[key] for key in sorted(gathered.seen)),
        tuple(dict.fromkeys(gathered.unmatched)),
        tuple(dict.fromkeys((*gathered.notes, *reading_notes(known)))),
        frozenset(gathered.opened),
        frozenset(gathered.repeated),
        known,
        tuple(gathered.notes),
        tuple(sorted(gathered.contrary.items())),
        frozenset(case.set_aside),
        *kinds_of(case),
        case.mended,
        each_code,
        tuple(gathered.presence.items()),
        history,
        case.code_families,
    )


def _codes(case: Case, book: Book, gathered: _Gathered) -> None:
    for seen in case.codes:
        gathered.see(CODE, seen.code, _SET, seen.status)
        gathered.atoms.add(Atom(STATUS, seen.code, seen.status))
        if Observable(CODE, seen.code) not in book.weighing:
            gathered.unmatched.append(_why_unmatched(seen.code, book))


def _why_unmatched(code: str, book: Book) -> str:
    entry = book.words.codes.get(code)
    if entry:
        return f"{code} ({entry.meaning.rstrip('.')}): no rule of this book weighs it"
    if parse_code(code).controlled_by == "manufacturer":
        return f"{code}: its meaning is set by the vehicle's maker; add what you notice as symptoms"
    return f"{code}: not in the catalogue of this book"


def _absent_codes(case: Case, book: Book, gathered: _Gathered, *, each_code: bool) -> None:
    """See as normal the codes of monitors that have run, but for those that have set a code.

    A monitor that finds a fault stores one code for it; that it has not stored a sister code says nothing.
    """
    if not case.monitors_run:
        return  # reading the whole catalogue takes longer than all the rest
    catalogue = book.words.codes
    telling = {catalogue[seen.code].monitor for seen in case.codes if seen.code in catalogue}
    ran = set(case.monitors_run) - (set() if each_code else telling)
    for code, entry in catalogue.items():
        observable = Observable(CODE, code)
        if entry.monitor in ran and observable in book.weighing and observable not in gathered.seen:
            gathered.see(CODE, code, NORMAL, f"not set, {entry.monitor} monitor has run")


def _complaints(case: Case, gathered: _Gathered) -> None:
    for symptom in case.symptoms_absent:
        gathered.see(SYMPTOM, symptom, NORMAL, "absent")
    for symptom in case.symptoms:
        gathered.see(SYMPTOM, symptom, _PRESENT, _PRESENT)
    for circumstance in case.happens_when:
        gathered.see(HAPPENS, circumstance, _PRESENT, _PRESENT)
    gathered.atoms |= {Atom(WORK, key, _DONE) for key in case.recent_work}


def _watched(case: Case, gathered: _Gathered) -> None:
    """See what came of each mending; no rule speaks of it, so it gives no fact."""
    for mended in case.mended:
        if mended.since:
            observable = Observable(WATCH, mended.cause)
            state = NORMAL if mended.since == STAYS_AWAY else mended.since
            gathered.seen[observable] = Observation(observable, ((state, 1.0),), mended.since)


def _free_text(case: Case, book: Book, gathered: _Gathered) -> None:
    if not case.said:
        return
    from proveout.intake.index import index_for
    from proveout.intake.words import match

    matches, lost = match(case.said, index_for(book))
    gathered.unmatched += [f"“{clause}”" for clause in lost]
    for found in matches:
        if not found.taken:
            gathered.unmatched.append(_offer(found))
        elif found.kind == WORK:
            gathered.atoms.add(Atom(WORK, found.id, _DONE))
        elif Observable(found.kind, found.id) not in gathered.seen:
            state = NORMAL if found.negated else _PRESENT
            gathered.see(found.kind, found.id, state, f"“{found.clause}”")
        if found.taken:
            absent = "absent: " if found.negated else ""
            gathered.notes.append(f"“{found.clause}” is taken as: {absent}{found.title} ({found.id}).")


def _judged(case: Case, book: Book) -> tuple[Read, ...]:
    """Judge what was recorded; what measuring takes is loaded only where something was."""
    if not case.taken:
        return ()
    from proveout.intake.readings import readings_of

    return readings_of(case, book)


def _offer(found: Match) -> str:
    denial = ", which it seems to deny" if found.negated else ""
    others = "".join(f" or {item.id}: {item.title}" for item in found.others)
    perhaps = f"{found.id}: {found.title}{others}"
    return f"“{found.clause}” (perhaps {perhaps}{denial}; give the id if so)"


def _compare(
    inspection: Inspection,
    before: Observation,
    states: tuple[tuple[str, float], ...],
    fault: str,
    gathered: _Gathered,
) -> None:
    """Note whether the last two clear results of an inspection contradict each other."""
    normal = {result.id: result.normal for result in inspection.results}
    first, second = before.decided, states[0][0] if len(states) == 1 else None
    gathered.contrary.pop(inspection.id, None)
    if ABSENT in (fault, gathered.presence.get(inspection.id)):
        return  # a fault that comes and goes gives both, and neither is wrong
    if first in normal and second in normal and normal[first] != normal[second]:
        gathered.contrary[inspection.id] = str(first)


def _reading(read: Read, book: Book, gathered: _Gathered) -> None:
    inspection, states = read.inspection, read.states
    if read.old_part:
        return
    observable = Observable(RESULT, inspection)
    gathered.opened.update(book.inspections[inspection].access)
    before = gathered.seen.get(observable)
    if before is not None:
        gathered.repeated.add(inspection)
        _compare(book.inspections[inspection], before, states, read.fault, gathered)
        gathered.atoms -= {Atom(RESULT, inspection, state) for state, _ in before.states}
    gathered.seen[observable] = Observation(observable, states, read.said(AS_WRITTEN))
    gathered.presence.pop(inspection, None)
    if read.fault:
        gathered.presence[inspection] = read.fault
    if len(states) == 1 and states[0][0] != CANNOT_TELL:
        gathered.atoms.add(Atom(RESULT, inspection, states[0][0]))
