"""Made-up books and cases for the tests of planning: one code, the causes behind it, and inspections."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import numpy as np

from proveout.model.atom import CANNOT_TELL, CODE, RESULT, Atom, Observable, Observation
from proveout.model.book import Book
from proveout.model.case import Sheet
from proveout.model.entries import (
    Access,
    Cause,
    CodeEntry,
    Component,
    Inspection,
    Range,
    Remedy,
    Result,
    Tool,
    Vocabulary,
)
from proveout.model.rule import Rule, When

#: The code that every case of these books begins with.
THE_CODE = "P0440"


def weighing(inspection: str, result: str, weights: Mapping[str, float], otherwise: float) -> Rule:
    """Return a rule that weighs one result."""
    atom = Atom(RESULT, inspection, result)
    return Rule(
        f"{inspection}-{result}", When((atom,)), observes=atom, weights=dict(weights), otherwise=otherwise
    )


def code_rule(weights: Mapping[str, float], otherwise: float = 0.0005, code: str = THE_CODE) -> Rule:
    """Return the rule that weighs the code."""
    atom = Atom(CODE, code, "set")
    return Rule(
        f"code-{code.lower()}", When((atom,)), observes=atom, weights=dict(weights), otherwise=otherwise
    )


def book_of(
    causes: Iterable[Cause],
    inspections: Iterable[Inspection],
    rules: Iterable[Rule],
    *,
    tools: Iterable[Tool] = (),
    access: Iterable[Access] = (),
) -> Book:
    """Index entries as a compiled book has them."""
    by_cause = {cause.id: cause for cause in sorted(causes, key=lambda c: c.id)}
    by_inspection = {entry.id: entry for entry in sorted(inspections, key=lambda e: e.id)}
    by_rule = {rule.id: rule for rule in sorted(rules, key=lambda r: r.id)}
    weigh: dict[Observable, tuple[str, ...]] = {}
    for rule in by_rule.values():
        assert rule.observable is not None
        weigh[rule.observable] = (*weigh.get(rule.observable, ()), rule.id)
    components = {cause.component: Component(cause.component, cause.component) for cause in by_cause.values()}
    words = Vocabulary(
        components=components,
        tools={tool.id: tool for tool in tools},
        access={place.id: place for place in access},
        codes={THE_CODE: CodeEntry(THE_CODE, "The system does not do its work", "made-up")},
    )
    proved_by = {
        cause: tuple(entry.id for entry in by_inspection.values() if cause in entry.proves)
        for cause in by_cause
    }
    weighed_in = {
        cause: tuple(o for o, ids in weigh.items() if any(cause in by_rule[one].weights for one in ids))
        for cause in by_cause
    }
    return Book(
        by_cause,
        by_inspection,
        by_rule,
        words,
        weighing=weigh,
        weighed_in=weighed_in,
        proved_by=proved_by,
        digest="made-up",
    )


def sheet_of(
    results: Mapping[str, str] | None = None,
    *,
    book: Book | None = None,
    codes: Iterable[str] = (THE_CODE,),
    more: Iterable[Atom] = (),
    repeated: Iterable[str] = (),
) -> Sheet:
    """Return a sheet with codes, results (``a/b`` for one torn between two), repeats and other facts."""
    seen, atoms, opened = [], set(more), set[str]()
    for code in codes:
        seen.append(Observation(Observable(CODE, code), (("set", 1.0),), "confirmed"))
        atoms.add(Atom(CODE, code, "set"))
    for inspection, result in (results or {}).items():
        states = result.split("/")
        weights = tuple((state, 1.0 / len(states)) for state in states)
        seen.append(Observation(Observable(RESULT, inspection), weights, result))
        if len(states) == 1 and result != CANNOT_TELL:
            atoms.add(Atom(RESULT, inspection, result))
        opened |= set(book.inspections[inspection].access) if book else set()
    observations = tuple(sorted(seen, key=lambda o: o.observable))
    return Sheet(frozenset(atoms), observations, open_access=frozenset(opened), repeated=frozenset(repeated))


def random_book(seed: int, causes: int = 8, inspections: int = 10) -> Book:
    """Return a book of a random family: direct tests of one or two causes each, a few that only hint."""
    rng = np.random.default_rng(seed)
    names = [f"fault-{n:02d}" for n in range(causes)]
    places = [Access(f"place-{n}", f"Place {n}", float(rng.integers(1, 20))) for n in range(4)]
    tools = [Tool(f"tool-{n}", f"Tool {n}", n == 0, Range(5.0, 10.0 + 40 * n)) for n in range(4)]
    entries, rules = [], []
    for n in range(inspections):
        entry, own = _inspection(rng, n, names, inspections)
        entries.append(entry)
        rules += own
    made = [entry.id for entry in entries]
    people = [_cause(rng, n, name, made) for n, name in enumerate(names)]
    rules.append(code_rule({name: float(rng.uniform(0.3, 0.97)) for name in names}))
    return book_of(people, entries, rules, tools=tools, access=places)


def _inspection(
    rng: np.random.Generator, number: int, names: list[str], count: int
) -> tuple[Inspection, list[Rule]]:
    """Draw an inspection; the first ones each prove the cause of their number, so that each has one."""
    own = f"look-{number:02d}"
    aims = [names[number]] if number < len(names) else []
    aims += [name for name in rng.permutation(names)[: int(rng.integers(0, 3))].tolist() if name not in aims]
    direct = number < len(names) or rng.random() < 0.5
    states = [f"bad-{k}" for k in range(min(len(aims), int(rng.integers(1, 3))) or 1)]
    tells: dict[str, dict[str, float]] = {state: {} for state in states}
    for k, cause in enumerate(aims):
        tells[states[k % len(states)]][cause] = float(rng.choice([0.6, 0.85, 0.97]))
    proves = {cause: (state,) for state, weights in tells.items() for cause in weights} if direct else {}
    rules = [
        weighing(own, state, weights, float(rng.choice([0.005, 0.03])))
        for state, weights in tells.items()
        if weights
    ]
    entry = Inspection(
        own,
        f"Look {number}",
        "visual",
        proves,
        (Result("fine", True), *(Result(state, False) for state in states)),
        minutes=float(rng.integers(1, 30)),
        tools=(f"tool-{int(rng.integers(4))}",),
        access=tuple(f"place-{k}" for k in range(4) if rng.random() < 0.3),
        consumables=Range(0.0, float(rng.integers(0, 3))),
        after=(f"look-{number - 1:02d}",) if number == count - 1 and number else (),
    )
    return entry, rules


def _cause(rng: np.random.Generator, number: int, name: str, made: list[str]) -> Cause:
    """Draw a cause; some need a second inspection before anything is bought."""
    action = str(rng.choice(["replace", "replace", "clean", "refer", "nothing"]))
    before = [made[number % len(made)]] if rng.random() < 0.7 else []
    before += [str(rng.choice(made))] if rng.random() < 0.3 else []
    cost = float(rng.integers(5, 200)) if action == "replace" else 0.0
    return Cause(
        name,
        f"Fault {number}",
        f"part-{number % 5}",
        float(rng.uniform(0.003, 0.03)),
        "made up",
        Remedy(action, "part", Range(cost, cost * 2), float(rng.integers(5, 60)), (f"place-{number % 4}",)),
        before_buying=tuple(dict.fromkeys(before)),
    )


def valve_book() -> Book:
    """Return a small book: a valve (pump needed), a hose, a module referred out, and nothing wrong."""
    causes = [
        Cause(
            "valve-stuck",
            "Valve stuck open",
            "valve",
            0.02,
            "made up",
            Remedy("replace", "valve", Range(40, 80), 25, ("bay",)),
            before_buying=("valve-holds", "hose-look"),
        ),
        Cause(
            "hose-cracked",
            "Hose cracked",
            "hose",
            0.02,
            "made up",
            Remedy("repair", "hose", Range(5, 10), 15, ("bay",)),
            before_buying=("hose-look",),
        ),
        Cause(
            "module-dead",
            "Control module dead",
            "module",
            0.004,
            "made up",
            Remedy("refer"),
            before_buying=("module-drives",),
        ),
        Cause(
            "all-well",
            "Nothing wrong now",
            "system",
            0.01,
            "made up",
            Remedy("nothing", minutes=5),
            before_buying=("long-drive",),
        ),
    ]
    fine, bad = Result("fine", True), Result("bad", False)
    inspections = [
        Inspection(
            "hose-look",
            "Look along the hose",
            "visual",
            {"hose-cracked": ("cracked",)},
            (fine, Result("dusty", True), Result("cracked", False)),
            4,
            access=("bay",),
        ),
        Inspection(
            "valve-holds",
            "Valve holds vacuum",
            "measurement",
            {"valve-stuck": ("leaks",)},
            (Result("holds", True), Result("leaks", False)),
            6,
            tools=("torch", "pump"),
            access=("bay",),
        ),
        Inspection(
            "module-drives",
            "Module drives the valve",
            "measurement",
            {"module-dead": ("bad",)},
            (fine, bad),
            12,
            tools=("meter",),
            access=("bay", "seat"),
        ),
        Inspection(
            "long-drive",
            "Drive until the monitor has run",
            "functional",
            {"all-well": ("completes",)},
            (Result("sets-again", True), Result("completes", False)),
            40,
            after=("seat-in",),
        ),
        Inspection("seat-in", "Read the code again", "functional", {}, (fine, bad), 2),
    ]
    rules = [
        code_rule({"valve-stuck": 0.85, "hose-cracked": 0.6, "module-dead": 0.6, "all-well": 0.3}),
        weighing("hose-look", "cracked", {"hose-cracked": 0.97}, 0.005),
        weighing("valve-holds", "leaks", {"valve-stuck": 0.97}, 0.005),
        weighing("module-drives", "bad", {"module-dead": 0.97}, 0.005),
        weighing("long-drive", "completes", {"all-well": 0.97}, 0.005),
        weighing("seat-in", "bad", {"valve-stuck": 0.6, "hose-cracked": 0.6, "module-dead": 0.6}, 0.3),
    ]
    tools = [
        Tool("torch", "Torch", True, Range(0, 10)),
        Tool("pump", "Hand vacuum pump", False, Range(25, 50)),
        Tool("meter", "Multimeter", False, Range(15, 45)),
    ]
    access = [Access("bay", "Engine bay", 2), Access("seat", "Driver's seat", 1)]
    return book_of(causes, inspections, rules, tools=tools, access=access)
