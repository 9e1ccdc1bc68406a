"""Cases drawn from the book, worked through by the planner and by replacing parts by likelihood.

Given the seed everything is determined. Both ways are charged alike: minutes, access, parts, and on handing
over the price of a specialist's search and the mending of what he finds.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from proveout.chain import close
from proveout.model.advice import INSPECT, REPAIR
from proveout.model.atom import CODE
from proveout.model.belief import Sensitivity
from proveout.model.book import Book
from proveout.model.case import Costs, Sheet
from proveout.plan import Decision, decide
from proveout.trial.blind import PARTS, REMEDIES, Blind, hand_over, mended_here, mending
from proveout.trial.world import World, how_often, presenting, shown, with_result
from proveout.weigh import infer

#: A case that comes back so often is handed over.
RETURNS = 4


@dataclass(frozen=True, slots=True)
class Played:
    """One simulated case.

    Attributes:
        code: what it began with.
        family: of that code.
        truth: causes present, sorted; empty where it is none of the book's.
        named: cause of the first verdict that was not "inspect"; "" where the case was handed over.
        kind: of that verdict.
        leading: the cause that it gave as the likeliest, named or not; "" where it gave none.
        inspections: made in all.
        cost: of following the planner to the end.
        parts: cost of replacing parts by likelihood to the end.
        remedies: cost of doing any remedy by likelihood to the end, as if none needed finding first.
    """

    code: str
    family: str
    truth: tuple[str, ...]
    named: str
    kind: str
    leading: str
    inspections: int
    cost: float
    parts: float
    remedies: float

    @property
    def right(self) -> bool:
        """Whether the verdict named a cause that is present, or none where none of the book's is."""
        return self.named in (self.truth or ("",))

    @property
    def suspected(self) -> bool:
        """Whether the case was handed over with a cause that is present named as the likeliest, unproven."""
        return bool(self.truth) and not self.named and self.leading in self.truth


@dataclass(frozen=True, slots=True)
class FamilyRow:
    """The simulated cases of one family: shares of all, and mean costs.

    ``right`` named a cause that is present, or none where none of the book's is; ``wrong`` named one that is
    not; ``suspected`` handed over with one that is present as the likeliest; ``referred`` handed over
    otherwise.
    """

    family: str
    cases: int
    right: float
    wrong: float
    suspected: float
    referred: float
    cost: float
    parts: float
    remedies: float


def weighed_codes(book: Book) -> tuple[str, ...]:
    """Give the codes that a rule weighs, sorted."""
    return tuple(sorted(o.key for o in book.weighing if o.kind == CODE and o.key in book.words.codes))


def simulate(
    book: Book,
    *,
    cases: int,
    seed: int,
    codes: Sequence[str] = (),
    tools: frozenset[str] | None = None,
    costs: Costs | None = None,
    disturbance: float = 1.0,
) -> Iterator[Played]:
    """Draw cases and work through them, one after the other.

    Args:
        book: the rules, which the planner takes at their word.
        cases: how many.
        seed: from 0.
        codes: what a case may begin with, as often as the base rates make it; all weighed by default.
        tools: at hand besides the basic ones; all of the book by default.
        costs: the user's prices.
        disturbance: largest factor, either way, by which each frequency of the world differs from the book's.
    """
    shop = _Shop(book, frozenset(book.words.tools) if tools is None else tools, costs or Costs())
    share = how_often(book, tuple(codes) or weighed_codes(book))
    names = tuple(share)
    for number in range(cases):
        rng = np.random.default_rng([seed, number])
        code = names[int(rng.choice(len(names), p=list(share.values())))]
        yield shop.play(World(book, disturbance, (seed, number)), rng, code)


def by_family(played: Iterable[Played]) -> tuple[FamilyRow, ...]:
    """Sum up by family, sorted."""
    families: dict[str, list[Played]] = {}
    for one in played:
        families.setdefault(one.family, []).append(one)
    return tuple(_row(name, families[name]) for name in sorted(families))


def overall(played: Sequence[Played]) -> FamilyRow:
    """Sum up over all families, under the name "all"."""
    return _row("all", played)


def _row(family: str, played: Sequence[Played]) -> FamilyRow:
    def mean(values: Iterable[float]) -> float:
        return sum(values) / len(played)

    right = mean(one.right for one in played)
    suspected = mean(one.suspected for one in played)
    referred = mean(bool(one.truth) and not one.named and not one.suspected for one in played)
    return FamilyRow(
        family,
        len(played),
        right,
        mean(bool(one.named) and not one.right for one in played),
        suspected,
        referred,
        mean(one.cost for one in played),
        mean(one.parts for one in played),
        mean(one.remedies for one in played),
    )


class _Shop:
    """Works through cases with the book's figures; remembers what it decided on the same facts."""

    def __init__(self, book: Book, tools: frozenset[str], costs: Costs) -> None:
        self.book, self.tools, self.costs = book, tools, costs
        self.decided: dict[Sheet, Decision] = {}
        self.blind = Blind(book, costs)

    def play(self, world: World, rng: np.random.Generator, code: str) -> Played:
        """Draw one case behind a code and work through it both ways."""
        behind = world.causes_behind(code)
        row = behind.member[int(rng.choice(len(behind.prob), p=behind.prob))]
        truth = frozenset(cause for cause, there in zip(behind.causes, row, strict=True) if there)
        first, inspections, cost = self._plan(world, rng, code, truth)
        entry = self.book.words.codes.get(code)
        return Played(
            code=code,
            family=entry.family if entry else "",
            truth=tuple(sorted(truth)),
            named=first.verdict.cause,
            kind=first.verdict.kind,
            leading=first.standings[0].cause if first.standings else "",
            inspections=inspections,
            cost=cost,
            parts=self.blind.cost(code, truth, PARTS),
            remedies=self.blind.cost(code, truth, REMEDIES),
        )

    def _plan(
        self, world: World, rng: np.random.Generator, code: str, truth: frozenset[str]
    ) -> tuple[Decision, int, float]:
        """Follow the planner; give its first verdict, how many inspections it made, and the cost."""
        left, spent, made, returns = set(truth), 0.0, 0, 0
        swapped: frozenset[str] = frozenset()
        sheet = presenting(code)
        first: Decision | None = None
        while True:
            decision = self._decide(sheet)
            kind, cause = decision.verdict.kind, decision.verdict.cause
            if kind == INSPECT and decision.next is not None:
                facts = close(self.book, sheet.atoms, "reference").facts
                check = decision.next.inspection
                result = world.result(rng, facts, check, frozenset(left), shown(sheet, check))
                sheet = with_result(self.book, sheet, check, result)
                spent, made = spent + decision.next.cost, made + 1
                continue
            first = first or decision
            if not mended_here(self.book, cause) or returns == RETURNS:
                return first, made, spent + hand_over(self.book, self.costs, left, cause)
            spent += mending(self.book, self.costs, cause, sheet.open_access)
            left.discard(cause)
            if truth and not left:
                return first, made, spent
            if kind == REPAIR and self.book.causes[cause].remedy.action == "replace":
                swapped |= {self.book.causes[cause].component}
            sheet, returns = presenting(code, swapped), returns + 1

    def _decide(self, sheet: Sheet) -> Decision:
        if sheet not in self.decided:
            found = infer(self.book, sheet, "reference")
            self.decided[sheet] = decide(
                self.book,
                sheet,
                found.chained,
                found.posterior,
                Sensitivity((), ()),
                tools=self.tools,
                costs=self.costs,
            )
        return self.decided[sheet]
