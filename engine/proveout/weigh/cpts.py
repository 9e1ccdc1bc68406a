"""Which rules speak on an observable, put together as one table.

The tables of a closed set of facts are made once, each when it is first asked for, by ``CPTs``: weighing,
planning and the trace read the same ones.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from proveout.chain.applying import applying
from proveout.model.atom import Atom, Observable
from proveout.model.belief import CPT
from proveout.model.book import Book
from proveout.model.rule import Rule
from proveout.model.trace import BACKGROUND


class CPTs:
    """The tables of one closed set of facts.

    Attributes:
        book: the rules.
        facts: the closed set of facts.
    """

    def __init__(
        self,
        book: Book,
        facts: frozenset[Atom],
        known: Mapping[Observable, tuple[str, ...]] | None = None,
    ) -> None:
        """Take a closed set of facts; ``known`` are the rules that chaining found to apply."""
        self.book, self.facts = book, facts
        self._applying = dict(known or {})
        self._made: dict[Observable, CPT | None] = {}

    def on(self, observable: Observable) -> CPT | None:
        """Return the table by which an observable answers to causes, or None when no rule weighs it here.

        The observable need not have been seen: a rule applies when its condition holds with its own state
        assumed and the other states left out. For one state and cause the most specific rule speaks; the
        background is that of the most specific rule that states ``otherwise``, and 0 where none does.
        """
        if observable not in self._made:
            rules = self._rules(observable)
            self._made[observable] = _cpt(observable, rules) if rules else None
        return self._made[observable]

    def speaker(self, atom: Atom, cause: str) -> Rule:
        """Return the rule that gives the figure of a cause, or of ``BACKGROUND``, in one state.

        Raises:
            LookupError: no rule gives it.
        """
        rules = self._rules(Observable(atom.kind, atom.key))
        return _speakers([rule for rule in rules if rule.observes == atom])[cause]

    def _rules(self, observable: Observable) -> list[Rule]:
        """Return the rules that apply to an observable, in order of id."""
        if observable not in self._applying:
            self._applying.update(applying(self.book, self.facts, (observable,)))
        return [self.book.rules[rule] for rule in self._applying[observable]]


#: The tables of the last few sets of facts. Weighing a case and planning it ask for the same ones; books are
#: known again by identity, since comparing them would cost more than the tables.
_RECENT: list[CPTs] = []
_KEPT = 4


def cpts_of(
    book: Book, facts: frozenset[Atom], known: Mapping[Observable, tuple[str, ...]] | None = None
) -> CPTs:
    """Return the tables of a closed set of facts; ``known`` as in ``CPTs``."""
    for made in _RECENT:
        if made.book is book and made.facts == facts:
            return made
    made = CPTs(book, facts, known)
    _RECENT[:] = [made, *_RECENT[: _KEPT - 1]]
    return made


def cpt(book: Book, facts: frozenset[Atom], observable: Observable) -> CPT | None:
    """Return the table of one observable in a closed set of facts; see ``Tables.on``."""
    return cpts_of(book, facts).on(observable)


def _cpt(observable: Observable, rules: Iterable[Rule]) -> CPT:
    """Put the rules that apply to an observable together, the most specific for each figure."""
    by_state: dict[str, list[Rule]] = {}
    for rule in rules:
        if rule.observes:
            by_state.setdefault(rule.observes.value, []).append(rule)
    states = tuple(sorted(by_state))
    nothing = [0.0] * len(states)
    rows: dict[str, list[float]] = {BACKGROUND: nothing}
    spoke: dict[str, list[str]] = {}
    for place, state in enumerate(states):
        for cause, rule in _speakers(by_state[state]).items():
            row = rows.get(cause, nothing)
            if row is nothing:
                row = rows[cause] = nothing.copy()
            row[place] = rule.weights[cause] if cause else rule.otherwise or 0.0
            spoke.setdefault(cause, []).append(rule.id)
    background = tuple(rows.pop(BACKGROUND))
    return CPT(
        observable,
        states,
        background,
        given={cause: tuple(rows[cause]) for cause in sorted(rows)},
        spoke={cause: tuple(sorted(ids)) for cause, ids in spoke.items()},
    )


def _speakers(rules: Sequence[Rule]) -> dict[str, Rule]:
    """Return the rule that gives each figure of one state: of the causes and of ``BACKGROUND``."""
    if len(rules) == 1:
        return dict.fromkeys(figures_of(rules[0]), rules[0])
    heard: dict[str, list[Rule]] = {}
    for rule in rules:
        for cause in figures_of(rule):
            heard.setdefault(cause, []).append(rule)
    return {cause: most_specific(some) for cause, some in heard.items()}


def figures_of(rule: Rule) -> tuple[str, ...]:
    """Return what a rule gives figures of: the causes that it names, and ``BACKGROUND`` if it states it."""
    return (*rule.weights, BACKGROUND) if rule.otherwise is not None else tuple(rule.weights)


def most_specific(rules: Sequence[Rule]) -> Rule:
    """Return the most specific of some rules, of which there is at least one.

    The check of the book refuses rules of which none is the most specific. Should one get here all the
    same, the one with the most conditions speaks, ties by id, so that the answer stays determined.
    """
    if len(rules) == 1:
        return rules[0]
    contexts = [rule.context for rule in rules]
    widest = [
        rule
        for rule, mine in zip(rules, contexts, strict=True)
        if not any(mine < other for other in contexts)
    ]
    return min(widest, key=lambda rule: (-len(rule.context), rule.id))
