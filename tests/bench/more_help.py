"""Does more help make things worse? python tests/bench/more_help.py [cases] [seed] [problems].

First the mean rank of the true cause among all causes, over cases drawn as `rules simulate` draws them: with
the code that the case begins with, with the further codes of its family that by the book come with it and
that the true causes set, and with the result of one inspection that bears on it. Neither should make the mean
rank of a family larger: "worse" is what does so by more than its chance, twice the standard error of the
differences case by case. Then the exact expected cost on random problems with some inspections wanting a
tool, and with all at hand.
"""

from __future__ import annotations

import sys
from collections import defaultdict
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent))

import numpy as np
from msgspec.structs import replace

from helpers_dp import follow, ours, random_job
from helpers_shipped import shipped_book
from proveout.chain.closing import close
from proveout.model.atom import CODE, FINDING, RESULT, Atom, Observable, Observation
from proveout.model.book import Book
from proveout.model.case import Sheet
from proveout.trial.simulate import drawing
from proveout.trial.world import World, presenting, with_result
from proveout.weigh.cpts import cpt
from proveout.weigh.inference import infer
from proveout.weigh.likelihoods import seen_likelihood


def main(cases: int, seed: int, problems: int) -> None:
    """Print both tables."""
    ranks = drawn_ranks(shipped_book(), cases, seed)
    print(f"{'family':<24}{'cases':>6}{'code':>8}{'codes':>8}{'result':>8}")
    everything = [row for some in ranks.values() for row in some]
    for family, rows in [*sorted(ranks.items()), ("all", everything)]:
        came = np.array(rows, dtype=float)
        alone, codes, result = came.mean(axis=0).tolist()
        worse = [
            name for name, column in (("codes", 1), ("result", 2)) if _worse(came[:, column] - came[:, 0])
        ]
        print(f"{family:<24}{len(rows):>6}{alone:>8.2f}{codes:>8.2f}{result:>8.2f}  {_said(worse)}")
    few, every = costs_by_tools(problems, seed)
    print(
        f"\nexpected cost over {problems} random problems: {few:.2f} without some tools, {every:.2f} with all"
    )


def _worse(more: np.ndarray) -> bool:
    """Say whether ranks rise by more than chance, given the differences case by case."""
    return bool(len(more) > 1 and more.mean() > 2.0 * more.std(ddof=1) / np.sqrt(len(more)))


def _said(worse: list[str]) -> str:
    return f"worse with {' and '.join(worse)}" if worse else ""


def drawn_ranks(book: Book, cases: int, seed: int) -> dict[str, list[tuple[int, int, int]]]:
    """Return by family the rank of the true cause: from a code, from several, and with one result."""
    share = dict(drawing(book, seed=seed).share)
    found = defaultdict(list)
    for number in range(cases):
        rng = np.random.default_rng((seed, number))
        code = str(rng.choice(list(share), p=list(share.values())))
        behind = infer(book, presenting(code), "reference").posterior
        row = behind.member[int(rng.choice(len(behind.prob), p=behind.prob))]
        truth = frozenset(cause for cause, there in zip(behind.causes, row, strict=True) if there)
        if truth:
            sheets = presenting(code), _further(book, rng, code, truth), _seen(book, rng, code, truth)
            first, codes, result = (rank(book, sheet, truth) for sheet in sheets)
            found[book.words.codes[code].family].append((first, codes, result))
    return found


def rank(book: Book, sheet: Sheet, truth: frozenset[str]) -> int:
    """Return the place of the likeliest of the true causes, 1 for the first."""
    sure = infer(book, sheet, "reference").posterior.confidence()
    order = sorted(sure, key=lambda cause: (-round(sure[cause], 12), cause))
    return min((order.index(cause) + 1 for cause in truth if cause in sure), default=len(order) + 1)


#: The codes that name one cylinder: a coil fails at one of them, and its codes are not drawn one by one as if
#: each had a coil to fail. The book says by a finding whether further ones are named.
CYLINDERS, SEVERAL = (
    frozenset(f"P03{n:02}" for n in range(1, 13)),
    Observable(FINDING, "several-cylinders-named"),
)


