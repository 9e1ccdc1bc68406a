"""The argument for a part: everything that led to buying it, in the order in which one would explain it.

It is made from the purchase, the advice before it and the whole triage that belongs to that advice, as data;
``show`` puts it into words.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from proveout.model.book import Book
from proveout.model.terms import Warranty
from proveout.readiness.warranty import FEDERAL, Reminder, reminders
from proveout.record.deeds import advised_cause
from proveout.record.event import Event

#: Below this confidence an alternative counts as set aside by the evidence.
SMALL = 0.05


@dataclass(frozen=True, slots=True)
class Fact:
    """One observation that counted: what was looked at, the state seen, and how it was given."""

    what: str
    state: str
    said: str


@dataclass(frozen=True, slots=True)
class RuleUsed:
    """A rule of the trace: where it stands, its reason, and what it did.

    Attributes:
        id, place, layer, because: of the rule.
        concludes: the finding that it concluded, or "".
        in_ledger: whether it speaks in the cause's ledger.
        by: for a rule that holds and is silent on the cause, how and by what: ``overruled by another-rule``.
    """

    id: str
    place: str
    layer: str
    because: str
    concludes: str = ""
    in_ledger: bool = False
    by: str = ""


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the ledger in decibans."""

    what: str
    said: str
    decibans: float
    rules: tuple[str, ...]


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
        purchase, advice: the events.
        cause, title, part, cost: what was bought for what.
        confidence: in the cause at that time; 0 where it was not in play.
        direct: what the inspections that prove it had shown.
        against_verdict: the advice had not said to repair this.
        reason: that was given for it.
        verdict, verdict_reasons: what the advice had said.
        facts, rules, ledger, alternatives, unchecked: see there.
        notes: remarks on the facts, such as an earlier result that no longer counted.
        not_in_book: how likely it was none of the causes.
        warranty: who else may pay.
    """

    purchase: Event
    advice: Event
    cause: str
    title: str
    part: str
    cost: float
    confidence: float
    direct: str
    against_verdict: bool
    reason: str
    verdict: str
    verdict_reasons: tuple[str, ...]
    facts: tuple[Fact, ...]
    notes: tuple[str, ...]
    rules: tuple[RuleUsed, ...]
    ledger: tuple[Line, ...]
    alternatives: tuple[Alternative, ...]
    unchecked: tuple[Unchecked, ...]
    not_in_book: float
    warranty: tuple[Reminder, ...]


def argument(
    purchase: Event,
    advice: Event,
    document: Mapping[str, Any],
    whole: Mapping[str, Any],
    book: Book,
    terms: Sequence[Warranty] = FEDERAL,
) -> Argument:
    """Return the argument for a purchase.

    Args:
        purchase: its event.
        advice: the last advice before it.
        document: the merged intake document that the advice rested on.
        whole: the triage of that advice as a document of schema ``proveout/triage/3``.
        book: the book that it names.
        terms: warranty terms to look at.
    """
    cause = str(purchase.body.get("cause", ""))
    entry = book.causes.get(cause)
    standing: Mapping[str, Any] = next((item for item in whole["causes"] if item["id"] == cause), {})
    ledger = _ledger(whole, cause)
    return Argument(
        purchase=purchase,
        advice=advice,
        cause=cause,
        title=entry.title if entry else cause,
        part=str(purchase.body.get("part", "")),
        cost=float(purchase.body.get("cost", 0)),
        confidence=float(standing.get("confidence", 0.0)),
        direct=str(standing.get("direct", "none")),
        against_verdict=advised_cause(advice) != cause,
        reason=str(purchase.body.get("reason", "")),
        verdict=str(whole["verdict"]["kind"]),
        verdict_reasons=tuple(whole["verdict"]["reasons"]),
        facts=_facts(whole),
        notes=tuple(whole["evidence"]["notes"]),
        rules=_rules(whole, cause),
        ledger=ledger,
        alternatives=_alternatives(whole, cause),
        unchecked=_unchecked(whole, book, cause),
        not_in_book=float(whole["not_in_book"]),
        warranty=_warranty(entry.component if entry else "", document.get("vehicle", {}), terms),
    )


def _warranty(component: str, vehicle: Mapping[str, Any], terms: Sequence[Warranty]) -> tuple[Reminder, ...]:
    age, km, year = (vehicle.get(key) for key in ("age_years", "mileage_km", "first_year"))
    return reminders(component, age, km, year, terms)


def _facts(whole: Mapping[str, Any]) -> tuple[Fact, ...]:
    return tuple(
        Fact(
            f"{seen['kind']} {seen['key']}",
            " or ".join(state["state"] for state in seen["states"]),
            str(seen.get("said", "")),
        )
        for seen in whole["evidence"]["observations"]
    )


def _ledger(whole: Mapping[str, Any], cause: str) -> tuple[Line, ...]:
    entries = next((item["entries"] for item in whole["ledgers"] if item["cause"] == cause), ())
    return tuple(
        Line(item["what"], item["said"], float(item["decibans"]), tuple(item.get("rules", ())))
        for item in entries
    )


def _rules(whole: Mapping[str, Any], cause: str) -> tuple[RuleUsed, ...]:
    """Return the rules of the cause's ledger, those that hold and are silent on it, and the findings'."""
    spoke = {item["id"]: _rule(item, in_ledger=True) for item in whole["spoke"] if _bears(item, cause)}
    silent = {
        item["id"]: _rule(item, by=f"{item['how']} by {item['by']}")
        for item in whole["silent"]
        if _bears(item, cause) and item["id"] not in spoke
    }
    concluded = [_rule(item, concludes=item["concludes"]) for item in whole["fired"] if item["concludes"]]
    return tuple(
        rule
        for some in (spoke.values(), silent.values(), concluded)
        for rule in sorted(some, key=lambda used: used.id)
    )


def _bears(item: Mapping[str, Any], cause: str) -> bool:
    """Say whether a rule of the trace bears on a cause, by its own figure or by the background."""
    return bool(item["background"]) or cause in item["causes"]


def _rule(item: Mapping[str, Any], *, concludes: str = "", in_ledger: bool = False, by: str = "") -> RuleUsed:
    return RuleUsed(item["id"], item["place"], item["layer"], item["because"], concludes, in_ledger, by)


def _alternatives(whole: Mapping[str, Any], cause: str) -> tuple[Alternative, ...]:
    found = []
    for item in whole["causes"]:
        if item["id"] == cause:
            continue
        set_aside, why = _why_set_aside(item, _ledger(whole, item["id"]))
        found.append(Alternative(item["id"], item["title"], float(item["confidence"]), set_aside, why))
    return tuple(found)


def _why_set_aside(standing: Mapping[str, Any], ledger: Sequence[Line]) -> tuple[bool, str]:
    """Say why a cause was set aside, or that it was not."""
    if standing["direct"] == "failed":
        return False, "its own inspection showed it too"
    if standing["direct"] == "passed":
        return True, "its own inspection came out sound"
    small = float(standing["confidence"]) < SMALL
    counter = min(ledger, key=lambda line: line.decibans, default=None)
    if small and counter and counter.decibans < 0 and counter.what != "prior":
        return True, f"{counter.what} ({counter.said}) speaks against it most, {counter.decibans:+.1f} dB"
    if small:
        return True, "it is rare, and nothing seen points to it"
    return False, "it stayed possible and was not inspected"


def _unchecked(whole: Mapping[str, Any], book: Book, cause: str) -> tuple[Unchecked, ...]:
    """List what was due before buying, then what would have shown the causes that stayed possible."""
    done = {seen["key"] for seen in whole["evidence"]["observations"] if seen["kind"] == "result"}
    due = book.causes[cause].before_buying if cause in book.causes else ()
    found = [_one_unchecked(book, name, cause, required=True) for name in due if name not in done]
    for item in whole["causes"]:
        if item["id"] == cause or item["direct"] != "none" or float(item["confidence"]) < SMALL:
            continue
        names = (name for name in book.proved_by.get(item["id"], ()) if name not in done and name not in due)
        found += [_one_unchecked(book, name, item["id"], required=False) for name in names]
    return tuple(found)


def _one_unchecked(book: Book, inspection: str, cause: str, *, required: bool) -> Unchecked:
    return Unchecked(inspection, book.inspections[inspection].title, cause, required)
