"""Cases drawn from the book, worked through by the planner and by replacing parts by likelihood.

The seed and its number determine a case, whichever others are drawn. Both ways are charged alike: minutes,
access, parts, and on handing over the price of a specialist's search and the mending of what he finds.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from proveout.chain.closing import close
from proveout.model.advice import INSPECT, MEND, REPAIR
from proveout.model.atom import CODE, COMES_BACK, STAYS_AWAY
from proveout.model.belief import Sensitivity
from proveout.model.book import Book
from proveout.model.case import Costs, Sheet
from proveout.plan.decide import Decision, decide
from proveout.plan.mending import watching
from proveout.plan.parts import ended_by
from proveout.trial.blind import PARTS, REMEDIES, Blind, hand_over, mended_here, mending
from proveout.trial.played import Played
from proveout.trial.world import World, how_often, presenting, shown, with_mended, with_repair, with_result
from proveout.weigh.inference import infer
from proveout.weigh.watching import MENDED_NOT_ALL

#: A case that comes back so often is handed over.
RETURNS = 4
#: Decisions that are remembered: of those of 400 cases a quarter was asked for before, and the share grows.
REMEMBERED = 32768


@dataclass(frozen=True, slots=True)
class Said:
    """What of a decision a case goes on with.

    Attributes:
        kind: of the verdict, and ``cause`` what it names.
        check: the inspection proposed, "" for none, and ``cost`` what it costs.
        leading: the likeliest cause.
    """

    kind: str
    cause: str
    check: str
    cost: float
    leading: str


@dataclass(frozen=True, slots=True)
class Course:
    """How the planner brought a case to its end.

    Attributes:
        first: the first verdict that was not "inspect".
        inspections: made in all, and ``cost`` of everything.
        bought: causes whose parts were bought as proven though nothing still present needed them.
    """

    first: Said
    inspections: int
    cost: float
    bought: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Drawing:
    """What is drawn, and how it is worked through; with the book it settles every case.

    Attributes:
        seed: from 0. Case number n is drawn from the pair (seed, n) alone.
        share: of each code, how often a case begins with it; they sum to one.
        tools: at hand besides the basic ones.
        costs: the user's prices.
        disturbance: largest factor, either way, by which each frequency of the world differs from the book's.
    """

    seed: int
    share: tuple[tuple[str, float], ...]
    tools: frozenset[str]
    costs: Costs
    disturbance: float


def weighed_codes(book: Book) -> tuple[str, ...]:
    """Return the codes that a rule weighs, sorted."""
    return tuple(sorted(o.key for o in book.weighing if o.kind == CODE and o.key in book.words.codes))


def drawing(
    book: Book,
    *,
    seed: int,
    codes: Sequence[str] = (),
    tools: frozenset[str] | None = None,
    costs: Costs | None = None,
    disturbance: float = 1.0,
) -> Drawing:
    """Return what is to be drawn from a book.

    Args:
        book: the rules.
        seed: from 0.
        codes: what a case may begin with, as often as the base rates make it; all weighed by default.
        tools: at hand besides the basic ones; all of the book by default.
        costs: the user's prices.
        disturbance: as in ``Drawing``.
    """
    share = how_often(book, tuple(codes) or weighed_codes(book))
    at_hand = frozenset(book.words.tools) if tools is None else tools
    return Drawing(seed, tuple(share.items()), at_hand, costs or Costs(), disturbance)


def by_code(drawn: Drawing, numbers: Iterable[int]) -> dict[str, list[int]]:
    """Return the numbers of cases by the code that each begins with, in the order of the first of each."""
    codes, chances = _codes(drawn)
    found: dict[str, list[int]] = {}
    for number in numbers:
        found.setdefault(_first(drawn, number, codes, chances)[1], []).append(number)
    return found


def _codes(drawn: Drawing) -> tuple[list[str], NDArray[np.float64]]:
    return [code for code, _ in drawn.share], np.array([share for _, share in drawn.share])


def _first(
    drawn: Drawing, number: int, codes: Sequence[str], chances: NDArray[np.float64]
) -> tuple[np.random.Generator, str]:
    """Return what draws all that happens in a case, its code being drawn, and that code."""
    rng = np.random.default_rng((drawn.seed, number))
    return rng, codes[int(rng.choice(len(codes), p=chances))]


def simulate(book: Book, drawn: Drawing, *, cases: int) -> Iterator[Played]:
    """Return the first so many cases of a drawing, worked through one after the other."""
    return map(Shop(book, drawn).play, range(cases))


class Shop:
    """Works through cases with the book's figures, which the planner takes at their word.

    It remembers what it decided on the same facts lately; that changes no case.
    """

    def __init__(self, book: Book, drawn: Drawing) -> None:
        self.book, self.drawn, self.costs = book, drawn, drawn.costs
        self.codes, self.chances = _codes(drawn)
        self.decided: dict[Sheet, Said] = {}
        self.blind = Blind(book, self.costs)

    def play(self, number: int) -> Played:
        """Draw one case and work through it both ways.

        Args:
            number: of the case, from 0; it and the seed settle the draws.
        """
        rng, world, code, truth = self._begin(number)
        course = self._plan(world, rng, code, truth)
        entry = self.book.words.codes.get(code)
        return Played(
            code=code,
            family=entry.family if entry else "",
            truth=tuple(sorted(truth)),
            named=course.first.cause,
            kind=course.first.kind,
            leading=course.first.leading,
            ends=bool(course.first.cause and ended_by(self.book, course.first.cause, truth)),
            bought=course.bought,
            inspections=course.inspections,
            cost=course.cost,
            parts=self.blind.cost(code, truth, PARTS),
            remedies=self.blind.cost(code, truth, REMEDIES),
        )

    def intake(self, number: int, most: int) -> dict[str, Any]:
        """Return a case as an intake document: its code, and results of up to so many proposed inspections.

        Args:
            number: of the case, from 0; of the numbers in a row each is a step further on.
            most: inspections.
        """
        rng, world, code, truth = self._begin(number)
        sheet, readings = presenting(code), []
        for _ in range(number % (most + 1)):
            said = self._decide(sheet)
            if said.kind != INSPECT or not said.check:
                break
            facts = close(self.book, sheet.atoms, "reference").facts
            result = world.result(rng, facts, said.check, truth, shown(sheet, said.check))
            sheet = with_result(self.book, sheet, said.check, result)
            readings.append({"inspection": said.check, "result": result})
        return {"codes": [code], "tools": sorted(self.drawn.tools), "readings": readings}

    def _begin(self, number: int) -> tuple[np.random.Generator, World, str, frozenset[str]]:
        """Draw what a case begins with: its code and the causes behind it, in a world of its own."""
        rng, code = _first(self.drawn, number, self.codes, self.chances)
        world = World(self.book, self.drawn.disturbance, (self.drawn.seed, number))
        undisturbed = world.disturbance == 1.0
        behind = self.blind.suspects(code) if undisturbed else world.causes_behind(code)
        row = behind.member[int(rng.choice(len(behind.prob), p=behind.prob))]
        return rng, world, code, frozenset(c for c, there in zip(behind.causes, row, strict=True) if there)

    def _plan(self, world: World, rng: np.random.Generator, code: str, truth: frozenset[str]) -> Course:
        """Follow the planner to the end of a case."""
        left, spent, made, returns = set(truth), 0.0, 0, 0
        swapped: frozenset[str] = frozenset()
        needless: tuple[str, ...] = ()
        sheet = presenting(code)
        first: Said | None = None
        while True:
            said = self._decide(sheet)
            kind, cause = said.kind, said.cause
            if kind == INSPECT and said.check:
                facts = close(self.book, sheet.atoms, "reference").facts
                result = world.result(rng, facts, said.check, frozenset(left), shown(sheet, said.check))
                sheet = with_result(self.book, sheet, said.check, result)
                spent, made = spent + said.cost, made + 1
                continue
            if kind == MEND:
                spent += mending(self.book, self.costs, cause, sheet.open_access) + watching(self.costs)
                left -= ended_by(self.book, cause, left)
                sheet = with_mended(sheet, cause, self._since(rng, truth, left))
                if sheet.mended[-1].since == COMES_BACK:
                    continue
                said = self._decide(sheet)
                if not left:
                    return Course(first or said, made, spent, needless)
                first, sheet, returns = first or said, presenting(code, swapped), returns + 1
                continue
            first = first or said
            if not mended_here(self.book, cause) or returns == RETURNS:
                return Course(first, made, spent + hand_over(self.book, self.costs, left, cause), needless)
            spent += mending(self.book, self.costs, cause, sheet.open_access)
            ended = ended_by(self.book, cause, left)
            left -= ended
            if kind == REPAIR and self.book.causes[cause].remedy.action == "replace":
                swapped |= {self.book.causes[cause].component}
                needless += () if ended else (cause,)
            if truth and not left:
                return Course(first, made, spent, needless)
            returns += 1
            # A repair that did not end it shows at its verification; "nothing wrong" shows weeks later.
            repaired = kind == REPAIR
            sheet = with_repair(self.book, sheet, cause) if repaired else presenting(code, swapped)

    def _since(self, rng: np.random.Generator, truth: frozenset[str], left: set[str]) -> str:
        """Draw what is seen after a mending; one that mends all that was wrong holds."""
        if truth and not left:
            return STAYS_AWAY
        return COMES_BACK if rng.random() < MENDED_NOT_ALL else STAYS_AWAY

    def _decide(self, sheet: Sheet) -> Said:
        if sheet not in self.decided:
            if len(self.decided) == REMEMBERED:
                self.decided.clear()
            found = infer(self.book, sheet, "reference")
            made = decide(
                self.book,
                sheet,
                found.chained,
                found.posterior,
                Sensitivity((), ()),
                tools=self.drawn.tools,
                costs=self.costs,
                brief=True,
            )
            self.decided[sheet] = _said(made)
        return self.decided[sheet]


def _said(made: Decision) -> Said:
    check, cost = (made.next.inspection, made.next.cost) if made.next else ("", 0.0)
    leading = made.hypotheses[0].cause if made.hypotheses else ""
    return Said(made.verdict.kind, made.verdict.cause, check, cost, leading)
