"""How long closing takes with each engine: ``python tests/bench/bench_chain.py`` prints milliseconds.

First inside one process, on a made-up book of 300 rules and on the shipped one; then processor time of whole
processes that load no book and close once, which shows what the import costs besides.
"""

from __future__ import annotations

import random
import resource
import subprocess
import sys
import time
from statistics import median

from proveout.chain.closing import close, engines
from proveout.model.atom import CODE, FINDING, Atom, Observable
from proveout.model.book import Book
from proveout.model.entries import Vocabulary
from proveout.model.rule import Rule, When

ATOMS = 300


def made_up(count: int, seed: int = 0) -> Book:
    """Return a book: a fifth of the rules conclude, in chains; a fifth of the others have ``any``."""
    rng = random.Random(seed)
    codes = [Atom(CODE, str(n), "set") for n in range(ATOMS)]
    rules: list[Rule] = []
    for n in range(count // 5):
        chained = Atom(FINDING, str(rng.randrange(max(n, 1))), "true") if n and rng.random() < 0.4 else None
        rules.append(Rule(f"c{n}", When((rng.choice(codes), chained or rng.choice(codes))), concludes=str(n)))
    for n in range(count - len(rules)):
        context = (Atom(FINDING, str(rng.randrange(count // 5)), "true"),) if rng.random() < 0.3 else ()
        some = tuple(rng.sample(codes, 3)) if rng.random() < 0.2 else ()
        observes = rng.choice(codes)
        rules.append(Rule(f"w{n}", When((observes, *context), some), observes=observes))
    levels = {rule.id: 0 for rule in rules if rule.concludes}
    weighing: dict[Observable, tuple[str, ...]] = {}
    for rule in rules:
        if rule.observable:
            weighing[rule.observable] = (*weighing.get(rule.observable, ()), rule.id)
    return Book({}, {}, {rule.id: rule for rule in rules}, Vocabulary(), stratum=levels, weighing=weighing)


def timed(book: Book, facts: frozenset[Atom], engine: str, runs: int = 15) -> float:
    """Return the median time of closing, in ms, the layout of the book being known."""
    close(book, facts, engine)
    times = []
    for _ in range(runs):
        start = time.perf_counter()
        close(book, facts, engine)
        times.append(time.perf_counter() - start)
    return 1e3 * median(times)


def whole(engine: str | None, runs: int = 9) -> float:
    """Return the median processor time, in ms, of a process that makes a book and closes it, or not."""
    closing = f"close(book, facts, {engine!r})" if engine else ""
    script = (
        "import sys; sys.path.insert(0, 'tests/bench')\n"
        "from bench_chain import ATOMS, CODE, Atom, close, made_up\n"
        "book = made_up(300)\n"
        "facts = frozenset(Atom(CODE, str(n), 'set') for n in range(0, ATOMS, 10))\n" + closing
    )
    times = []
    for _ in range(runs):
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        subprocess.run([sys.executable, "-c", script], check=True)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        times.append(after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)
    return 1e3 * median(times)


def main() -> None:
    """Print the tables."""
    from proveout.book.load import load_book

    shipped = load_book()
    mentioned = sorted({a for r in shipped.rules.values() for a in r.when.atoms if a.kind != FINDING})
    plain = [Atom(CODE, str(n), "set") for n in range(ATOMS)]
    print(f"{'book':>10} {'rules':>6} {'facts':>6} {'fired':>6}" + "".join(f"{e:>12}" for e in engines()))
    for name, book, atoms in (("made up", made_up(300), plain), ("shipped", shipped, mentioned)):
        for count in (3, 10, 30, 100, len(atoms)):
            facts = frozenset(random.Random(count).sample(atoms, min(count, len(atoms))))
            fired = len(close(book, facts).fired)
            times = "".join(f"{timed(book, facts, e):12.2f}" for e in engines())
            print(f"{name:>10} {len(book.rules):6} {len(facts):6} {fired:6}{times}")
    base = whole(None)
    print(f"whole process without closing {base:.1f} ms")
    for engine in engines():
        took = whole(engine)
        print(f"  closing 30 facts once with {engine}: {took:.1f} ms, {took / base:.2f} times")


if __name__ == "__main__":
    main()
