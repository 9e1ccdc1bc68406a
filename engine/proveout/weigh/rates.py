"""What the answer owes to base rates, of which nobody knows much more than the order of magnitude.

With the prior odds of one cause times f, each set that holds it weighs f times as much. With p the confidence
in the cause, p_d that in another and p_cd that both are there, the two become f p / Z and
(p_d + (f - 1) p_cd) / Z, Z = 1 + (f - 1) p, and change places at f = (p_d - p_cd) / (p - p_cd).
"""

from __future__ import annotations

from collections.abc import Mapping
from math import inf

import numpy as np
from numpy.typing import NDArray

from proveout.model.belief import Posterior, RateDoubt
from proveout.weigh.posteriors import leading

#: Differences of confidence below this are rounding.
_NOTHING = 1e-12


def rate_doubts(posterior: Posterior, off: Mapping[str, float]) -> tuple[RateDoubt, ...]:
    """Return what the answer owes to the rate of each cause in play.

    Args:
        posterior: the belief.
        off: by which factor the rate of each cause may be off; those left out are not known.
    """
    member = posterior.member.astype(np.float64)
    both = member.T @ (posterior.prob[:, None] * member)
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
            *_turn(n, lead, alone, both[n], posterior.causes),
        )
        for n, cause in enumerate(posterior.causes)
    )


def _with(confidence: float, times: float) -> float:
    """Return the confidence in a cause whose prior odds are so many times what they were."""
    confidence = min(confidence, 1.0)
    return times * confidence / (1.0 + (times - 1.0) * confidence)


def _turn(
    cause: int, lead: int, alone: NDArray[np.float64], both: NDArray[np.float64], names: tuple[str, ...]
) -> tuple[float, str]:
    """Return by which factor a rate must be off, and who leads then: another for the lead, else this cause.

    The last of ``alone`` and ``both`` is what is not in the book, which is named "".
    """
    own = alone[cause] - both
    others = alone - both
    rivals = np.arange(len(own)) != cause
    with np.errstate(divide="ignore", invalid="ignore"):
        lower = np.where(rivals & (others > _NOTHING), own / others, inf)
        higher = np.where(rivals, np.where(own > _NOTHING, others / own, inf), 1.0)
    if lead == cause:
        rival = int(lower.argmin())
        name = "" if rival == len(names) else names[rival]
        return (float(max(lower[rival], 1.0)), name) if lower[rival] < inf else (inf, "")
    times = float(higher.max())
    return (max(times, 1.0), names[cause]) if times < inf else (inf, "")
