"""Faults that come and go: a good reading that was taken while the fault was away clears hardly anything.

A cause says what it comes with, a complaint what the trouble of the case comes with. Where a reading that
would show a cause was good, the frequency with which the cause shows there counts only with the chance that
it was there to be seen. What is abnormal counts in full: then the fault was there.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence

from msgspec.structs import replace

from proveout.model.atom import CODE, HAPPENS, RESULT, STATUS, SYMPTOM, Atom
from proveout.model.belief import CPT, Evidence
from proveout.model.book import Book
from proveout.model.case import Sheet
from proveout.model.presence import ABSENT, PRESENT, TIME
from proveout.weigh.likelihoods import Rates, is_quiet, rates_of

#: Chance that a fault that comes and goes was there to be seen: at a reading that was taken while it was away
#: (what is noticed and what is there differ a little), at one of which nobody says, and where it was tried to
#: bring it on. From memory.
AWAY, AT_REST, BROUGHT_ON = 0.05, 0.3, 0.7
#: Why a good reading speaks against what comes and goes less than its rules say.
MAY_BE_AWAY = "it counts only with the chance that the fault was there to be seen"


class Presence:
    """How far the readings of a case could see causes that come and go.

    Attributes:
        ways: what the trouble of the case comes with; empty where nothing says that it comes and goes.
        taken: the inspections made.
    """

    def __init__(self, book: Book, sheet: Sheet) -> None:
        """Take a case."""
        self._book, self._sheet, self._marks = book, sheet, dict(sheet.presence)
        self.ways = _ways(book, sheet)
        self.taken = frozenset(o.observable.key for o in sheet.observations if o.observable.kind == RESULT)

    def away(self, check: str, cause: str) -> bool:
        """Say whether a cause may be away while an inspection is made as it comes."""
        entry, comes = self._book.inspections[check], self._book.causes[cause].comes_with
        if not comes or entry.kind == "visual" or not set(entry.brings_on).isdisjoint(comes):
            return False
        return TIME in self.ways or not self.ways.isdisjoint(comes)

    def seen(self, check: str, cause: str) -> float:
        """Return the chance that a cause was there to be seen at the latest reading of an inspection."""
        mark = self._marks.get(check, "")
        if mark == PRESENT or not self.away(check, cause):
            return 1.0
        return AWAY if mark == ABSENT else AT_REST

    def comes_with(self, cause: str) -> frozenset[str]:
        """Return what a cause comes with."""
        return frozenset(self._book.causes[cause].comes_with)

    def bears(self, check: str, causes: Iterable[str]) -> bool:
        """Say whether it matters for some of the causes if the fault is there while an inspection is made."""
        return any(self.away(check, cause) for cause in causes)

    def eased(self, evidence: Sequence[Evidence], causes: Collection[str]) -> tuple[Evidence, ...]:
        """Return the evidence, of good readings the frequencies of causes that may have been away lowered."""
        return tuple(self._eased(one, causes) for one in evidence) if self.ways else tuple(evidence)

    def _eased(self, evidence: Evidence, causes: Collection[str]) -> Evidence:
        observable = evidence.cpt.observable
        if observable.kind != RESULT or not is_quiet(evidence):
            return evidence
        named = [cause for cause in evidence.cpt.given if cause in causes]
        shares = {cause: self.seen(observable.key, cause) for cause in named}
        eased = tuple((c, f"{MAY_BE_AWAY} ({share:g})") for c, share in shares.items() if share < 1.0)
        return replace(evidence, cpt=lowered(evidence.cpt, shares), eased=eased)

    def planned(self, check: str, told: Rates | None, causes: Collection[str]) -> Rates | None:
        """Return what an inspection tells if it is tried to bring on what may be away."""
        if told is None or not self.ways:
            return told
        shares = {c: BROUGHT_ON for c in told.cpt.given if c in causes and self.away(check, c)}
        return rates_of(lowered(told.cpt, shares)) if shares else told

    def worth_again(self, check: str, causes: Collection[str]) -> bool:
        """Say whether an inspection that came out good told hardly anything of some causes; once each."""
        if not self.ways or check in self._sheet.repeated or self._marks.get(check) == PRESENT:
            return False
        results = {r.id for r in self._book.inspections[check].results if r.normal}
        good = any(
            o.observable.key == check and o.observable.kind == RESULT and o.decided in results
            for o in self._sheet.observations
        )
        proves = self._book.inspections[check].proves
        return good and any(cause in proves and self.away(check, cause) for cause in causes)


def lowered(cpt: CPT, shares: Mapping[str, float]) -> CPT:
    """Return a table, of some causes every frequency times a share."""
    if all(share == 1.0 for share in shares.values()):
        return cpt
    given = {
        cause: tuple(shares.get(cause, 1.0) * figure for figure in row) for cause, row in cpt.given.items()
    }
    return replace(cpt, given=given)


def _ways(book: Book, sheet: Sheet) -> frozenset[str]:
    """Return what the trouble of a case comes with, by what was said of it and of its readings."""
    found: set[str] = set()
    for kind, terms in ((HAPPENS, book.words.circumstances), (SYMPTOM, book.words.symptoms)):
        for atom in sheet.atoms:
            if atom.kind == kind and atom.key in terms:
                found.update(terms[atom.key].brings_on)
    codes = [atom.key for atom in sheet.atoms if atom.kind == CODE]
    stored = [code for code in codes if Atom(STATUS, code, "history") in sheet.atoms]
    if ABSENT in dict(sheet.presence).values() or (codes and len(stored) == len(codes)):
        found.add(TIME)
    return frozenset(found)
