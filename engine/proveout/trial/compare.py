"""Two books beside each other: which answers to the same cases differ, by how much, by which rules."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import log10
from typing import Any

from msgspec import Struct

from proveout.intake.document import case_of
from proveout.intake.sheet import sheet_of
from proveout.model.advice import Triage
from proveout.model.atom import FINDING, RESULT
from proveout.model.book import Book
from proveout.model.entries import Cause
from proveout.model.problem import BadInputError
from proveout.model.rule import Rule
from proveout.plan.advice import advise
from proveout.weigh.inference import infer

#: Kinds of change, the gravest first. The last two are those of single facts: a reading has another result,
#: or a finding is concluded otherwise; and a fact says more or less for a cause than it did.
UNREADABLE, VERDICT, LEADING, NEXT, CONFIDENCE = "unreadable", "verdict", "leading", "next", "confidence"
RESULTS, WEIGHT = "result", "weight"
KINDS = (UNREADABLE, VERDICT, LEADING, NEXT, CONFIDENCE, RESULTS, WEIGHT)
#: A fact says otherwise where it moves the odds of a cause by another factor of two, in decibans.
LEAST_DECIBANS = 10 * log10(2.0)


class Answer(Struct, frozen=True):
    """What one book says of one case.

    Attributes:
        verdict: its kind, and the cause that it names.
        next: the proposed inspection, or "".
        confidence: of each cause in play, the likeliest first.
        rules: ids of those that stand in the ledgers.
        wrong: what the book cannot read of the case, or "".
        settled: of a single fact, the results that its readings have and the findings that are concluded.
    """

    verdict: tuple[str, str] = ("", "")
    next: str = ""
    confidence: Mapping[str, float] = {}
    rules: frozenset[str] = frozenset()
    wrong: str = ""
    settled: frozenset[str] = frozenset()

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
        facts: how many single facts were asked besides.
        rules: how many rules differ between the books.
        changes: the gravest first.
    """

    cases: int
    facts: int
    rules: int
    changes: tuple[Change, ...]


def answer(document: Mapping[str, Any], book: Book) -> Answer:
    """Return what a book says of an intake document; one that it cannot read is an answer, too."""
    try:
        return _of(advise(case_of(document, book), book, brief=True))
    except BadInputError as error:
        return Answer(wrong=str(error.problems[0]))


def _of(found: Triage) -> Answer:
    return Answer(
        verdict=(found.verdict.kind, found.verdict.cause),
        next=found.next.inspection if found.next else "",
        confidence={hypothesis.cause: hypothesis.confidence for hypothesis in found.hypotheses},
        rules=frozenset(spoken.rule for spoken in found.spoken),
    )


def said_alone(document: Mapping[str, Any], book: Book) -> Answer:
    """Return what a single fact comes to, without a plan: what it settles, what it leaves of causes."""
    try:
        sheet = sheet_of(case_of(document, book), book)
    except BadInputError as error:
        return Answer(wrong=str(error.problems[0]))
    found = infer(book, sheet, "reference")  # no cheaper way, and every engine answers alike
    settled = {f"{o.observable.key}={o.decided or o.states}" for o in sheet.observations
               if o.observable.kind == RESULT}  # fmt: skip
    settled |= {str(atom) for atom in found.chained.facts if atom.kind == FINDING}
    confidence = sorted(found.posterior.confidence().items(), key=lambda item: (-item[1], item[0]))
    rules = frozenset(fired.rule for fired in found.chained.fired)
    return Answer(confidence=dict(confidence), rules=rules, settled=frozenset(settled))


def differing_entries(old: Book, new: Book) -> dict[str, str]:
    """Return what may make a single fact say otherwise: rules and ``inspection ID`` to how they differ.

    A rule also counts where a cause that it names has another base rate.
    """
    found = differing_rules(old, new)
    for name, entry in new.inspections.items():
        before = old.inspections.get(name)
        if before is not None and (before.reading, before.results) != (entry.reading, entry.results):
            found[f"inspection {name}"] = "changed"
    moved = {name for name, cause in new.causes.items()
             if name in old.causes and _prior(cause) != _prior(old.causes[name])}  # fmt: skip
    for name, rule in new.rules.items():
        if moved & rule.weights.keys():
            found.setdefault(name, "changed")
    return found


def _prior(cause: Cause) -> tuple[object, ...]:
    return cause.base_rate, cause.factors


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
    kinds = tuple(kind for kind in KINDS if differs.get(kind))
    if not kinds:
        return None
    spoke = sorted((old.rules | new.rules) & differing.keys())
    return Change(case, kinds, old, new, moved, tuple((name, differing[name]) for name in spoke))


def fact_change(name: str, old: Answer, new: Answer, differing: Mapping[str, str]) -> Change | None:
    """Return how what a single fact says changed, or None where it did not; arguments as for ``change``."""
    moved = max(_moves(old, new), key=lambda move: abs(_decibans(move[2]) - _decibans(move[1])),
                default=("", 0.0, 0.0))  # fmt: skip
    differs = {
        UNREADABLE: bool(old.wrong) != bool(new.wrong),
        RESULTS: old.settled != new.settled,
        WEIGHT: abs(_decibans(moved[2]) - _decibans(moved[1])) >= LEAST_DECIBANS,
    }
    kinds = tuple(kind for kind in KINDS if differs.get(kind))
    if not kinds:
        return None
    spoke = sorted((old.rules | new.rules) & differing.keys())
    return Change(name, kinds, old, new, moved, tuple((name, differing[name]) for name in spoke))


def _decibans(chance: float) -> float:
    """Return the log-odds of a chance; what is below one in a million counts as one in a million."""
    held = min(max(chance, 1e-6), 1 - 1e-6)
    return 10 * log10(held / (1 - held))


def _moves(old: Answer, new: Answer) -> Iterator[tuple[str, float, float]]:
    """Return the confidence of every cause in play with both books; out of play it is none."""
    for cause in dict.fromkeys((*old.confidence, *new.confidence)):
        yield cause, old.confidence.get(cause, 0.0), new.confidence.get(cause, 0.0)
