"""What a book's examples and cases reach: which rules speak, which conditions hold, which causes come out."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from msgspec import Struct

from proveout.chain.closing import close
from proveout.intake.document import case_of
from proveout.intake.sheet import sheet_of
from proveout.model.advice import Triage
from proveout.model.atom import Atom
from proveout.model.book import Book
from proveout.model.problem import BadInputError
from proveout.model.rule import Rule
from proveout.plan.advice import advise

#: How far a cause comes: it is in play, it leads, an inspection clears it, it is proven.
IN_PLAY, LEADS, CLEARED, PROVEN = "in play", "leads", "cleared", "proven"
REACHED = (IN_PLAY, LEADS, CLEARED, PROVEN)


class Reached(Struct):
    """What one case, or many, reach.

    Attributes:
        cases: how many.
        unread: how many of them the book cannot read.
        rules: id of a rule to the number of cases in which it stands in a ledger or concludes.
        held: fact to the number of cases in which it held; in all others that were read it did not.
        causes: (cause, how far it comes) to how often.
    """

    cases: int
    unread: int
    rules: Counter[str]
    held: Counter[Atom]
    causes: Counter[tuple[str, str]]

    def add(self, other: Reached) -> None:
        """Count what another one reaches, too."""
        self.cases += other.cases
        self.unread += other.unread
        self.rules.update(other.rules)
        self.held.update(other.held)
        self.causes.update(other.causes)


def nothing() -> Reached:
    """Return the reach of no case at all."""
    return Reached(0, 0, Counter(), Counter(), Counter())


def reach_of_case(document: Mapping[str, Any], book: Book) -> Reached:
    """Return what one intake document reaches."""
    found = nothing()
    found.cases = 1
    try:
        answer = advise(case_of(document, book), book, brief=True)
    except BadInputError:
        found.unread = 1
        return found
    found.rules.update(speaking(answer))
    found.causes.update(_far(answer))
    found.held.update(answer.chained.facts)
    return found


def speaking(answer: Triage) -> set[str]:
    """Return the rules that stand in a ledger of a case, or conclude."""
    return {spoken.rule for spoken in answer.spoken} | {fired.rule for fired in answer.chained.fired}


def reach_of_examples(book: Book, rules: Iterable[str]) -> Reached:
    """Return what the examples of some rules reach: conditions and conclusions, no confidence."""
    found = nothing()
    for name in rules:
        for example in book.rules[name].examples:
            found.cases += 1
            try:
                chained = close(book, sheet_of(case_of(example.intake, book), book).atoms)
            except BadInputError:
                found.unread += 1
                continue
            found.rules.update({fired.rule for fired in chained.fired})
            found.held.update(chained.facts)
    return found


def _far(answer: Triage) -> Iterator[tuple[str, str]]:
    for rank, hypothesis in enumerate(answer.hypotheses):
        yield hypothesis.cause, IN_PLAY
        if rank == 0:
            yield hypothesis.cause, LEADS
        if hypothesis.direct == "passed":
            yield hypothesis.cause, CLEARED
    if answer.verdict.cause:
        yield answer.verdict.cause, PROVEN


def silent_rules(book: Book, found: Reached) -> list[Rule]:
    """Return the rules that never speak, in the order of their ids."""
    return [rule for rule in book.rules.values() if not found.rules[rule.id]]


def one_sided(book: Book, found: Reached) -> list[tuple[Rule, Atom, bool]]:
    """Return the conditions of rules that conclude which never hold, or never fail to; with which it was."""
    read = found.cases - found.unread
    return [
        (rule, atom, bool(found.held[atom]))
        for rule in (book.rules.values() if read else ())
        if rule.concludes
        for atom in sorted(rule.when.atoms)
        if found.held[atom] in (0, read)
    ]


def causes_short_of(book: Book, found: Reached, how: str) -> list[str]:
    """Return the causes that never come so far."""
    return [name for name in book.causes if not found.causes[name, how]]


def share(book: Book, found: Reached) -> float:
    """Return the share of the book's rules that speak somewhere."""
    return share_of(book, (name for name, times in found.rules.items() if times))


def share_of(book: Book, speaking: Iterable[str]) -> float:
    """Return the share of the book's rules that are among some that speak."""
    return len(set(speaking) & set(book.rules)) / len(book.rules) if book.rules else 1.0
