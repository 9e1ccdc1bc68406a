"""Random books with cases to weigh: contexts, several states, torn readings, findings, replaced parts."""

from __future__ import annotations

from dataclasses import dataclass

from hypothesis import strategies as st

from helpers_weigh import (
    a_book,
    a_cause,
    a_sheet,
    close,
    code,
    concludes,
    fact,
    finding,
    normal,
    replaced,
    result,
    saw,
    symptom,
    torn,
    weighs,
)
from proveout.model.atom import RESULT, Atom, Observation
from proveout.model.belief import Ledger, Network, Posterior, Sensitivity
from proveout.model.book import Book
from proveout.model.case import Sheet
from proveout.model.entries import Component
from proveout.model.rule import Rule
from proveout.weigh.doubts import sensitivity
from proveout.weigh.ledger import ledgers
from proveout.weigh.networks import network
from proveout.weigh.posteriors import posterior

CAUSES = ("a", "b", "c", "d", "e")
CONTEXT = (fact("old"), fact("wet"))
PARTS = ("hose", "valve")
LOOKS = (code("P0001"), code("P0002"), symptom("smell"), result("look"), result("pump"))
FREQUENCY = st.floats(0.02, 0.45)
BACKGROUND = st.floats(0.0005, 0.1)


@dataclass(frozen=True)
class World:
    """Rules, what is seen and what is known besides, as lists whose order must not matter."""

    rules: tuple[Rule, ...]
    seen: tuple[Observation, ...]
    context: tuple[Atom, ...]

    @property
    def book(self) -> Book:
        causes = [a_cause(c, 0.004 * (i + 1), PARTS[i % 2]) for i, c in enumerate(CAUSES)]
        return a_book(*self.rules, causes=causes, components=[Component(p, p, (), 0.05) for p in PARTS])

    @property
    def sheet(self) -> Sheet:
        return a_sheet(*self.seen, context=self.context)


@dataclass(frozen=True)
class Answer:
    """All that weighing gives for one world."""

    network: Network
    posterior: Posterior
    ledgers: tuple[Ledger, ...]
    sensitivity: Sensitivity


def answer(book: Book, sheet: Sheet) -> Answer:
    net = network(book, sheet, close(book, sheet))
    after = posterior(net)
    return Answer(net, after, ledgers(net, after), sensitivity(net, after))


def weights() -> st.SearchStrategy[dict[str, float]]:
    return st.dictionaries(st.sampled_from(CAUSES), FREQUENCY, min_size=1, max_size=3)


@st.composite
def _rules_on(draw: st.DrawFn, atom: Atom) -> list[Rule]:
    """Return the rules on one observable: each abnormal state, perhaps one more in context."""
    states = [atom, atom._replace(value="worse")] if atom.kind == RESULT and draw(st.booleans()) else [atom]
    rules = [weighs(f"{a.key}-{a.value}", a, draw(weights()), draw(BACKGROUND)) for a in states]
    if draw(st.booleans()):
        when = draw(st.sampled_from(CONTEXT))
        rules.append(weighs(f"{atom.key}-{when.key}", atom, draw(weights()), draw(BACKGROUND), all_of=[when]))
    return rules


@st.composite
def _finding(draw: st.DrawFn, key: str) -> list[Rule]:
    """Return a finding from one to three observations, maybe without another, and the rule that weighs it."""
    order = draw(st.permutations(LOOKS))
    count = draw(st.integers(1, 3))
    barred = order[count : count + draw(st.integers(0, 1))]
    otherwise = draw(st.none() | BACKGROUND)
    return [
        concludes(f"{key}-from", key, all_of=order[:count], none_of=barred),
        weighs(f"{key}-weighed", finding(key), draw(weights()), otherwise),
    ]


@st.composite
def _seen(draw: st.DrawFn, atom: Atom) -> Observation | None:
    """Return what was seen of an observable, or None where nobody looked."""
    how = draw(st.sampled_from(["not", "normal", "abnormal", "abnormal", "torn"]))
    if how == "torn" and atom.kind == RESULT:
        weight = draw(st.floats(0.05, 0.95))
        return torn(atom.key, bad=weight, ok=1.0 - weight)
    return {"not": None, "normal": normal(atom)}.get(how, saw(atom))


@st.composite
def worlds(draw: st.DrawFn, findings: int = 2) -> World:
    """Return a world with at most so many weighed findings."""
    rules = [rule for atom in LOOKS for rule in draw(_rules_on(atom))]
    for i in range(draw(st.integers(0, findings))):
        rules += draw(_finding(f"finding-{i}"))
    seen = [one for atom in LOOKS if (one := draw(_seen(atom)))]
    context = [atom for atom in (*CONTEXT, *map(replaced, PARTS)) if draw(st.booleans())]
    return World(tuple(rules), tuple(seen), tuple(context))
