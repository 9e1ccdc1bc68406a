"""What of a planning problem stays the same from one result to the next, and in all cases of a code.

Which causes and inspections there are, what these tell, cost and need changes seldom while a case is worked
on; what is believed, and with it the sets of causes looked at, changes with every result. What is kept here
depends on neither, so that the answer is the same whatever was asked before.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

import numpy as np

from proveout.model.book import Book
from proveout.model.case import Costs
from proveout.model.entries import Inspection
from proveout.plan.problem import Bools, Floats, Ints, reach
from proveout.plan.proof import threshold
from proveout.weigh.beside import Beside
from proveout.weigh.likelihoods import Rates

#: Minutes that every inspection takes besides its own: reading up on it, fetching, writing it down (from
#: memory). It keeps planning from many small looks where one that decides would do; no figure shown has it.
HANDLING = 5.0
#: Sets of causes of which it is kept what the inspections tell.
_KEPT_SETS = 1000
#: Frames that are kept, and of each what its inspections can tell.
_KEPT = 4


class Telling:
    """What the inspections of a frame tell of the causes, as far as rules weigh them in a case.

    Attributes:
        columns: for each inspection, result id to its place among its results.
        first: (I + 1,) column at which the results of each begin.
        shows: (C, N) whether each result shows each cause directly.
    """

    def __init__(
        self, told: tuple[Rates | None, ...], causes: tuple[str, ...], entries: Sequence[Inspection]
    ) -> None:
        """Take what each inspection tells, None where nothing."""
        self.told = told
        self._beside = Beside(told, causes)
        self.first: Ints = self._beside.first
        self.columns = tuple(_columns(entry, one) for entry, one in zip(entries, told, strict=True))
        self.shows = _shows(entries, self.columns, self.first, causes)
        self._place = np.zeros(0, dtype=np.int64)
        self._like = np.zeros((0, int(self.first[-1])))

    def like(self, places: Ints, member: Bools) -> Floats:
        """Return (S, N) P(result | set) of sets given by their places, rising, and their causes (S, C)."""
        at = np.searchsorted(self._place, places)
        known = at < len(self._place)
        known[known] = self._place[at[known]] == places[known]
        if known.all() and len(places) == len(self._place):
            return self._like
        found = np.empty((len(places), self._like.shape[1]))
        found[known] = self._like[at[known]]
        found[~known] = self._beside.of(member[~known])
        self._keep(places, found, known)
        return found

    def _keep(self, places: Ints, found: Floats, known: Bools) -> None:
        """Keep what was found; of what was kept before as much as there is room for."""
        if not len(self._place) or len(self._place) + int((~known).sum()) > _KEPT_SETS:
            self._place, self._like = places, found
        elif not known.all():
            both = np.concatenate([self._place, places[~known]])
            order = np.argsort(both)
            self._place, self._like = both[order], np.concatenate([self._like, found[~known]])[order]


class Frame:
    """The causes, inspections and prices of a planning problem, whatever is believed of them.

    Attributes: those of ``Problem`` have its names, and
        entries: the inspections.
        lacking: for each, the tools that are not at hand.
        places: that have to be opened for anything, sorted.
        alone: the tools of which one alone would make an inspection usable, with their prices, sorted.
        mended: (C,) what mending costs even when the case is handed over.
        handling: what planning adds to the price of each inspection.
    """

    def __init__(
        self,
        book: Book,
        causes: tuple[str, ...],
        checks: tuple[str, ...],
        tools: frozenset[str],
        costs: Costs,
    ) -> None:
        """Look up what some causes and inspections need and cost; ``tools`` are at hand beside the basic."""
        self.book, self.causes, self.checks, self.tools, self.costs = book, causes, checks, tools, costs
        self.entries = [book.inspections[check] for check in checks]
        self.lacking = tuple(_lacking(book, entry, tools) for entry in self.entries)
        remedies = [book.causes[cause].remedy for cause in causes]
        behind = [*(e.access for e in self.entries), *(r.access for r in remedies)]
        self.places = sorted({place for access in behind for place in access})
        single = {next(iter(missing)) for missing in self.lacking if len(missing) == 1}
        self.alone = [(tool, book.words.tools[tool].price.middle) for tool in sorted(single)]
        self._price(book, costs)
        self.behind = incidence([e.access for e in self.entries], self.places)
        self.after = reach(incidence([e.after for e in self.entries], checks))
        self.repair_behind = incidence([r.access for r in remedies], self.places)
        self.usable = np.array([not missing for missing in self.lacking], dtype=bool)
        self.threshold = np.array([threshold(book.causes[cause], costs) for cause in causes])
        self._parts = _parts(book, causes)
        self._telling: list[Telling] = []

    def _price(self, book: Book, costs: Costs) -> None:
        minute = costs.per_hour / 60.0
        remedies = [book.causes[cause].remedy for cause in self.causes]
        elsewhere = np.array([r.action == "refer" for r in remedies], dtype=bool)
        here = np.array([r.minutes * minute + r.part_cost.middle for r in remedies], dtype=float)
        self.repair = np.where(elsewhere, min(costs.refer_proven, costs.refer_out), here)
        self.mended = np.where(elsewhere, 0.0, here)
        self.handling = HANDLING * minute
        own = [e.minutes * minute + e.consumables.middle for e in self.entries]
        self.cost = np.array(own, dtype=float) + self.handling
        self.access = np.array([book.words.access[p].minutes * minute for p in self.places], dtype=float)

    def refer(self, member: Bools) -> Floats:
        """Return (S,) what handing over costs for each set: a search, and each part that is mended once."""
        whole = np.zeros(len(member))
        for some in self._parts:
            whole += (member[:, some] * self.mended[some]).max(axis=1)
        return self.costs.refer_out + whole

    def telling(self, told: tuple[Rates | None, ...]) -> Telling:
        """Return what the inspections tell; the last few are kept, and known again by identity."""
        for known in self._telling:
            if all(mine is one for mine, one in zip(known.told, told, strict=True)):
                return known
        made = Telling(told, self.causes, self.entries)
        self._telling[:] = [made, *self._telling[: _KEPT - 1]]
        return made


#: The frames asked for last; books are known again by identity.
_recent: list[Frame] = []


def frame_of(
    book: Book, causes: tuple[str, ...], checks: tuple[str, ...], tools: frozenset[str], costs: Costs
) -> Frame:
    """Return the frame of some causes and inspections; the last few are kept."""
    asked = causes, checks, tools, costs
    for n, known in enumerate(_recent):
        if known.book is book and (known.causes, known.checks, known.tools, known.costs) == asked:
            _recent.insert(0, _recent.pop(n))
            return known
    made = Frame(book, causes, checks, tools, costs)
    _recent[:] = [made, *_recent[: _KEPT - 1]]
    return made


def incidence(rows: Iterable[Sequence[str]], columns: Sequence[str]) -> Bools:
    """Return a bool array: which of the columns each row names."""
    place = {name: n for n, name in enumerate(columns)}
    listed = list(rows)
    result = np.zeros((len(listed), len(columns)), dtype=bool)
    pairs = [(n, place[name]) for n, row in enumerate(listed) for name in row if name in place]
    if pairs:
        result[tuple(np.array(pairs).T)] = True
    return result


def _parts(book: Book, causes: Sequence[str]) -> list[list[int]]:
    """Return the causes by the part that ends them; what is not bought is each its own."""
    parts: dict[tuple[str, str, str], list[int]] = {}
    for n, cause in enumerate(causes):
        entry = book.causes[cause]
        bought = entry.remedy.action == "replace"
        parts.setdefault((entry.component, entry.remedy.part, "" if bought else cause), []).append(n)
    return list(parts.values())


def _columns(entry: Inspection, told: Rates | None) -> dict[str, int]:
    """Return the column in which each result falls; those that no rule weighs share column 0."""
    states = told.cpt.states if told else ()
    return {r.id: states.index(r.id) + 1 if r.id in states else 0 for r in entry.results}


def _shows(
    entries: Sequence[Inspection],
    columns: Sequence[Mapping[str, int]],
    first: Ints,
    causes: tuple[str, ...],
) -> Bools:
    """Return (C, N): whether each result shows each cause; a shared column only if all its results do."""
    shows = np.zeros((len(causes), int(first[-1])), dtype=bool)
    at = {cause: n for n, cause in enumerate(causes)}
    for entry, own, start in zip(entries, columns, first.tolist(), strict=False):
        for cause, proving in entry.proves.items():
            if cause in at:
                for column in {own[result] for result in proving}:
                    inside = {result for result, place in own.items() if place == column}
                    shows[at[cause], start + column] = inside <= set(proving)
    return shows


def _lacking(book: Book, entry: Inspection, tools: frozenset[str]) -> frozenset[str]:
    """Return the tools of an inspection that are neither basic nor at hand."""
    return frozenset(t for t in entry.tools if t not in tools and not book.words.tools[t].basic)
