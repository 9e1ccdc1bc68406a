"""The compiled book: everything a shop knows, indexed for use."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from proveout.model.atom import Atom, Observable
from proveout.model.entries import Cause, Inspection, OwnFigures, Vocabulary
from proveout.model.rule import Rule


@dataclass(frozen=True, slots=True)
class Predicate:
    """A threshold or equality on a vehicle or freeze-frame fact, decided before chaining.

    Attributes:
        atom: the atom that it becomes where it holds.
        fact: name of the fact, such as ``vehicle.age``.
        op: ``at_least``, ``below`` or ``is``.
        number: threshold in the fact's own unit (years, km, degC, rpm, %, kPa, km/h), or None for ``is``.
        text: the value compared for ``is``.
    """

    atom: Atom
    fact: str
    op: str
    number: float | None = None
    text: str = ""


@dataclass(frozen=True, slots=True)
class Book:
    """All entries and rules, checked and indexed.

    Attributes:
        causes, inspections, rules: by id, in canonical (sorted) order of id.
        words: the plain vocabularies.
        own_figures: limits of certain vehicles; where several hold for one inspection, the last counts: the
            one of the highest layer, among those the one with the most conditions.
        predicates: every threshold that a condition mentions.
        stratum: for each concluding rule id, the stratum in which it may fire (0 first); a rule that
            negates a finding stands in a later stratum than every rule that concludes it.
        weighing: for each observable, the ids of the rules that weigh it.
        proved_by: for each cause id, the ids of the inspections that prove it.
        digest: SHA-256 hex of the canonical content.
        layers: names of the directories laid over each other, lowest first.
    """

    causes: Mapping[str, Cause]
    inspections: Mapping[str, Inspection]
    rules: Mapping[str, Rule]
    words: Vocabulary
    own_figures: tuple[OwnFigures, ...] = ()
    predicates: tuple[Predicate, ...] = ()
    stratum: Mapping[str, int] = field(default_factory=dict)
    weighing: Mapping[Observable, tuple[str, ...]] = field(default_factory=dict)
    proved_by: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    digest: str = ""
    layers: tuple[str, ...] = ("book",)
