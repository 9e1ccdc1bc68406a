"""On random books and cases all engines say the same as brute force, trace included."""

from __future__ import annotations

import random

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from helpers_chain import agreed, book_of, by_force, found
from proveout.chain import close, engines
from proveout.model.atom import CODE, FACT, RESULT, SYMPTOM, WORK, Atom, observable_of
from proveout.model.book import Book
from proveout.model.rule import Rule, When

#: Names that a library might stumble over: reserved ones, dots, quotes, numbers, emptiness, other scripts.
_AWKWARD = (
    "sid",
    "id",
    "$s",
    "a.b",
    "",
    "1",
    "True",
    'say "so"',
    "back\\slash",
    "\u00e9\u20ac",
    "nul\0",
    "t0",
)

ATOMS = (
    *(Atom(CODE, key, "set") for key in _AWKWARD),
    *(Atom(kind, "x", value) for kind in (SYMPTOM, RESULT, WORK, FACT) for value in ("1", "True", "true")),
)
FINDINGS = 6


def conditions(below: int) -> st.SearchStrategy[When]:
    """Draw a condition over the case and the findings below a number."""
    atoms = st.sampled_from(ATOMS + tuple(found(n) for n in range(below)))
    if below:
        atoms = st.sampled_from(tuple(found(n) for n in range(below))) | atoms
    few = st.lists(atoms, max_size=3).map(tuple)
    return st.builds(When, all_of=few, any_of=few, none_of=st.lists(atoms, max_size=1).map(tuple))


@st.composite
def books(draw: st.DrawFn) -> Book:
    """Draw a book in which each finding rests on lower ones only, with the lowest strata that allow it."""
    rules: list[Rule] = []
    stratum: dict[str, int] = {}
    height: dict[Atom, int] = {}
    for n in range(FINDINGS):
        for when in draw(st.lists(conditions(n), max_size=3)):
            name = f"c{len(rules):02}"
            rules.append(Rule(name, when, concludes=str(n)))
            needed = [height.get(atom, 0) for atom in when.all_of + when.any_of]
            stratum[name] = max(needed + [height[a] + 1 for a in when.none_of if a in height], default=0)
        mine = [stratum[rule.id] for rule in rules if rule.concludes == str(n)]
        if mine:
            height[found(n)] = max(mine)
    for when in draw(st.lists(conditions(FINDINGS), max_size=10)):
        observes = draw(st.sampled_from(ATOMS))
        when = When((observes, *when.all_of), when.any_of, when.none_of)
        rules.append(Rule(f"w{len(rules):02}", when, observes=observes))
    return book_of(*draw(st.permutations(rules)), stratum=stratum)


def one_state(atoms: frozenset[Atom]) -> frozenset[Atom]:
    """Keep one state of each observable, as a case has."""
    return frozenset({observable_of(atom): atom for atom in sorted(atoms)}.values())


cases = st.frozensets(st.sampled_from(ATOMS) | st.integers(0, FINDINGS - 1).map(found), max_size=14).map(
    one_state
)
moderate = settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow])


@moderate
@given(books(), cases)
def test_all_engines_agree_with_brute_force(book: Book, facts: frozenset[Atom]) -> None:
    assert agreed(book, facts) == by_force(book, facts)


@moderate
@given(books(), cases, st.randoms(use_true_random=False))
def test_the_order_of_facts_and_rules_does_not_matter(
    book: Book, facts: frozenset[Atom], rng: random.Random
) -> None:
    shuffled = rng.sample(sorted(facts), len(facts))
    rules = rng.sample(sorted(book.rules.values(), key=lambda rule: rule.id), len(book.rules))
    other = book_of(*rules, stratum=book.stratum)
    for engine in engines():
        assert close(other, frozenset(shuffled), engine) == close(book, facts, engine)


@moderate
@given(books(), cases, st.sampled_from(ATOMS))
def test_a_fact_taken_back_leaves_nothing_behind(book: Book, facts: frozenset[Atom], extra: Atom) -> None:
    for engine in engines():
        before = close(book, facts - {extra}, engine)
        close(book, facts | {extra}, engine)
        assert close(book, facts - {extra}, engine) == before
