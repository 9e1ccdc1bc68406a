"""From the book, a case and what is believed of it to a planning problem in numbers."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from proveout.model.atom import RESULT, Atom, Observable
from proveout.model.belief import Posterior, Table
from proveout.model.book import Book
from proveout.model.case import Costs, Sheet
from proveout.model.entries import Inspection
from proveout.plan.job import Bools, Floats, Job, States, children, reach
from proveout.plan.proof import clear_results, threshold
from proveout.weigh import likelihood, table

#: Planning looks at the likeliest sets that carry this share of the whole, but at no more than ``MOST``
#: (and what is left of them when causes are mended).
SHARE, MOST = 0.9999, 300


@dataclass(frozen=True, slots=True)
class Laid:
    """A planning problem beside the book's words for it.

    Attributes:
        job: the problem; its causes and checks carry the book's ids.
        state: where the case stands.
        columns: for each check, result id to column of ``job.like``.
        lacking: for each check, the tools that are not at hand.
        aside: for each check, whether it was set aside.
        opened: access that is open already.
    """

    job: Job
    state: States
    columns: tuple[dict[str, int], ...]
    lacking: tuple[frozenset[str], ...]
    aside: Bools
    opened: frozenset[str]


def lay(
    book: Book,
    sheet: Sheet,
    facts: frozenset[Atom],
    posterior: Posterior,
    tools: frozenset[str],
    costs: Costs,
) -> Laid:
    """Lay out the planning problem of a case.

    Handing over costs the price of a specialist's search; what he finds must be mended at the user's figures
    all the same, so that a dear part alone is no reason to hand over.
    """
    causes = posterior.causes
    member, prob = prune(posterior)
    checks = relevant(book, facts, causes)
    tables = [table(book, facts, Observable(RESULT, check)) for check in checks]
    entries = [book.inspections[check] for check in checks]
    places = sorted(
        {p for e in entries for p in e.access} | {p for c in causes for p in book.causes[c].remedy.access}
    )
    minute = costs.per_hour / 60.0
    remedies = [book.causes[cause].remedy for cause in causes]
    repair = np.array(
        [
            min(costs.refer_proven, costs.refer_out)
            if r.action == "refer"
            else r.minutes * minute + r.part_cost.middle
            for r in remedies
        ]
    )
    mended_anyway = repair * np.array([r.action != "refer" for r in remedies])
    columns = tuple(_columns(e, t) for e, t in zip(entries, tables, strict=True))
    lacking = tuple(_lacking(book, entry, tools) for entry in entries)
    aside = np.array([check in sheet.set_aside for check in checks], dtype=bool)
    job = Job(
        causes=causes,
        checks=tuple(checks),
        member=member,
        child=children(member),
        like=tuple(_like(t, causes, member) for t in tables),
        shows=tuple(
            _shows(e, c, causes, 1 + len(t.states) if t else 1)
            for e, c, t in zip(entries, columns, tables, strict=True)
        ),
        cost=np.array([e.minutes * minute + e.consumables.middle for e in entries], dtype=float),
        behind=_incidence([e.access for e in entries], places),
        access=np.array([book.words.access[p].minutes * minute for p in places], dtype=float),
        after=reach(_incidence([e.after for e in entries], checks)),
        buying=_incidence([book.causes[cause].before_buying for cause in causes], checks),
        repair=repair,
        repair_behind=_incidence([r.access for r in remedies], places),
        refer=costs.refer_out + member @ mended_anyway,
        usable=np.array([not missing for missing in lacking], dtype=bool) & ~aside,
        threshold=np.array([threshold(book.causes[cause], costs) for cause in causes]),
    )
    return Laid(job, _state(book, sheet, job, prob, places), columns, lacking, aside, sheet.open_access)


def prune(posterior: Posterior) -> tuple[Bools, Floats]:
    """Keep the likeliest sets, the empty one, every single cause, and what mending leaves of any of them."""
    order = np.lexsort((np.arange(len(posterior.prob)), -posterior.prob.round(15)))
    carried = np.cumsum(posterior.prob[order])
    enough = order[: min(int(np.searchsorted(carried, SHARE)) + 1, MOST)]
    single = np.flatnonzero(posterior.member.sum(axis=1) <= 1)
    index = {row.tobytes(): place for place, row in enumerate(posterior.member)}
    keep = {0, *single.tolist()}
    waiting = enough.tolist()
    while waiting:
        place = waiting.pop()
        if place not in keep:
            keep.add(place)
            waiting += [index[rest.tobytes()] for rest in _without_one(posterior.member[place])]
    chosen = np.array(sorted(keep))
    prob = posterior.prob[chosen]
    return posterior.member[chosen], prob / prob.sum()


def _without_one(row: Bools) -> Iterable[Bools]:
    """Give the set without each of its causes in turn, the empty set left out."""
    for cause in np.flatnonzero(row):
        rest = row.copy()
        rest[cause] = False
        if rest.any():
            yield rest


def relevant(book: Book, facts: frozenset[Atom], causes: Sequence[str]) -> list[str]:
    """Give the inspections that tell or prove something of some causes, and those that must come first."""
    wanted = set(causes)
    found = {
        check
        for cause in causes
        for check in (*book.proved_by.get(cause, ()), *book.causes[cause].before_buying)
    }
    for check in book.inspections.keys() - found:
        heard = Observable(RESULT, check)
        named = (book.rules[rule].weights for rule in book.weighing.get(heard, ()))
        if any(not wanted.isdisjoint(weights) for weights in named):
            how = table(book, facts, heard)
            if how is not None and not wanted.isdisjoint(how.given):
                found.add(check)
    waiting = list(found)
    while waiting:
        new = set(book.inspections[waiting.pop()].after) - found
        found |= new
        waiting += new
    return sorted(found)


def _columns(entry: Inspection, how: Table | None) -> dict[str, int]:
    """Say which column of the likelihood each result falls in; those that no rule weighs share column 0."""
    states = how.states if how else ()
    return {r.id: states.index(r.id) + 1 if r.id in states else 0 for r in entry.results}


def _like(how: Table | None, causes: tuple[str, ...], member: Bools) -> Floats:
    """Give P(result | set); an inspection that no rule weighs is always normal."""
    return likelihood(how, causes, member) if how else np.ones((len(member), 1))


def _shows(entry: Inspection, columns: dict[str, int], causes: tuple[str, ...], width: int) -> Bools:
    """Give (C, R): whether each column shows each cause; a shared column only if all its results do."""
    shows = np.zeros((len(causes), width), dtype=bool)
    for cause, proving in entry.proves.items():
        if cause in causes:
            for column in {columns[result] for result in proving}:
                inside = {result for result, place in columns.items() if place == column}
                shows[causes.index(cause), column] = inside <= set(proving)
    return shows


def _lacking(book: Book, entry: Inspection, tools: frozenset[str]) -> frozenset[str]:
    """Give the tools of an inspection that are neither basic nor at hand."""
    return frozenset(t for t in entry.tools if t not in tools and not book.words.tools[t].basic)


def _incidence(rows: Sequence[Sequence[str]], columns: Sequence[str]) -> Bools:
    """Give a bool array: which of the columns each row names."""
    place = {name: n for n, name in enumerate(columns)}
    result = np.zeros((len(rows), len(columns)), dtype=bool)
    for n, row in enumerate(rows):
        result[n, [place[name] for name in row if name in place]] = True
    return result


def _state(book: Book, sheet: Sheet, job: Job, prob: Floats, places: Sequence[str]) -> States:
    """Give where the case stands: what has been inspected, decided, opened and shown."""
    tried = {o.observable.key for o in sheet.observations if o.observable.kind == RESULT}
    clear = clear_results(sheet)
    failed = [
        any(
            clear.get(check) in book.inspections[check].proves[cause]
            for check in book.proved_by.get(cause, ())
        )
        for cause in job.causes
    ]
    return States(
        prob[None, :],
        np.array([[check in tried for check in job.checks]], dtype=bool),
        np.array([[check in clear for check in job.checks]], dtype=bool),
        np.array([[place in sheet.open_access for place in places]], dtype=bool),
        np.array([failed], dtype=bool).reshape(1, len(job.causes)),
    )