def _further(book: Book, rng: np.random.Generator, code: str, truth: frozenset[str]) -> Sheet:
    """Return the case with the further codes that the true causes set, as far as the book says they come."""
    sheet = presenting(code)
    for other in sorted(_company(book, code)):
        more = _with_code(sheet, other)
        if rng.random() < _chance(book, sheet, truth, more):
            sheet = more
    if code in CYLINDERS and rng.random() < _named(book, sheet, truth):
        weighed = (o.key for o in book.weighing if o.key in CYLINDERS - {code})
        sheet = _with_code(sheet, str(rng.choice(sorted(weighed))))
    return sheet


def _company(book: Book, code: str) -> frozenset[str]:
    """Return the weighed codes of its family that the book says come with a code, on either's page."""
    known, weighed = book.words.codes, {o.key for o in book.weighing if o.kind == CODE}
    named = {other for other in known[code].usually_with if other in known}
    naming = {other for other, entry in known.items() if code in entry.usually_with}
    family = {other for other in named | naming if known[other].family == known[code].family}
    return frozenset(family & weighed - CYLINDERS)


def _chance(book: Book, sheet: Sheet, truth: frozenset[str], more: Sheet) -> float:
    """Return how likely what a case holds more than another is where the true causes are there.

    Both are taken as the book weighs them, so that what it says of several codes together counts.
    """
    before, after = (_seen_given(book, one, truth) for one in (sheet, more))
    return min(after / before, 1.0) if before > 0 else 0.0


def _seen_given(book: Book, sheet: Sheet, truth: frozenset[str]) -> float:
    """Return the probability of all that is weighed in a case where the true causes are there."""
    evidence = infer(book, sheet, "reference").network.evidence
    causes = tuple(sorted(truth))
    member = np.ones((1, len(causes)), dtype=np.bool_)
    return float(np.prod([seen_likelihood(one, causes, member)[0] for one in evidence]))


def _named(book: Book, sheet: Sheet, truth: frozenset[str]) -> float:
    """Return how likely the true causes make it that several cylinders are named."""
    how = cpt(book, sheet.atoms, SEVERAL)
    return 1.0 - float(np.prod([1.0 - how.given.get(cause, (0.0,))[0] for cause in truth])) if how else 0.0


def _with_code(sheet: Sheet, code: str) -> Sheet:
    seen = Observation(Observable(CODE, code), (("set", 1.0),), "confirmed")
    atoms = sheet.atoms | {Atom(CODE, code, "set"), Atom("status", code, "confirmed")}
    both = tuple(sorted((*sheet.observations, seen), key=lambda o: o.observable))
    return replace(sheet, atoms=atoms, observations=both)


def _seen(book: Book, rng: np.random.Generator, code: str, truth: frozenset[str]) -> Sheet:
    """Return the case with the result of an inspection that bears on a true cause."""
    sheet = presenting(code)
    bearing = sorted({o.key for cause in truth for o in book.weighed_in.get(cause, ()) if o.kind == RESULT})
    if not bearing:
        return sheet
    check = str(rng.choice(bearing))
    facts = close(book, sheet.atoms, "reference").facts
    return with_result(book, sheet, check, World(book).result(rng, facts, check, truth))


def costs_by_tools(problems: int, seed: int) -> tuple[float, float]:
    """Return the mean exact cost of the planner without the tools of some inspections, and with them."""
    few, every = [], []
    for number in range(seed, seed + problems):
        job, start = random_job(number)
        rng = np.random.default_rng(number)
        lacking = replace(job, usable=job.usable & (rng.random(len(job.usable)) < 0.6))
        few.append(follow(lacking, start, ours))
        every.append(follow(job, start, ours))
    return float(np.mean(few)), float(np.mean(every))


if __name__ == "__main__":
    given = [int(text) for text in sys.argv[1:]]
    main(*(given + [400, 1, 40][len(given) :]))
