"""From the book, a case and what is believed of it to a planning problem in numbers."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from proveout.model.atom import RESULT, Atom
from proveout.model.belief import Posterior
from proveout.model.book import Book
from proveout.model.case import Costs, Sheet
from proveout.plan.bearing import bearing_of
from proveout.plan.frame import frame_of, incidence
from proveout.plan.moves import mend
from proveout.plan.outlook import Extensions
from proveout.plan.parts import Claim
from proveout.plan.problem import Floats, Ints, Problem, States, indices, sets_of
from proveout.plan.proof import clear_results
from proveout.weigh.likelihoods import Rates
from proveout.weigh.posteriors import place_of
from proveout.weigh.presence import Presence

#: Planning looks at the likeliest sets that carry this share of the whole, but at no more than ``MOST``
#: (and what is left of them when causes are mended).
SHARE, MOST = 0.999, 300


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
    kept, prob, left_out = prune(posterior)
    member = posterior.member[kept]
    together = incidence([claim.counted for claim in claimed], causes)
    checks = bearing.relevant(facts, causes, tuple(check for claim in claimed for check in claim.needed))
    frame = frame_of(book, causes, checks, tools, costs)
    refer = frame.refer(member)
    dearest = float(prob @ refer)
    wanted = tuple(tool for tool, price in frame.alone if price < dearest)
    presence = Presence(book, sheet)
    told = tuple(
        presence.planned(check, one, causes)
        if not missing or (len(missing) == 1 and missing <= set(wanted))
        else None
        for check, missing, one in zip(checks, frame.lacking, bearing.told_by(facts, checks), strict=True)
    )
    anew = np.array([presence.worth_again(check, causes) for check in checks], dtype=bool)
    aside = np.array([check in sheet.set_aside for check in checks], dtype=bool)
    telling = frame.telling(told)
    problem = Problem(
        causes=causes,
        checks=checks,
        sets=sets_of(member, together),
        like=telling.like(kept, member),
        first=telling.first,
        shows=telling.shows,
        cost=frame.cost,
        behind=frame.behind,
        access=frame.access,
        after=frame.after & ~anew,
        buying=incidence([claim.needed for claim in claimed], checks),
        repair=frame.repair,
        repair_behind=frame.repair_behind,
        refer=refer,
        usable=frame.usable & ~aside,
        threshold=frame.threshold,
    )
    state = _without_mended(problem, _state(book, sheet, problem, prob, frame.places), sheet)
    state = replace(state, done=state.done & ~anew)
    with_tool = [[missing <= {tool} for missing in frame.lacking] & ~aside for tool in wanted]
    extensions = Extensions(
        np.array(with_tool, dtype=bool).reshape(len(wanted), len(checks)),
        np.array([book.words.tools[tool].price.middle for tool in wanted]),
    )
    return Setup(
        problem,
        state,
        telling.columns,
        frame.lacking,
        sheet.open_access,
        wanted,
        extensions,
        left_out,
        frame.handling,
        presence,
        told,
    )


def prune(posterior: Posterior) -> tuple[Ints, Floats, float]:
    """Keep the likeliest sets, the empty one, every single cause, and what mending leaves of any of them.

    Returns:
        The places (S,) of these sets, rising, their probabilities (S,) scaled to sum to 1, and the
        probability of those left out.
    """
    prob, count = posterior.prob, len(posterior.causes)
    enough = _likeliest(prob)
    keep = {*range(min(count + 1, len(prob))), *enough.tolist()}
    size = posterior.member[enough].sum(axis=1)
    waiting = [tuple(indices(posterior.member[one]).tolist()) for one in enough[size > 2].tolist()]
    while waiting:
        chosen = waiting.pop()
        for rest in (chosen[:n] + chosen[n + 1 :] for n in range(len(chosen))):
            place = place_of(rest, count)
            if place not in keep:
                keep.add(place)
                waiting.append(rest)
    kept = np.array(sorted(keep))
    carried = float(prob[kept].sum())
    return kept, prob[kept] / carried, max(1.0 - carried, 0.0)


def _likeliest(prob: Floats) -> Ints:
    """Return the places of the likeliest sets, ties by place."""
    top = np.arange(len(prob))
    if len(prob) > MOST:
        least = np.partition(prob, len(prob) - MOST)[len(prob) - MOST]
        top = indices(prob >= least - 1e-15)
    order = top[np.lexsort((top, -prob[top].round(15)))]
    carried = np.cumsum(prob[order])
    return order[: min(int(np.searchsorted(carried, SHARE)) + 1, MOST)]


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
