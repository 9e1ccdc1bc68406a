"""Rules: when facts hold, conclude a finding or weigh causes."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from msgspec import Struct, field

from proveout.model.atom import Atom, Observable
from proveout.model.problem import NOWHERE, Place

#: The one documented scale of frequency words: how often an observation appears where the cause is present.
FREQUENCY_WORDS: Mapping[str, float] = {
    "almost-always": 0.97,
    "usually": 0.85,
    "often": 0.6,
    "sometimes": 0.3,
    "seldom": 0.1,
    "rarely": 0.03,
    "almost-never": 0.005,
}


class When(Struct, frozen=True, array_like=True):
    """A condition: all of ``all_of``, at least one of ``any_of`` if there are any, none of ``none_of``."""

    all_of: tuple[Atom, ...] = ()
    any_of: tuple[Atom, ...] = ()
    none_of: tuple[Atom, ...] = ()

    @property
    def atoms(self) -> frozenset[Atom]:
        """Every atom that the condition mentions."""
        return frozenset(self.all_of) | frozenset(self.any_of) | frozenset(self.none_of)

    def holds(self, facts: frozenset[Atom] | set[Atom]) -> bool:
        """Say whether the condition holds in a closed set of facts (absence counts as not so)."""
        for atom in self.all_of:  # a loop: asked of every rule, it takes half the time of all()
            if atom not in facts:
                return False
        if self.any_of and not any(atom in facts for atom in self.any_of):
            return False
        return not (self.none_of and any(atom in facts for atom in self.none_of))


class Example(Struct, frozen=True, array_like=True):
    """A small intake with which the rule must fire or stay silent (same keys as an intake document)."""

    intake: Mapping[str, Any]
    fires: bool
    place: Place = NOWHERE


class Rule(Struct, frozen=True, array_like=True):
    """One rule of the book.

    Attributes:
        id: unique in the book.
        when: the whole condition, the observed atom included.
        concludes: finding id, or None for a weighing rule.
        observes: for a weighing rule, the one observable atom in ``when.all_of`` it weighs; else None.
        weights: for a weighing rule, cause id to frequency in (0, 1): P(this state | that cause).
        otherwise: for a weighing rule, P(this state | none of the named causes); None leaves it to others.
        because: the reason, in a sentence.
        source: where the knowledge comes from.
        examples: firing and silent ones.
        place: where the rule stands.
        layer: the name of the directory layer it came from (``book`` for the shipped one).
        elsewhere: causes whose frequency stands in another file, at the cause itself, each with its place.
    """

    id: str
    when: When
    concludes: str | None = None
    observes: Atom | None = None
    weights: Mapping[str, float] = field(default_factory=dict)
    otherwise: float | None = None
    because: str = ""
    source: str = ""
    examples: tuple[Example, ...] = ()
    place: Place = NOWHERE
    layer: str = "book"
    elsewhere: Mapping[str, Place] = field(default_factory=dict)

    @property
    def observable(self) -> Observable | None:
        """What a weighing rule weighs, else None."""
        return Observable(self.observes.kind, self.observes.key) if self.observes else None

    @property
    def context(self) -> frozenset[Atom]:
        """The conditions besides the observed atom; a rule with a superset of them is more specific."""
        return self.when.atoms - ({self.observes} if self.observes else set())
