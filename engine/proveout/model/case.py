"""A case as the inference sees it: one vehicle, one complaint, everything known so far."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Protocol

from msgspec import Struct, field

from proveout.model.atom import Atom, Observation
from proveout.model.problem import NOWHERE, Place
from proveout.model.specs import OwnFigures

#: The statuses that a stored code can have.
CODE_STATUSES = ("confirmed", "pending", "permanent", "history")
#: Why an inspection is set aside, with what is said of it.
SET_ASIDE: Mapping[str, str] = {
    "cannot-reach": "cannot be reached",
    "no-tool": "lacks a tool",
    "not-today": "is not for today",
}


class CodeSeen(Struct, frozen=True):
    """A code as read from the vehicle, with its status and, where given, its failure-type byte."""

    code: str
    status: str = "confirmed"
    failure_type: str = ""
    place: Place = NOWHERE


class Taken(Struct, frozen=True):
    """One inspection as recorded: a result word, a value, or a series of (stimulus, response) pairs.

    Exactly one of ``result``, ``value`` and ``series`` is set. ``fault`` says whether the fault was there
    meanwhile, as in ``presence``, and ``old_part`` whether it was of a part that has been replaced since.
    """

    inspection: str
    result: str = ""
    value: str = ""
    series: tuple[tuple[str, str], ...] = ()
    conditions: tuple[str, ...] = ()
    instrument: str = ""
    place: Place = NOWHERE
    fault: str = ""
    old_part: bool = False


class History(Struct, frozen=True):
    """What people say of how long it has been so, and of what was done or never done.

    Attributes:
        for_years: the trouble has been there for years.
        replaced_again: (component, how often) of those replaced more than once without effect.
        never_changed: components known to be the first ones, never changed or cleaned.
        engine_exchanged: the engine is not the one that the vehicle came with.
    """

    for_years: bool = False
    replaced_again: tuple[tuple[str, int], ...] = ()
    never_changed: tuple[str, ...] = ()
    engine_exchanged: bool = False


class Mended(Struct, frozen=True):
    """A defect put right on trial, and what was seen since.

    Attributes:
        cause: id.
        since: ``stays-away``, ``comes-back``, or "" while it is watched.
    """

    cause: str
    since: str = ""


class Costs(Struct, frozen=True):
    """The user's prices: one currency, whichever it is.

    Attributes:
        per_hour: what an hour of the user's time counts.
        refer_out: what handing the job to a specialist costs when he has to search: two hours at a workshop's
            rate, and his dearer mending (from memory).
        refer_proven: the same when the cause is proven and he only has to confirm it.
        threshold: confidence from which a cause may count as proven.
        currency: what it is called, such as EUR; only shown.
        parts: (component, price) of new parts, in the place of the book's ranges.
    """

    per_hour: float = 20.0
    refer_out: float = 300.0
    refer_proven: float = 60.0
    threshold: float = 0.90
    currency: str = ""
    parts: tuple[tuple[str, float], ...] = ()


class Case(Struct, frozen=True):
    """Everything known of one complaint, withdrawals already applied.

    Attributes:
        facts: named vehicle and freeze-frame facts: ``vehicle.age`` in years, ``vehicle.mileage`` in km,
            ``vehicle.engine``, ``vehicle.fuel``, ``vehicle.climate`` as text, ``frame.*`` numbers.
        has, lacks: kinds of vehicle that it is stated to be, or not to be.
        codes: codes read.
        symptoms, symptoms_absent, happens_when, recent_work, replaced: ids.
        said: free text not yet matched.
        tools: ids of the tools at hand besides the basic ones.
        monitors_run: readiness monitors known to have completed.
        taken: inspections recorded, in order.
        own_figures: limits that go before the book's generic ones.
        set_aside: inspections that cannot be done, each with why: one of ``SET_ASIDE``.
        costs: the user's prices.
        place: the document it came from.
        mended: what was put right and watched, in order.
        history: what was so before.
        code_families: of each a code was read of which the number is not known.
    """

    facts: Mapping[str, float | str] = field(default_factory=dict)
    has: tuple[str, ...] = ()
    lacks: tuple[str, ...] = ()
    codes: tuple[CodeSeen, ...] = ()
    symptoms: tuple[str, ...] = ()
    symptoms_absent: tuple[str, ...] = ()
    happens_when: tuple[str, ...] = ()
    recent_work: tuple[str, ...] = ()
    replaced: tuple[str, ...] = ()
    said: tuple[str, ...] = ()
    tools: tuple[str, ...] = ()
    monitors_run: tuple[str, ...] = ()
    taken: tuple[Taken, ...] = ()
    own_figures: tuple[OwnFigures, ...] = ()
    set_aside: Mapping[str, str] = field(default_factory=dict)
    costs: Costs = Costs()
    place: Place = NOWHERE
    mended: tuple[Mended, ...] = ()
    history: History = History()
    code_families: tuple[str, ...] = ()


class Told(Protocol):
    """What a reading says; its figures get their units when it is put into words."""

    def said(self, display: str) -> str:
        """Return it as typed, with its value in units by preference where that differs."""

    def noted(self, display: str) -> tuple[str, ...]:
        """Return remarks on it in sentences, units by preference."""

    def yields(self, display: str) -> tuple[str, ...]:
        """Return the figures derived from it in sentences, units by preference."""


class Read(Struct, frozen=True):
    """An inspection as recorded, judged.

    Attributes:
        inspection, title: what was inspected.
        states: result ids with weights that sum to 1.
        result: the result where it was recorded in words, else "".
        told: what a reading says; None for a result in words.
        own_alone: whether only the vehicle's own figures make of it what it is, so that it is no proof.
        fault: whether the fault was there meanwhile, as in ``presence``; "" where nothing was said.
        old_part: whether it was of a part that has been replaced since, so that it counts for nothing.
    """

    inspection: str
    title: str
    states: tuple[tuple[str, float], ...]
    result: str = ""
    told: Told | None = None
    own_alone: bool = False
    fault: str = ""
    old_part: bool = False

    def said(self, display: str) -> str:
        """Return how it was given, units by preference."""
        return self.told.said(display) if self.told else self.result


class Sheet(Struct, frozen=True):
    """A case turned into facts for the chainer and observations to weigh.

    Attributes:
        atoms: every fact; a reading too near a limit gives none.
        observations: one for each observable that is known, in canonical order.
        unmatched: what the book knows nothing about: codes, free text.
        notes: remarks for the user, such as an older result overruled by a repeat, in the units written.
        open_access: access ids already opened by the inspections done.
        repeated: ids of the inspections made more than once.
        readings: every inspection recorded, in order; of them texts are made in other units.
        heard: those of the notes that do not come from inspections.
        contrary: (inspection, result before) of those whose last two results contradict each other: one is
            normal and the other is not.
        set_aside: ids of the inspections that cannot be done.
        has, lacks: kinds of vehicle that it is known to be, or not to be.
        mended: what was put right and watched, in order.
        presence: (inspection, mark) of those of which it was said whether the fault was there meanwhile.
        history: what was so before.
        code_families: of each a code was read of which the number is not known.
        each_code: whether every code counts by itself, as in advice before its third form, and not as one of
            its family.
    """

    atoms: frozenset[Atom]
    observations: tuple[Observation, ...]
    unmatched: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    open_access: frozenset[str] = frozenset()
    repeated: frozenset[str] = frozenset()
    readings: tuple[Read, ...] = ()
    heard: tuple[str, ...] = ()
    contrary: tuple[tuple[str, str], ...] = ()
    set_aside: frozenset[str] = frozenset()
    has: frozenset[str] = frozenset()
    lacks: frozenset[str] = frozenset()
    mended: tuple[Mended, ...] = ()
    each_code: bool = False
    presence: tuple[tuple[str, str], ...] = ()
    history: History = History()
    code_families: tuple[str, ...] = ()
