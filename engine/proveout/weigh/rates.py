"""What the answer owes to base rates, of which nobody knows much more than the order of magnitude.

With the prior odds of one cause times f, each set that holds it weighs f times as much. With p the confidence
in the cause, p_d that in another and p_cd that both are there, the two become f p / Z and
(p_d + (f - 1) p_cd) / Z, Z = 1 + (f - 1) p, and change places at f = (p_d - p_cd) / (p - p_cd).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import inf

import numpy as np
from numpy.typing import NDArray

from proveout.model.belief import Posterior, RateDoubt
from proveout.weigh.posteriors import leading

#: Differences of confidence below this are rounding, and sets below it are left out: a million of them
#: together would move a confidence by a millionth.
_NOTHING = 1e-12


def rate_doubts(posterior: Posterior, off: Mapping[str, float]) -> tuple[RateDoubt, ...]:
    """Return what the answer owes to the rate of each cause in play.

    Args:
        posterior: the belief.
        off: by which factor the rate of each cause may be off; those left out are not known.
    """
    both = _together(posterior.member, posterior.prob)
    alone = np.append(both.diagonal(), posterior.not_in_book)
    both = np.hstack([both, np.zeros((len(both), 1))])
    now, _ = leading(posterior)
    lead = posterior.causes.index(now) if now else len(posterior.causes)
    return tuple(
        RateDoubt(
            cause,
            factor := off.get(cause, 0.0),
            _with(float(alone[n]), 1.0 / (factor or 1.0)),
            _with(float(alone[n]), factor or 1.0),
            *turn,
        )
        for n, (cause, turn) in enumerate(
            zip(posterior.causes, _turns(lead, alone, both, posterior.causes), strict=True)
        )
    )


def _together(member: NDArray[np.bool_], prob: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return (causes, causes) the probability that two causes are there together, or each alone.

    Sets hold few causes, so that going through their pairs takes a small part of the time of a product.
    """
    kept = np.flatnonzero(prob > _NOTHING)
    prob, member = prob[kept], member[kept]
    rows, causes = member.nonzero()
    size = np.bincount(rows, minlength=len(member))
    begins = np.cumsum(size) - size
    count = member.shape[1]
    found = np.zeros(count * count)
    for second in range(int(size.max(initial=0))):
        large = np.flatnonzero(size > second)
        for first in range(second + 1):
            pair = causes[begins[large] + first] * count + causes[begins[large] + second]
            found += np.bincount(pair, prob[large], count * count)
    upper = found.reshape(count, count)
    return np.asarray(upper + upper.T - np.diag(upper.diagonal()))


def _with(confidence: float, times: float) -> float:
    """Return the confidence in a cause whose prior odds are so many times what they were."""
    confidence = min(confidence, 1.0)
    return times * confidence / (1.0 + (times - 1.0) * confidence)


def _turns(
    lead: int, alone: NDArray[np.float64], both: NDArray[np.float64], names: tuple[str, ...]
) -> Iterator[tuple[float, str]]:
    """Return for each cause by which factor its rate must be off, and who leads then.

    That is another one for the cause in the lead, else the cause itself. The last of ``alone`` and of each
    row of ``both`` is what is not in the book, which is named "".
    """
    own, others = alone[:-1, None] - both, alone - both
    rivals = ~np.eye(*both.shape, dtype=np.bool_)
    with np.errstate(divide="ignore", invalid="ignore"):
        lower = np.where(rivals & (others > _NOTHING), own / others, inf)
        higher = np.where(rivals, np.where(own > _NOTHING, others / own, inf), 1.0)
    for cause, (name, times) in enumerate(zip(names, higher.max(axis=1, initial=0.0).tolist(), strict=True)):
        if lead == cause:
            rival = int(lower[cause].argmin())
            least = float(lower[cause, rival])
            yield (max(least, 1.0), (*names, "")[rival]) if least < inf else (inf, "")
        else:
            yield (max(times, 1.0), name) if times < inf else (inf, "")
