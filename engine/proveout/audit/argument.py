"""The argument for a part: everything that led to buying it, in the order in which one would explain it.

It is made from the purchase, the advice before it and the whole triage that belongs to that advice; ``show``
puts it into words.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from proveout.intake.document import case_of
from proveout.model.advice import Standing, Triage
from proveout.model.atom import RESULT
from proveout.model.belief import Entry
from proveout.model.book import Book
from proveout.model.rule import Rule
from proveout.model.terms import Warranty
from proveout.model.trace import Silent, Spoken
from proveout.plan.advice import advise
from proveout.readiness.warranty import FEDERAL, Reminder, known_terms, reminders
from proveout.record import snapshot
from proveout.record.bodies import Advice, Purchase, body_of, last_body
from proveout.record.deeds import advised_cause
from proveout.record.event import Event
from proveout.record.state import merged

#: Below this confidence an alternative counts as set aside by the evidence.
SMALL = 0.05


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
    """An inspection that was not done, the cause that it would have shown, and whether it was due before."""

    inspection: str
    title: str
    cause: str
    required: bool


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

    @property
    def against_verdict(self) -> bool:
        """Whether the advice had not said to repair this."""
        return advised_cause(self.advice) != self.bought.cause

    @property
    def cause(self) -> str:
        """Id of the cause that the part was to mend."""
        return self.bought.cause


def arguments(events: Sequence[Event], store: Path, today: Book) -> tuple[Argument, ...]:
    """Return the argument for each purchase that an advice came before.

    Args:
        events: of the case.
        store: the directory of book snapshots.
        today: the book at hand; it serves where an advice names the very same, and gives warranty terms.
    """
    found = []
    for purchase in (event for event in events if event.kind == Purchase.kind):
        last = last_body([event for event in events if event.n < purchase.n], Advice)
        if last is None:
            continue
        event, advice = last
        same = today.digest == advice.book_digest
        book = today if same else snapshot.book_of(snapshot.load(store, advice.snapshot))
        document = merged(events, event.n)
        answer = advise(case_of(document, book), book)
        vehicle = document.get("vehicle", {})
        found.append(argument(purchase, event, vehicle, answer, book, known_terms(book, today)))
    return tuple(found)


def argument(
    purchase: Event,
    advice: Event,
    vehicle: Mapping[str, Any],
    answer: Triage,
    book: Book,
    terms: Sequence[Warranty] = FEDERAL,
) -> Argument:
    """Return the argument for a purchase.

    Args:
        purchase: its event.
        advice: the last advice before it.
        vehicle: what was known of it, as in an intake document.
        answer: the triage of that advice.
        book: the book that it names.
        terms: warranty terms to look at.
    """
    bought = body_of(purchase, Purchase)
    cause = bought.cause
    entry = book.causes.get(cause)
    standing = next((item for item in answer.standings if item.cause == cause), None)
    age, km, year = (vehicle.get(key) for key in ("age_years", "mileage_km", "first_year"))
    return Argument(
        purchase=purchase,
        bought=bought,
        advice=advice,
        answer=answer,
        book=book,
        title=entry.title if entry else cause,
        confidence=standing.confidence if standing else 0.0,
        direct=standing.direct if standing else "none",
        ledger=_ledger(answer, cause),
        rules=_rules(answer, book, cause),
        alternatives=_alternatives(answer, book, cause),
        unchecked=_unchecked(answer, book, cause),
        warranty=reminders(entry.component if entry else "", age, km, year, terms),
    )


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


def _alternatives(answer: Triage, book: Book, cause: str) -> tuple[Alternative, ...]:
    found = []
    for item in answer.standings:
        if item.cause == cause:
            continue
        set_aside, why = _why_set_aside(item, _ledger(answer, item.cause))
        found.append(Alternative(item.cause, book.causes[item.cause].title, item.confidence, set_aside, why))
    return tuple(found)


def _why_set_aside(standing: Standing, ledger: Sequence[Entry]) -> tuple[bool, str]:
    """Say why a cause was set aside, or that it was not."""
    if standing.direct == "failed":
        return False, "its own inspection showed it too"
    if standing.direct == "passed":
        return True, "its own inspection came out sound"
    small = standing.confidence < SMALL
    counter = min(ledger, key=lambda entry: entry.decibans, default=None)
    if small and counter and counter.decibans < 0 and counter.what != "prior":
        return True, f"{counter.what} ({counter.said}) speaks against it most, {counter.decibans:+.1f} dB"
    if small:
        return True, "it is rare, and nothing seen points to it"
    return False, "it stayed possible and was not inspected"


def _unchecked(answer: Triage, book: Book, cause: str) -> tuple[Unchecked, ...]:
    """List what was due before buying, then what would have shown the causes that stayed possible."""
    done = {seen.observable.key for seen in answer.sheet.observations if seen.observable.kind == RESULT}
    due = book.causes[cause].before_buying if cause in book.causes else ()
    found = [_one_unchecked(book, name, cause, required=True) for name in due if name not in done]
    for item in answer.standings:
        if item.cause == cause or item.direct != "none" or item.confidence < SMALL:
            continue
        names = (name for name in book.proved_by.get(item.cause, ()) if name not in done and name not in due)
        found += [_one_unchecked(book, name, item.cause, required=False) for name in names]
    return tuple(found)


def _one_unchecked(book: Book, inspection: str, cause: str, *, required: bool) -> Unchecked:
    return Unchecked(inspection, book.inspections[inspection].title, cause, required)
