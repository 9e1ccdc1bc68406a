"""A made-up world to try the planner in: which causes are present, and what inspections then show.

The world answers by the book's own tables or, disturbed, by tables of which every frequency is off by a
random factor, while the planner keeps the book's figures.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from zlib import crc32

import numpy as np
from msgspec.structs import replace

from proveout.model.atom import (
    CODE,
    NORMAL,
    REPLACED,
    RESULT,
    STAYS_AWAY,
    WATCH,
    Atom,
    Observable,
    Observation,
)
from proveout.model.belief import CPT, Network, Posterior
from proveout.model.book import Book
from proveout.model.case import Mended, Sheet
from proveout.model.chained import Chained
from proveout.plan.parts import inspections_of
from proveout.plan.repeats import FRESH
from proveout.weigh.cpts import cpt
from proveout.weigh.inference import infer
from proveout.weigh.likelihoods import likelihood
from proveout.weigh.networks import network
from proveout.weigh.posteriors import posterior

#: No disturbed frequency, and no sum of those of one cause, is larger than this.
LARGEST = 0.995


@dataclass(frozen=True, slots=True)
class World:
    """What is so, apart from what the planner believes.

    Attributes:
        book: the rules.
        disturbance: every frequency is multiplied by a factor from 1/disturbance to disturbance.
        seed: of the factors and the draws; two worlds of the same seed are the same.
    """

    book: Book
    disturbance: float = 1.0
    seed: tuple[int, ...] = (0,)

    def factor(self, *names: str) -> float:
        """Return the factor of one frequency; it depends on the seed and the names alone."""
        if self.disturbance == 1.0:
            return 1.0
        rng = np.random.default_rng([*self.seed, crc32("|".join(names).encode())])
        return float(self.disturbance ** rng.uniform(-1.0, 1.0))

    def cpt(self, facts: frozenset[Atom], observable: Observable) -> CPT | None:
        """Return how an observable truly answers to causes."""
        how = cpt(self.book, facts, observable)
        if how is None or self.disturbance == 1.0:
            return how
        return replace(
            how,
            background=self._row(how, "", how.background),
            given={cause: self._row(how, cause, row) for cause, row in how.given.items()},
        )

    def _row(self, how: CPT, cause: str, row: tuple[float, ...]) -> tuple[float, ...]:
        """Disturb the frequencies of one cause."""
        off = [s * self.factor(str(how.observable), k, cause) for k, s in zip(how.states, row, strict=True)]
        scale = min(1.0, LARGEST / max(sum(off), 1e-300))
        return tuple(s * scale for s in off)

    def causes_behind(self, code: str) -> Posterior:
        """Return the true probabilities of the sets of causes behind a code that is all that is known."""
        found = infer(self.book, presenting(code), "reference")
        if self.disturbance == 1.0:
            return found.posterior
        told, facts = found.network, found.chained.facts
        evidence = tuple(replace(e, cpt=self.cpt(facts, e.cpt.observable) or e.cpt) for e in told.evidence)
        priors = {c: min(p * self.factor("base rate", c), 0.5) for c, p in told.priors.items()}
        return posterior(Network(priors, evidence, told.at_once))

    def result(
        self,
        rng: np.random.Generator,
        facts: frozenset[Atom],
        inspection: str,
        present: frozenset[str],
        before: str = "",
    ) -> str:
        """Draw the result of an inspection where some causes are present.

        ``before`` is what it showed the first time, if it is repeated.
        """
        if before and rng.random() >= FRESH:
            return before
        how = self.cpt(facts, Observable(RESULT, inspection))
        names = [result.id for result in self.book.inspections[inspection].results]
        if how is None:
            return names[0]
        causes = tuple(sorted(present))
        chances = likelihood(how, causes, np.ones((1, len(causes)), dtype=np.bool_))[0]
        drawn = int(rng.choice(len(chances), p=chances / chances.sum()))
        if drawn:
            return how.states[drawn - 1]
        return next((name for name in names if name not in how.states), names[0])


def presenting(code: str, replaced: frozenset[str] = frozenset()) -> Sheet:
    """Return the sheet of a case of which a code is all that is known, and parts replaced before."""
    seen = Observation(Observable(CODE, code), (("set", 1.0),), "confirmed")
    atoms = {Atom(CODE, code, "set"), Atom("status", code, "confirmed")}
    atoms |= {Atom(REPLACED, component, "done") for component in replaced}
    return Sheet(frozenset(atoms), (seen,))


def shown(sheet: Sheet, inspection: str) -> str:
    """Return what an inspection has shown, or "" where it was not made."""
    observable = Observable(RESULT, inspection)
    return next((o.decided or "" for o in sheet.observations if o.observable == observable), "")


def with_result(book: Book, sheet: Sheet, inspection: str, result: str) -> Sheet:
    """Return the sheet with one more result; a repeated one counts instead of the first."""
    first = shown(sheet, inspection)
    seen = Observation(Observable(RESULT, inspection), ((result, 1.0),), result)
    return replace(
        sheet,
        atoms=sheet.atoms - {Atom(RESULT, inspection, first)} | {Atom(RESULT, inspection, result)},
        observations=tuple(
            sorted(
                (*(o for o in sheet.observations if o.observable != seen.observable), seen),
                key=lambda o: o.observable,
            )
        ),
        repeated=sheet.repeated | ({inspection} if first else set()),
        open_access=sheet.open_access | set(book.inspections[inspection].access),
    )


def with_repair(book: Book, sheet: Sheet, cause: str) -> Sheet:
    """Return the sheet after a repair that did not end the trouble.

    As in a case file, what was inspected goes on counting; only the readings of the part mended are void, and
    a new part is known as one.
    """
    entry = book.causes[cause]
    void = frozenset(inspections_of(book, entry.component))
    kept = {a for a in sheet.atoms if a.kind != RESULT or a.key not in void}
    new = {Atom(REPLACED, entry.component, "done")} if entry.remedy.action == "replace" else set[Atom]()
    return replace(
        sheet,
        atoms=frozenset(kept | new),
        observations=tuple(
            o for o in sheet.observations if o.observable.kind != RESULT or o.observable.key not in void
        ),
        repeated=sheet.repeated - void,
    )


def with_mended(sheet: Sheet, cause: str, since: str) -> Sheet:
    """Return the sheet with one more defect put right, and what was seen since."""
    state = NORMAL if since == STAYS_AWAY else since
    seen = [Observation(Observable(WATCH, cause), ((state, 1.0),), since)] if since else []
    return replace(
        sheet,
        observations=tuple(sorted((*sheet.observations, *seen), key=lambda o: o.observable)),
        mended=(*sheet.mended, Mended(cause, since)),
    )


def how_often(book: Book, codes: tuple[str, ...]) -> Mapping[str, float]:
    """Return how often each code is the one that a case begins with, by base rates and the code's own rules.

    Findings are left out: "some cylinder is named" is as likely as all its codes together, and would count
    for each of them.
    """
    weight: dict[str, float] = {}
    for code in codes:
        sheet = presenting(code)
        alone = network(book, sheet, Chained(sheet.atoms, ()))
        weight[code] = float(np.exp(posterior(alone).log_evidence))
    total = sum(weight.values())
    return {code: share / total for code, share in weight.items()}
