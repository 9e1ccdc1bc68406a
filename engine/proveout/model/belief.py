"""Belief: how observables answer to causes, and what follows for sets of causes."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from msgspec import Struct, field
from numpy.typing import NDArray

from proveout.model.atom import Observable


class CPT(Struct, frozen=True):
    """How one observable answers to causes.

    Attributes:
        observable: what is seen.
        states: its abnormal states, sorted; every other state counts as normal.
        background: P(state | none of the named causes), one a state.
        given: cause id to P(state | that cause alone, no background), one a state; sums to less than 1.
        spoke: cause id (or "" for the background) to the ids of the rules that gave the figures.
        mended: for what was seen after a mending, the causes mended by then; the figures above are then those
            where anything else is wrong, or something that the book does not have.
    """

    observable: Observable
    states: tuple[str, ...]
    background: tuple[float, ...]
    given: Mapping[str, tuple[float, ...]]
    spoke: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    mended: tuple[str, ...] = ()


class Evidence(Struct, frozen=True):
    """An observation with the table by which it is weighed.

    Attributes:
        cpt: how the observable answers to causes.
        weights: (state, weight) pairs; states that are not in the table count as normal.
        said: the input it came from.
        subsumes: for a finding that stands for a joint event, the observables that it subsumes.
        eased: (cause, why) of those that it speaks for or against less than its rules say.
    """

    cpt: CPT
    weights: tuple[tuple[str, float], ...]
    said: str = ""
    subsumes: tuple[Observable, ...] = ()
    eased: tuple[tuple[str, str], ...] = ()


class Network(Struct, frozen=True):
    """A two-layer problem: causes with priors, evidence, and the largest number of causes at once.

    Attributes:
        priors: cause id to prior probability in (0, 1), for the causes in play, sorted by id.
        evidence: in canonical order.
        at_once: K, the largest set considered.
        silenced: each weighed observable that does not speak by itself, with how (as in ``model.trace``) and
            the finding that speaks instead.
    """

    priors: Mapping[str, float]
    evidence: tuple[Evidence, ...]
    at_once: int = 3
    silenced: Mapping[Observable, tuple[str, Observable]] = field(default_factory=dict)


class Posterior(Struct, frozen=True):
    """Probabilities of sets of causes.

    Attributes:
        causes: cause ids in play, sorted.
        member: bool array (sets, causes); row 0 is the empty set, "not in the book".
        prob: float array (sets,), sums to 1.
        log_evidence: natural log of the probability of the evidence under the model.
        log_prior: float array (sets,), log of each set's prior relative to that of the empty one.
        log_seen: float array (evidence, sets), log of the probability of each piece of evidence in each set.
    """

    causes: tuple[str, ...]
    member: NDArray[np.bool_]
    prob: NDArray[np.float64]
    log_evidence: float
    log_prior: NDArray[np.float64]
    log_seen: NDArray[np.float64]

    def confidence(self) -> dict[str, float]:
        """Return, for each cause, the probability that it is present."""
        # A sum of rounded probabilities can pass 1 by its last digit.
        present = np.minimum(self.prob @ self.member, 1.0)
        return dict(zip(self.causes, present.tolist(), strict=True))

    @property
    def not_in_book(self) -> float:
        """Probability of the empty set."""
        return float(self.prob[0])


class Entry(Struct, frozen=True):
    """One line of a ledger: an amount in decibans (10 log10 of the odds ratio) and where it came from.

    ``what`` is ``prior`` or the observable's text; ``said`` is the state seen; ``rules`` are rule ids;
    ``eased`` says why it counts less than they say, or is "".
    """

    what: str
    said: str
    decibans: float
    rules: tuple[str, ...] = ()
    eased: str = ""


class Ledger(Struct, frozen=True):
    """The column of evidence for one cause; the entries sum to ``total``, its log-odds in decibans."""

    cause: str
    entries: tuple[Entry, ...]
    total: float


class Surprise(Struct, frozen=True):
    """An observation that the rest of the evidence makes unlikely: a candidate for repeating.

    ``expected`` is its probability given everything else.
    """

    observable: Observable
    said: str
    expected: float


class RateDoubt(Struct, frozen=True):
    """What the answer owes to one cause's base rate.

    Attributes:
        cause: whose rate it is.
        off: by which factor it may be off either way; 0.0 where nobody said.
        less, more: confidence in the cause were its rate so much lower or higher; as it is where nobody said.
        turns: the factor, from 1, by which the rate must be too high for another cause to lead instead, or
            too low for this one to lead; infinite where no factor does it.
        leads: which cause leads then; "" where none does, or no factor changes it.
    """

    cause: str
    off: float
    less: float
    more: float
    turns: float
    leads: str = ""


class Sensitivity(Struct, frozen=True):
    """What the answer hangs on.

    Attributes:
        surprises: observations at odds with the rest, the most unlikely first.
        pivots: (observable, leading cause without it, its confidence then) for each observation without
            which another cause (or none, "") would lead.
        rates: one a cause in play.
    """

    surprises: tuple[Surprise, ...]
    pivots: tuple[tuple[Observable, str, float], ...]
    rates: tuple[RateDoubt, ...] = ()
