"""The compiled book: everything a shop knows, indexed for use."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct, field

from proveout.model.atom import Atom, Observable
from proveout.model.entries import Cause, Inspection, Vocabulary
from proveout.model.rule import Rule
from proveout.model.specs import OwnFigures
from proveout.model.urgency import Driving


class Predicate(Struct, frozen=True, array_like=True):
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


class Stage(Struct, frozen=True, array_like=True):
    """Rules that run together; what they negate is settled before.

    Attributes:
        mentions: for each atom that a rule needs (in ``all`` or ``any``), those rules, in order of id.
        free: the rules that need no atom at all.
        concluding: whether they conclude findings; otherwise they weigh.
    """

    mentions: Mapping[Atom, tuple[Rule, ...]]
    free: tuple[Rule, ...]
    concluding: bool


class Layout(Struct, frozen=True, array_like=True):
    """The stages of a book in the order they run, and its findings, each after those it rests on."""

    stages: tuple[Stage, ...]
    findings: tuple[str, ...]


class OnlyFor(Struct, frozen=True, array_like=True):
    """A cause or inspection that only some vehicles have.

    Attributes:
        kind: ``causes`` or ``inspections``.
        id: its id.
        fits, not_for: kinds of vehicle: it needs all of the first and none of the second.
    """

    kind: str
    id: str
    fits: tuple[str, ...]
    not_for: tuple[str, ...]


class Book(Struct, frozen=True, array_like=True):
    """All entries and rules, checked and indexed.

    The mappings may be read from a compiled file, entry by entry as they are asked for; looking up is cheap,
    walking over all of one kind reads all of it.

    Attributes:
        causes, inspections, rules: by id, in canonical (sorted) order of id.
        words: the plain vocabularies.
        own_figures: limits of certain vehicles; where several hold for one inspection, the last counts: the
            one of the highest layer, among those the one with the most conditions.
        driving: what facts mean for driving on, by id.
        predicates: every threshold that a condition mentions.
        stratum: for each concluding rule id, the stratum in which it may fire (0 first); a rule that
            negates a finding stands in a later stratum than every rule that concludes it.
        layout: the rules in the order they run, by what they need; None where it was not laid out yet.
        weighing: for each observable, the ids of the rules that weigh it.
        weighed_in: for each cause id, the observables on which some rule weighs it.
        proved_by: for each cause id, the ids of the inspections that prove it.
        former: names that entries had before to those of today: ``inspection OLD`` and ``symptom OLD`` to the
            id, ``result INSPECTION OLD`` to the result.
        only_for: the causes and inspections that only some vehicles have.
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
    layout: Layout | None = None
    weighing: Mapping[Observable, tuple[str, ...]] = field(default_factory=dict)
    weighed_in: Mapping[str, tuple[Observable, ...]] = field(default_factory=dict)
    proved_by: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    former: Mapping[str, str] = field(default_factory=dict)
    driving: tuple[Driving, ...] = ()
    only_for: tuple[OnlyFor, ...] = ()
    digest: str = ""
    layers: tuple[str, ...] = ("book",)
