"""Two books beside each other: which answers to the same cases differ, by how much, by which rules."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from msgspec import Struct

from proveout.intake.document import case_of
from proveout.model.advice import Triage
from proveout.model.book import Book
from proveout.model.problem import BadInputError
from proveout.model.rule import Rule
from proveout.plan.advice import advise

#: Kinds of change, the gravest first.
UNREADABLE, VERDICT, LEADING, NEXT, CONFIDENCE = "unreadable", "verdict", "leading", "next", "confidence"
KINDS = (UNREADABLE, VERDICT, LEADING, NEXT, CONFIDENCE)


class Answer(Struct, frozen=True):
    """What one book says of one case.

    Attributes:
        verdict: its kind, and the cause that it names.
        next: the proposed inspection, or "".
        confidence: of each cause in play, the likeliest first.
        rules: ids of those that stand in the ledgers.
        wrong: what the book cannot read of the case, or "".
    """

    verdict: tuple[str, str] = ("", "")
    next: str = ""
    confidence: Mapping[str, float] = {}
    rules: frozenset[str] = frozenset()
    wrong: str = ""

    @property
    def leading(self) -> str:
        """The likeliest cause, or "" where none is in play."""
        return next(iter(self.confidence), "")


class Change(Struct, frozen=True):
    """How the answer to one case changed.

    Attributes:
        case: its name.
        kinds: of the change, the gravest first.
        old, new: the answers.
        moved: the cause whose confidence moved farthest, with both confidences.
        rules: ids of rules that speak in one of the answers and differ between the books, with how.
    """

    case: str
    kinds: tuple[str, ...]
    old: Answer
    new: Answer
    moved: tuple[str, float, float]
    rules: tuple[tuple[str, str], ...]

    @property
    def size(self) -> tuple[int, float]:
        """Larger for graver kinds, then for farther moves of confidence."""
        _, before, after = self.moved
        return len(KINDS) - KINDS.index(self.kinds[0]), abs(after - before)


class Compared(Struct, frozen=True):
    """What two books say of the same cases.

    Attributes:
        cases: how many were tried.
        rules: how many rules differ between the books.
        changes: the gravest first.
    """

    cases: int
    rules: int
    changes: tuple[Change, ...]


def answer(document: Mapping[str, Any], book: Book) -> Answer:
    """Return what a book says of an intake document; one that it cannot read is an answer, too."""
    try:
        return _of(advise(case_of(document, book), book))
    except BadInputError as error:
        return Answer(wrong=str(error.problems[0]))


def _of(found: Triage) -> Answer:
    return Answer(
        verdict=(found.verdict.kind, found.verdict.cause),
        next=found.next.inspection if found.next else "",
        confidence={standing.cause: standing.confidence for standing in found.standings},
        rules=frozenset(spoken.rule for spoken in found.spoken),
    )


def differing_rules(old: Book, new: Book) -> dict[str, str]:
    """Return the rules that are not the same in both books: id to ``new``, ``gone`` or ``changed``.

    What a rule says in words and where it stands makes no answer, and is passed over.
    """
    found = {name: "gone" for name in old.rules if name not in new.rules}
    for name, rule in new.rules.items():
        if name not in old.rules:
            found[name] = "new"
        elif _effect(rule) != _effect(old.rules[name]):
            found[name] = "changed"
    return found


def _effect(rule: Rule) -> tuple[object, ...]:
    return rule.when, rule.concludes, rule.observes, dict(rule.weights), rule.otherwise


def change(case: str, old: Answer, new: Answer, differing: Mapping[str, str], least: float) -> Change | None:
    """Return how an answer changed, or None where it did not.

    Args:
        case: its name.
        old: the answer of the book before.
        new: the answer of the book after.
        differing: rules that are not the same in both.
        least: least move of a confidence that counts, such as 0.02.
    """
    moved = max(_moves(old, new), key=lambda move: abs(move[2] - move[1]), default=("", 0.0, 0.0))
    differs = {
        UNREADABLE: bool(old.wrong) != bool(new.wrong),
        VERDICT: old.verdict != new.verdict,
        LEADING: old.leading != new.leading,
        NEXT: old.next != new.next,
        CONFIDENCE: abs(moved[2] - moved[1]) >= least,
    }
    kinds = tuple(kind for kind in KINDS if differs[kind])
    if not kinds:
        return None
    spoke = sorted((old.rules | new.rules) & differing.keys())
    return Change(case, kinds, old, new, moved, tuple((name, differing[name]) for name in spoke))


def _moves(old: Answer, new: Answer) -> Iterator[tuple[str, float, float]]:
    """Return the confidence of every cause in play with both books; out of play it is none."""
    for cause in dict.fromkeys((*old.confidence, *new.confidence)):
        yield cause, old.confidence.get(cause, 0.0), new.confidence.get(cause, 0.0)
