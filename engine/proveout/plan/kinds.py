"""The one question about the vehicle that is worth asking: of a kind that is unknown and matters."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from proveout.model.advice import Asked, Hypothesis, Next
from proveout.model.book import Book, OnlyFor
from proveout.model.case import Sheet
from proveout.model.vehicle import QUESTIONS, SHARES

#: Share of the belief that the answer must be expected to move, and what it counts that the inspection
#: proposed next may not fit.
LEAST, STEP = 0.025, 0.3
#: An answer less likely than this is no real question: what was seen has given the other one already.
OPEN = 0.1
#: Causes named in the reason.
NAMED = 2


def asked(book: Book, sheet: Sheet, hypotheses: Sequence[Hypothesis], step: Next | None) -> Asked | None:
    """Return what to ask about the vehicle, or None where no answer would change much.

    Args:
        book: the whole book, not narrowed to the vehicle.
        sheet: what is known.
        hypotheses: how the causes stand.
        step: the inspection proposed next.
    """
    sure = {hypothesis.cause: hypothesis.confidence for hypothesis in hypotheses}
    bears = [one for one in book.only_for if one.id in sure or (step and one.id == step.inspection)]
    weights = {one: sure.get(one.id, 0.0) if one.kind == "causes" else STEP for one in bears}
    best: tuple[float, Asked] | None = None
    for kinds, text in QUESTIONS.items():
        open_ones = [kind for kind in kinds if kind not in sheet.has | sheet.lacks]
        gain, kind = max(((_gain(weights, kind), kind) for kind in open_ones), default=(0.0, ""))
        if gain >= LEAST and (best is None or gain > best[0]):
            best = gain, Asked(kinds, text, _why(book, weights, kind))
    return best[1] if best else None


def _gain(weights: Mapping[OnlyFor, float], kind: str) -> float:
    """Return how much of the belief the answer is expected to take away.

    What is seen tells something of the vehicle already: the less a kind leaves, the less likely it is.
    """
    without = min(sum(weight for one, weight in weights.items() if kind in one.not_for), 1.0)
    needing = min(sum(weight for one, weight in weights.items() if kind in one.fits), 1.0)
    has, lacks = SHARES[kind] * (1.0 - without), (1.0 - SHARES[kind]) * (1.0 - needing)
    if has + lacks <= 0 or min(has, lacks) < OPEN * (has + lacks):
        return 0.0
    return (has * without + lacks * needing) / (has + lacks)


def _why(book: Book, weights: Mapping[OnlyFor, float], kind: str) -> str:
    """Say what hangs on it."""
    bears = [one for one in weights if kind in (*one.fits, *one.not_for)]
    order = sorted(bears, key=lambda one: (-weights[one], one.id))[:NAMED]
    titles = [(book.causes if one.kind == "causes" else book.inspections)[one.id].title for one in order]
    return (
        " and ".join(f"“{title}”" for title in titles)
        + (" hang" if len(titles) > 1 else " hangs")
        + " on it."
    )
