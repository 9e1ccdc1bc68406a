"""From the book, a case and what is believed of it to a planning problem in numbers."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from proveout.model.atom import RESULT, Atom
from proveout.model.belief import Posterior
from proveout.model.book import Book
from proveout.model.case import Costs, Sheet
from proveout.model.entries import Inspection
from proveout.plan.bearing import bearing_of
from proveout.plan.moves import mend
from proveout.plan.outlook import Extensions
from proveout.plan.parts import Claim
from proveout.plan.problem import Bools, Floats, Ints, Problem, States, reach, sets_of
from proveout.plan.proof import clear_results, threshold
from proveout.weigh.likelihoods import Rates, likelihoods_of
from proveout.weigh.posteriors import place_of
from proveout.weigh.presence import Presence

#: Planning looks at the likeliest sets that carry this share of the whole, but at no more than ``MOST``
#: (and what is left of them when causes are mended).
SHARE, MOST = 0.999, 300
#: Minutes that every inspection takes besides its own: reading up on it, fetching, writing it down (from
#: memory). It keeps planning from many small looks where one that decides would do; no figure shown has it.
HANDLING = 5.0


class Setup(Struct, frozen=True):
    """A planning problem beside the book's words for it.

    Attributes:
        problem: its causes and checks carry the book's ids.
        state: where the case stands.
        columns: for each check, result id to its place among the check's results in ``problem.like``.
        lacking: for each check, the tools that are not at hand.
        opened: access that is open already.
        wanted: tools not at hand of which one alone might pay for itself, sorted.
        extensions: the checks that can be used with each of them, and their prices.
        left_out: probability of the sets of causes that were left out.
        handling: what planning adds to the price of each check, and nobody is charged.
        presence: how far inspections can see what comes and goes.
        told: for each check, what it tells where it is tried to bring the fault on; None where nothing.
    """

    problem: Problem
    state: States
    columns: tuple[Mapping[str, int], ...]
    lacking: tuple[frozenset[str], ...]
    opened: frozenset[str]
    wanted: tuple[str, ...]
    extensions: Extensions
    left_out: float
    handling: float
    presence: Presence
    told: tuple[Rates | None, ...]


def set_up(
    book: Book,
    sheet: Sheet,
    facts: frozenset[Atom],
    posterior: Posterior,
    claimed: Sequence[Claim],
    *,
    tools: frozenset[str],
    costs: Costs,
) -> Setup:
    """Return the planning problem of a case.

    Handing over costs the price of a specialist's search; what he finds must be mended at the user's figures
    all the same, so that a dear part alone is no reason to hand over.

    Args:
        book: the compiled book.
        sheet: what is known.
        facts: the closed set of facts.
        posterior: what is believed.
        claimed: what proving each cause takes, in the order of ``posterior.causes``.
        tools: at hand besides the basic ones.
        costs: the user's prices.
    """
    causes, bearing = posterior.causes, bearing_of(book)
    member, prob, left_out = prune(posterior)
    together = _incidence([claim.counted for claim in claimed], causes)
    checks = bearing.relevant(facts, causes, [check for claim in claimed for check in claim.needed])
    entries = [book.inspections[check] for check in checks]
    lacking = tuple(_lacking(book, entry, tools) for entry in entries)
    places = sorted(
        {p for e in entries for p in e.access} | {p for c in causes for p in book.causes[c].remedy.access}
    )
    aside = np.array([check in sheet.set_aside for check in checks], dtype=bool)
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
    refer = costs.refer_out + _each_part_once(book, causes, member, mended_anyway)
    dearest = float(prob @ refer)
    wanted = _wanted(book, lacking, dearest)
    presence = Presence(book, sheet)
    told = [
        presence.planned(check, bearing.told(facts, check), causes)
        if not missing or (len(missing) == 1 and missing <= set(wanted))
        else None
        for check, missing in zip(checks, lacking, strict=True)
    ]
    anew = np.array([presence.worth_again(check, causes) for check in checks], dtype=bool)
    like, first = likelihoods_of(told, causes, member)
    columns = tuple(_columns(entry, one) for entry, one in zip(entries, told, strict=True))
    handling = HANDLING * minute
    problem = Problem(
        causes=causes,
        checks=tuple(checks),
        sets=sets_of(member, together),
        like=like,
        first=first,
        shows=_shows(entries, columns, first, causes),
        cost=np.array([e.minutes * minute + e.consumables.middle for e in entries], dtype=float) + handling,
        behind=_incidence([e.access for e in entries], places),
        access=np.array([book.words.access[p].minutes * minute for p in places], dtype=float),
        after=reach(_incidence([e.after for e in entries], checks)) & ~anew,
        buying=_incidence([claim.needed for claim in claimed], checks),
        repair=repair,
        repair_behind=_incidence([r.access for r in remedies], places),
        refer=refer,
        usable=np.array([not missing for missing in lacking], dtype=bool) & ~aside,
        threshold=np.array([threshold(book.causes[cause], costs) for cause in causes]),
    )
    state = _without_mended(problem, _state(book, sheet, problem, prob, places), sheet)
    state = replace(state, done=state.done & ~anew)
    with_tool = [[missing <= {tool} for missing in lacking] & ~aside for tool in wanted]
    extensions = Extensions(
        np.array(with_tool, dtype=bool).reshape(len(wanted), len(checks)),
        np.array([book.words.tools[tool].price.middle for tool in wanted]),
    )
    return Setup(
        problem,
        state,
        columns,
        lacking,
        sheet.open_access,
        wanted,
        extensions,
        left_out,
        handling,
        presence,
        tuple(told),
    )


def prune(posterior: Posterior) -> tuple[Bools, Floats, float]:
    """Keep the likeliest sets, the empty one, every single cause, and what mending leaves of any of them.

    Returns:
        The sets (S, C), their probabilities (S,) scaled to sum to 1, and the probability of those left out.
    """
    prob, count = posterior.prob, len(posterior.causes)
    enough = _likeliest(prob)
    keep = {*range(min(count + 1, len(prob))), *enough.tolist()}
    size = posterior.member[enough].sum(axis=1)
    waiting = [tuple(np.flatnonzero(posterior.member[one]).tolist()) for one in enough[size > 2].tolist()]
    while waiting:
        chosen = waiting.pop()
        for rest in (chosen[:n] + chosen[n + 1 :] for n in range(len(chosen))):
            place = place_of(rest, count)
            if place not in keep:
                keep.add(place)
                waiting.append(rest)
    kept = np.array(sorted(keep))
    carried = float(prob[kept].sum())
    return posterior.member[kept], prob[kept] / carried, max(1.0 - carried, 0.0)


def _each_part_once(book: Book, causes: Sequence[str], member: Bools, price: Floats) -> Floats:
    """Return (S,) what mending all causes of each set costs, a part that ends several of them only once."""
    parts: dict[tuple[str, str, str], list[int]] = {}
    for n, cause in enumerate(causes):
        entry = book.causes[cause]
        bought = entry.remedy.action == "replace"
        parts.setdefault((entry.component, entry.remedy.part, "" if bought else cause), []).append(n)
    whole = np.zeros(len(member))
    for some in parts.values():
        whole += (member[:, some] * price[some]).max(axis=1)
    return whole


def _likeliest(prob: Floats) -> Ints:
    """Return the places of the likeliest sets, ties by place."""
    top = np.arange(len(prob))
    if len(prob) > MOST:
        least = np.partition(prob, len(prob) - MOST)[len(prob) - MOST]
        top = np.flatnonzero(prob >= least - 1e-15)
    order = top[np.lexsort((top, -prob[top].round(15)))]
    carried = np.cumsum(prob[order])
    return order[: min(int(np.searchsorted(carried, SHARE)) + 1, MOST)]


def _wanted(book: Book, lacking: Iterable[frozenset[str]], dearest: float) -> tuple[str, ...]:
    """Return the tools that some inspection lacks alone and that cost less than the case can."""
    alone = {next(iter(missing)) for missing in lacking if len(missing) == 1}
    return tuple(sorted(tool for tool in alone if book.words.tools[tool].price.middle < dearest))


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


def _incidence(rows: Iterable[Sequence[str]], columns: Sequence[str]) -> Bools:
    """Return a bool array: which of the columns each row names."""
    place = {name: n for n, name in enumerate(columns)}
    listed = list(rows)
    result = np.zeros((len(listed), len(columns)), dtype=bool)
    pairs = [(n, place[name]) for n, row in enumerate(listed) for name in row if name in place]
    if pairs:
        result[tuple(np.array(pairs).T)] = True
    return result


def _without_mended(problem: Problem, state: States, sheet: Sheet) -> States:
    """Return where a case stands that goes on though something was mended: that is no longer there."""
    for one in sheet.mended:
        if one.cause in problem.causes:
            state = mend(problem, state, problem.causes.index(one.cause))
    return replace(state, weight=state.weight / state.mass[:, None])


def _state(book: Book, sheet: Sheet, problem: Problem, prob: Floats, places: Sequence[str]) -> States:
    """Return where the case stands: what has been inspected, decided, opened and shown."""
    tried = {o.observable.key for o in sheet.observations if o.observable.kind == RESULT}
    clear = clear_results(sheet)
    failed = [
        any(
            clear.get(check) in book.inspections[check].proves[cause]
            for check in book.proved_by.get(cause, ())
        )
        for cause in problem.causes
    ]
    return States(
        prob[None, :],
        np.array([failed], dtype=bool).reshape(1, len(problem.causes)),
        np.zeros(1, dtype=np.int64),
        np.array([[check in tried for check in problem.checks]], dtype=bool),
        np.array([[check in clear for check in problem.checks]], dtype=bool),
        np.array([[place in sheet.open_access for place in places]], dtype=bool),
    )
