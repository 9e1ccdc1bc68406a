"""The argument for a part: everything that led to buying it, in the order in which one would explain it.

It is made from the purchase, the advice before it and the whole triage that belongs to that advice; ``show``
puts it into words.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from proveout.audit.replay import Shelf
from proveout.intake.called import evidence_said
from proveout.intake.document import case_of
from proveout.model.advice import Hypothesis, Triage
from proveout.model.atom import RESULT
from proveout.model.belief import Entry
from proveout.model.book import Book
from proveout.model.entries import same_part
from proveout.model.problem import BadInputError, DamagedRecordError
from proveout.model.rule import Rule
from proveout.model.terms import Warranty
from proveout.model.trace import Silent, Spoken
from proveout.plan.advice import advise
from proveout.readiness.warranty import FEDERAL, Reminder, known_terms, reminders
from proveout.record.bodies import Advice, Mending, Purchase, Repair, body_of, last_body
from proveout.record.deeds import advised_cause
from proveout.record.event import Event
from proveout.record.state import merged, withdrawn

#: Below this confidence an alternative counts as set aside by the evidence.
SMALL = 0.05
#: Decibans from which one observation is told as speaking for or against a cause.
LEAST_TOLD = 0.5


@dataclass(frozen=True, slots=True)
class RuleUsed:
    """A rule of the trace, and what it did.

    Attributes:
        rule: with its place, reason and the finding that it concludes.
        in_ledger: whether it speaks in the cause's ledger.
        by: for a rule that holds and is silent on the cause, how and by what: ``overruled by another-rule``.
    """

    rule: Rule
    in_ledger: bool = False
    by: str = ""


@dataclass(frozen=True, slots=True)
class Alternative:
    """Another cause: how likely it stayed, and why it was set aside (or that it was not)."""

    cause: str
    title: str
    confidence: float
    set_aside: bool
    why: str


@dataclass(frozen=True, slots=True)
class Unchecked:
    """An inspection that did not count.

    Attributes:
        inspection, title: which.
        cause: that it would have shown.
        required: whether it was due before buying.
        formerly: whether it had been made before, of a part that was replaced since.
    """

    inspection: str
    title: str
    cause: str
    required: bool
    formerly: bool = False


@dataclass(frozen=True, slots=True)
class Argument:
    """Why a part was bought.

    Attributes:
        purchase, bought: the event, and what it holds.
        advice: the event of the last advice before it.
        answer: the whole triage of that advice, computed anew.
        book: that it rests on.
        title: of the cause that the part was to mend.
        confidence: in the cause at that time; 0 where it was not in play.
        direct: what the inspections that prove it had shown.
        ledger: of the cause; empty where it was not in play.
        rules, alternatives, unchecked: see there.
        warranty: who else may pay.
        voided: whether something was repaired between the advice and the purchase.
    """

    purchase: Event
    bought: Purchase
    advice: Event
    answer: Triage
    book: Book
    title: str
    confidence: float
    direct: str
    ledger: tuple[Entry, ...]
    rules: tuple[RuleUsed, ...]
    alternatives: tuple[Alternative, ...]
    unchecked: tuple[Unchecked, ...]
    warranty: tuple[Reminder, ...]
    voided: bool = False

    @property
    def against_verdict(self) -> bool:
        """Whether the advice had not said to buy this part; one before the last repair no longer says so."""
        named = self.book.causes.get("" if self.voided else advised_cause(self.advice))
        cause = self.book.causes.get(self.bought.cause)
        return named is None or cause is None or not same_part(named, cause)

    @property
    def cause(self) -> str:
        """Id of the cause that the part was to mend."""
        return self.bought.cause


def arguments(events: Sequence[Event], shelf: Shelf) -> tuple[Argument, ...]:
    """Return the argument for each purchase that an advice came before, and whose book is at hand.

    Args:
        events: of the case.
        shelf: gives the books; that of today adds its warranty terms.
    """
    found = []
    for purchase in (event for event in events if event.kind == Purchase.kind):
        last = last_body([event for event in events if event.n < purchase.n], Advice)
        if last is None:
            continue
        event = last[0]
        document = merged(events, purchase.n)
        try:
            book = shelf.book_for(event)
            answer = advise(case_of(document, book), book)
        except (BadInputError, DamagedRecordError):
            continue
        terms = known_terms(book, shelf.today or book)
        before = [one for one in events if one.n < purchase.n]
        found.append(argument(purchase, event, document, answer, book, terms, before))
    return tuple(found)


def argument(
    purchase: Event,
    advice: Event,
    document: Mapping[str, Any],
    answer: Triage,
    book: Book,
    terms: Sequence[Warranty] = FEDERAL,
    before: Sequence[Event] = (),
) -> Argument:
    """Return the argument for a purchase.

    Args:
        purchase: its event.
        advice: the last advice before it.
        document: what was known then, as an intake document.
        answer: the triage of that, by the book of the advice.
        book: the book that it names.
        terms: warranty terms to look at.
        before: the events before the purchase.
    """
    bought = body_of(purchase, Purchase)
    cause = bought.cause
    entry = book.causes.get(cause)
    hypothesis = next((item for item in answer.hypotheses if item.cause == cause), None)
    vehicle, ever = document.get("vehicle", {}), _ever_made(before, book)
    age, km, year = (vehicle.get(key) for key in ("age_years", "mileage_km", "first_year"))
    return Argument(
        purchase=purchase,
        bought=bought,
        advice=advice,
        answer=answer,
        book=book,
        title=entry.title if entry else cause,
        confidence=hypothesis.confidence if hypothesis else 0.0,
        direct=hypothesis.direct if hypothesis else "none",
        ledger=_ledger(answer, cause),
        rules=_rules(answer, book, cause),
        alternatives=_alternatives(answer, book, cause, ever),
        unchecked=_unchecked(answer, book, cause, ever),
        warranty=reminders(entry.component if entry else "", age, km, year, terms),
        voided=any(advice.n < one.n and one.kind in (Repair.kind, Mending.kind) for one in before),
    )


def _ever_made(before: Sequence[Event], book: Book) -> frozenset[str]:
    """Return the inspections that were read at any time, withdrawn ones left out, by their names of today."""
    if not before:
        return frozenset()
    gone = withdrawn(before)
    kept = [one for one in before if one.kind not in (Repair.kind, Mending.kind) and one.n not in gone]
    names = [item["inspection"] for item in merged(kept).get("readings", ())]
    return frozenset(book.former.get(f"inspection {name}", name) for name in names)


def _ledger(answer: Triage, cause: str) -> tuple[Entry, ...]:
    return next((ledger.entries for ledger in answer.ledgers if ledger.cause == cause), ())


def _rules(answer: Triage, book: Book, cause: str) -> tuple[RuleUsed, ...]:
    """Return the rules of the cause's ledger, those that hold and are silent on it, and the findings'."""

    def bears(item: Spoken | Silent) -> bool:
        return item.background or cause in item.causes

    spoke = {
        item.rule: RuleUsed(book.rules[item.rule], in_ledger=True) for item in answer.spoken if bears(item)
    }
    silent = {
        item.rule: RuleUsed(book.rules[item.rule], by=f"{item.how} by {item.by}")
        for item in answer.silent
        if bears(item) and item.rule not in spoke
    }
    concluded = [RuleUsed(book.rules[fired.rule]) for fired in answer.chained.fired if fired.concludes]
    return tuple(
        used
        for some in (spoke.values(), silent.values(), concluded)
        for used in sorted(some, key=lambda used: used.rule.id)
    )


def _alternatives(answer: Triage, book: Book, cause: str, ever: frozenset[str]) -> tuple[Alternative, ...]:
    found = []
    for item in answer.hypotheses:
        if item.cause == cause:
            continue
        formerly = not ever.isdisjoint(book.proved_by.get(item.cause, ()))
        set_aside, why = _why_set_aside(item, _ledger(answer, item.cause), book, formerly)
        found.append(Alternative(item.cause, book.causes[item.cause].title, item.confidence, set_aside, why))
    return tuple(found)


def _why_set_aside(
    hypothesis: Hypothesis, ledger: Sequence[Entry], book: Book, formerly: bool
) -> tuple[bool, str]:
    """Say why a cause was set aside, or that it was not; ``formerly`` if it was inspected before a repair."""
    if hypothesis.direct == "failed":
        return False, "its own inspection showed it too"
    if hypothesis.direct == "passed":
        return True, "its own inspection came out sound"
    if hypothesis.confidence >= SMALL and formerly:
        return False, "it stayed possible; what its inspection gave was of the part before the repair"
    if hypothesis.confidence >= SMALL:
        return False, "it stayed possible and was not inspected"
    seen = [entry for entry in ledger if entry.what != "prior"]
    counter = min(seen, key=lambda entry: entry.decibans, default=None)
    if counter and counter.decibans <= -LEAST_TOLD:
        told = evidence_said(book, counter.what, counter.said)
        return True, f"“{told}” speaks against it most, {counter.decibans:+.1f} decibans"
    pointer = max(seen, key=lambda entry: entry.decibans, default=None)
    if pointer and pointer.decibans >= LEAST_TOLD:
        told = evidence_said(book, pointer.what, pointer.said)
        return True, (
            f"it is rare; “{told}” points to it ({pointer.decibans:+.1f} decibans), but others explain it "
            "better"
        )
    return True, "it is rare, and nothing seen points to it"


def _unchecked(answer: Triage, book: Book, cause: str, ever: frozenset[str]) -> tuple[Unchecked, ...]:
    """List what was due before buying, then what would have shown the causes that stayed possible.

    ``ever`` are the inspections that were made at any time, if only of a part that was replaced since.
    """
    done = {seen.observable.key for seen in answer.sheet.observations if seen.observable.kind == RESULT}
    due = book.causes[cause].before_buying if cause in book.causes else ()
    found = [_one_unchecked(book, name, cause, ever, required=True) for name in due if name not in done]
    for item in answer.hypotheses:
        if item.cause == cause or item.direct != "none" or item.confidence < SMALL:
            continue
        names = (name for name in book.proved_by.get(item.cause, ()) if name not in done and name not in due)
        found += [_one_unchecked(book, name, item.cause, ever, required=False) for name in names]
    return tuple(found)


def _one_unchecked(
    book: Book, inspection: str, cause: str, ever: frozenset[str], *, required: bool
) -> Unchecked:
    title = book.inspections[inspection].title
    return Unchecked(inspection, title, cause, required, inspection in ever)
