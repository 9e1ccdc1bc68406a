"""Which rules speak on one observable, put together as one table."""

from __future__ import annotations

from collections.abc import Iterable

from proveout.model.atom import Atom, Observable
from proveout.model.belief import Table
from proveout.model.book import Book
from proveout.model.rule import Rule


def table(book: Book, facts: frozenset[Atom], observable: Observable) -> Table | None:
    """Give the table by which an observable answers to causes in a closed set of facts.

    The observable need not have been seen: a rule applies when its condition holds with its own state
    assumed and the other states left out. For one state and cause the most specific rule speaks; the
    background is that of the most specific rule that states ``otherwise``, and 0 where none does.

    Returns:
        The table, or None when no rule weighs the observable in these facts.
    """
    rules = _applicable(book, facts, observable)
    states = tuple(sorted(rules))
    if not states:
        return None
    causes = sorted({cause for heard in rules.values() for rule in heard for cause in rule.weights})
    named = {c: [_speaker(r for r in rules[k] if c in r.weights) for k in states] for c in causes}
    others = [_speaker(r for r in rules[k] if r.otherwise is not None) for k in states]
    spoke = {c: _ids(speakers) for c, speakers in [*named.items(), ("", others)]}
    return Table(
        observable,
        states,
        background=tuple((r.otherwise or 0.0) if r else 0.0 for r in others),
        given={c: tuple(r.weights[c] if r else 0.0 for r in named[c]) for c in causes},
        spoke={c: ids for c, ids in spoke.items() if ids},
    )


def _applicable(book: Book, facts: frozenset[Atom], observable: Observable) -> dict[str, list[Rule]]:
    """Give, for each state, the rules on it whose context holds."""
    elsewhere = frozenset(a for a in facts if (a.kind, a.key) != observable)
    rules: dict[str, list[Rule]] = {}
    for rule_id in sorted(book.weighing.get(observable, ())):
        rule = book.rules[rule_id]
        if rule.observes and rule.when.holds(elsewhere | {rule.observes}):
            rules.setdefault(rule.observes.value, []).append(rule)
    return rules


def _speaker(rules: Iterable[Rule]) -> Rule | None:
    """Give the most specific rule.

    The check of the book refuses rules of which none is the most specific. Should one get here all the
    same, the one with the most conditions speaks, ties by id, so that the answer stays determined.
    """
    heard = list(rules)
    if len(heard) < 2:
        return heard[0] if heard else None
    widest = [r for r in heard if not any(r.context < other.context for other in heard)]
    return min(widest, key=lambda r: (-len(r.context), r.id), default=None)


def _ids(speakers: Iterable[Rule | None]) -> tuple[str, ...]:
    """Give the ids of the rules that spoke, sorted, each once."""
    return tuple(sorted({rule.id for rule in speakers if rule}))
