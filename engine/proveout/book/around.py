"""What stands around an entry in the book: what leads to a cause, and what something observed leads to."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from msgspec import Struct

from proveout.model.atom import CODE, FINDING, HAPPENS, RESULT, SYMPTOM, Atom, Observable
from proveout.model.book import Book
from proveout.model.problem import NOWHERE, BadInputError, Problem
from proveout.model.rule import Rule

#: A cause as the end of an arrow; no rule mentions one as a fact.
CAUSE = "cause"


class Arrow(Struct, frozen=True, order=True):
    """One step from a fact to a finding or cause.

    Attributes:
        start: the fact.
        end: the finding; or the cause, as ``CAUSE`` with its id and no value.
        frequency: how often the fact is seen where the cause is present; 0 for a step to a finding.
        never: the finding needs that the fact is absent.
        context: the frequency holds only under further conditions.
        rule: that says so.
    """

    start: Atom
    end: Atom
    frequency: float = 0.0
    never: bool = False
    context: bool = False
    rule: str = ""


class Around(Struct, frozen=True):
    """The arrows around an entry, and how many weaker ones were left out."""

    entry: str
    arrows: tuple[Arrow, ...]
    left_out: int = 0


def around(book: Book, entry: str, most: int) -> Around:
    """Return what bears on a cause, or what a code, symptom, circumstance, inspection or finding bears on.

    Args:
        book: the compiled book.
        entry: an id.
        most: most arrows to causes; of more the strongest are kept.

    Raises:
        BadInputError: it is an entry of another kind, or no rule mentions it.
    """
    rules = [rule for rule in book.rules.values() if rule.concludes or rule.weights]
    concluding = _concluding(rules)
    if entry in book.causes:
        weighing = [rule for rule in rules if entry in rule.weights]
        arrows = _strongest(rule_arrows for rule in weighing for rule_arrows in _weighed(rule, (entry,)))
        kept = arrows[:most]
        kept += _leading_to({arrow.start for arrow in kept}, concluding)
    else:
        starts = _facts_of(book, entry, rules)
        steps = _following(starts, concluding)
        reached = starts | {step.end for step in steps}
        weighing = [rule for rule in rules if rule.observes in reached]
        arrows = _strongest(arrow for rule in weighing for arrow in _weighed(rule, rule.weights))
        kept = [*arrows[:most], *steps]
    if not kept:
        saw, mend = f"{entry}, which no rule mentions", "rules show says what it is"
        raise BadInputError(Problem(NOWHERE, "nothing-around", saw, "an entry that some rule weighs", mend))
    return Around(entry, tuple(kept), max(len(arrows) - most, 0))


def _facts_of(book: Book, entry: str, rules: Iterable[Rule]) -> set[Atom]:
    """Return the facts of an observable that some rule mentions."""
    words = book.words
    kinds: Mapping[str, Mapping[str, object]] = {
        CODE: words.codes,
        SYMPTOM: words.symptoms,
        HAPPENS: words.circumstances,
        RESULT: book.inspections,
        FINDING: words.findings,
    }
    among = {Observable(kind, entry) for kind, terms in kinds.items() if entry in terms}
    if not among:
        expected = "a cause, code, symptom, circumstance, inspection or finding"
        raise BadInputError(Problem(NOWHERE, "no-graph", entry, expected, "list them with: rules list"))
    return {atom for rule in rules for atom in rule.when.atoms if Observable(atom.kind, atom.key) in among}


def _concluding(rules: Iterable[Rule]) -> list[Arrow]:
    """Return the steps from facts to findings, of all rules."""
    found = set()
    for rule in rules:
        if rule.concludes:
            end = Atom(FINDING, rule.concludes, "true")
            found |= {Arrow(atom, end, rule=rule.id) for atom in (*rule.when.all_of, *rule.when.any_of)}
            found |= {Arrow(atom, end, never=True, rule=rule.id) for atom in rule.when.none_of}
    once = {(one.start, one.end, one.never): one for one in sorted(found, reverse=True)}
    return sorted(once.values())


def _weighed(rule: Rule, causes: Iterable[str]) -> list[Arrow]:
    if rule.observes is None:
        return []
    context = bool(rule.context)
    return [
        Arrow(rule.observes, Atom(CAUSE, cause, ""), rule.weights[cause], context=context, rule=rule.id)
        for cause in causes
    ]


def _strongest(arrows: Iterable[Arrow]) -> list[Arrow]:
    """Return the arrows to causes, one from a fact to a cause, the strongest first."""
    found: dict[tuple[Atom, Atom], Arrow] = {}
    for arrow in arrows:
        before = found.get((arrow.start, arrow.end))
        if before is None or (arrow.frequency, before.rule) > (before.frequency, arrow.rule):
            found[arrow.start, arrow.end] = arrow
    return sorted(found.values(), key=lambda arrow: (-arrow.frequency, arrow))


def _leading_to(ends: Iterable[Atom], concluding: Sequence[Arrow]) -> list[Arrow]:
    """Return the steps by which facts lead to some findings, through further findings."""
    wanted, found = set(ends), []
    while more := [step for step in concluding if step.end in wanted and step not in found]:
        found += more
        wanted |= {step.start for step in more}
    return found


def _following(starts: Iterable[Atom], concluding: Sequence[Arrow]) -> list[Arrow]:
    """Return the steps by which some facts lead to findings, through further findings."""
    reached, found = set(starts), []
    while more := [step for step in concluding if step.start in reached and step not in found]:
        found += more
        reached |= {step.end for step in more}
    return found
