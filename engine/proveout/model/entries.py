"""The entries of the book besides rules: causes, inspections and the vocabularies they use."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct, field

from proveout.model.problem import NOWHERE, Place
from proveout.model.rule import When
from proveout.model.specs import ReadingSpec
from proveout.model.state import State
from proveout.model.terms import Programme, Warranty
from proveout.model.whereabouts import Whereabouts

#: What a remedy can be; ``nothing``: no fault present now; ``refer``: not work for this person.
REMEDY_ACTIONS = (
    "replace",
    "repair",
    "clean",
    "tighten",
    "clear-passage",
    "relearn",
    "reprogram",
    "refer",
    "nothing",
)


class Range(Struct, frozen=True, array_like=True):
    """A closed interval of plain numbers, such as a price; ``low`` <= ``high``."""

    low: float
    high: float

    @property
    def middle(self) -> float:
        """The midpoint, used where one figure is needed."""
        return (self.low + self.high) / 2


class Factor(Struct, frozen=True, array_like=True):
    """A factor on a base rate's odds, for vehicles for which the condition holds."""

    when: When
    times: float


class Remedy(Struct, frozen=True, array_like=True):
    """What mends a cause, what it costs and how to do it safely.

    Attributes:
        action: one of ``REMEDY_ACTIONS``.
        part: name of the part to buy, or empty.
        part_cost: price range in the user's currency (0..0 where nothing is bought).
        minutes: hands-on time.
        access: access ids that must be open.
        cautions: caution ids.
        notes: how to do it without harm, and what to have at hand.
        state: what it needs of the vehicle and does to it, where that is declared.
    """

    action: str
    part: str = ""
    part_cost: Range = Range(0.0, 0.0)
    minutes: float = 0.0
    access: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    state: State | None = None


class Cause(Struct, frozen=True, array_like=True):
    """One possible fault of one component.

    Attributes:
        id, title: kebab-case id and a short name.
        component: component id.
        base_rate: share of check-engine jobs with this cause, in (0, 1).
        base_rate_source: where the rate comes from.
        base_rate_off: by which factor the rate may be off either way, from 1; 0.0 where nobody said.
        factors: multiply the prior odds where they hold.
        remedy: what mends it.
        before_buying: inspections without which the part is not proven.
        after_repair: how to prove that the repair held, in steps.
        fits, not_for: kinds of vehicle that alone can, or that cannot, have it.
        comes_with: what brings it on where it comes and goes, of ``presence.WAYS``; empty where it stays.
    """

    id: str
    title: str
    component: str
    base_rate: float
    base_rate_source: str
    remedy: Remedy
    factors: tuple[Factor, ...] = ()
    before_buying: tuple[str, ...] = ()
    after_repair: tuple[str, ...] = ()
    fits: tuple[str, ...] = ()
    not_for: tuple[str, ...] = ()
    place: Place = NOWHERE
    layer: str = "book"
    comes_with: tuple[str, ...] = ()
    base_rate_off: float = 0.0


def same_part(one: Cause, other: Cause) -> bool:
    """Say whether the same new part mends both causes."""
    if one.id == other.id:
        return True
    mine, yours = one.remedy, other.remedy
    bought = mine.action == yours.action == "replace" and mine.part == yours.part
    return bought and one.component == other.component


class Result(Struct, frozen=True, array_like=True):
    """One of the closed set of results of an inspection; ``means`` says what it tells, in a sentence."""

    id: str
    normal: bool
    means: str = ""


class SafetyLimit(Struct, frozen=True, array_like=True):
    """What must not be exceeded, in words, and where that comes from.

    Attributes:
        text: the limit.
        source: where it comes from.
        id: of a limit that many inspections share; empty for an inspection's own.
    """

    text: str
    source: str = ""
    id: str = ""


class Inspection(Struct, frozen=True, array_like=True):
    """One thing that can be done to learn.

    Attributes:
        id, title: kebab-case id and a short name.
        kind: visual, measurement, functional or swap.
        proves: cause id to the results that show that cause directly.
        results: the closed set, in the order of the book.
        tools, access, cautions: ids.
        minutes: time besides opening the access.
        consumables: price of what is used up.
        reading: set for measurements that take a value.
        after: inspections that must have been done before (for safety or sense).
        steps: what to do, in order.
        leads: where the meter's leads or the pump's hose go.
        false_readings: common ways to be misled.
        safety_limits: what must not be exceeded.
        source: where the procedure and limits come from.
        state: what it needs of the vehicle and does to it, where that is declared; its cautions and its
            opening and closing steps are among ``cautions`` and ``steps`` already.
        fits, not_for: kinds of vehicle that alone can, or that cannot, be inspected so.
        brings_on: what its own steps bring on, of ``presence.WAYS``, such as a wiggle test.
        words: what people call it.
    """

    id: str
    title: str
    kind: str
    proves: Mapping[str, tuple[str, ...]]
    results: tuple[Result, ...]
    minutes: float
    tools: tuple[str, ...] = ()
    access: tuple[str, ...] = ()
    consumables: Range = Range(0.0, 0.0)
    reading: ReadingSpec | None = None
    after: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    safety_limits: tuple[SafetyLimit, ...] = ()
    steps: tuple[str, ...] = ()
    leads: str = ""
    false_readings: tuple[str, ...] = ()
    source: str = ""
    state: State | None = None
    fits: tuple[str, ...] = ()
    not_for: tuple[str, ...] = ()
    words: tuple[str, ...] = ()
    place: Place = NOWHERE
    layer: str = "book"
    brings_on: tuple[str, ...] = ()

    @property
    def damage_limit(self) -> str:
        """All that must not be exceeded, in one text; empty where nothing is said."""
        return " ".join(limit.text for limit in self.safety_limits)

    def result(self, result_id: str) -> Result:
        """Return the result of that id.

        Raises:
            KeyError: there is none.
        """
        for result in self.results:
            if result.id == result_id:
                return result
        raise KeyError(result_id)


class Term(Struct, frozen=True, array_like=True):
    """An entry of a plain vocabulary: a symptom, circumstance, kind of recent work or finding.

    ``words`` are what people say for it; ``note`` explains it; ``brings_on`` says what a fault that comes
    and goes with it is brought on by.
    """

    id: str
    title: str
    words: tuple[str, ...] = ()
    note: str = ""
    place: Place = NOWHERE
    layer: str = "book"
    brings_on: tuple[str, ...] = ()


class Component(Struct, frozen=True, array_like=True):
    """A component of the vehicle; ``new_part_bad`` is the share of new ones that are faulty or misfitted."""

    id: str
    title: str
    words: tuple[str, ...] = ()
    new_part_bad: float = 0.03
    place: Place = NOWHERE
    layer: str = "book"


class Tool(Struct, frozen=True, array_like=True):
    """Something to have at hand; basic ones are taken to be there without asking. ``words``: other names."""

    id: str
    title: str
    basic: bool
    price: Range
    words: tuple[str, ...] = ()
    place: Place = NOWHERE
    layer: str = "book"


class Access(Struct, frozen=True, array_like=True):
    """A place to get at; opened once, it is open for everything else behind it."""

    id: str
    title: str
    minutes: float
    cautions: tuple[str, ...] = ()
    place: Place = NOWHERE
    layer: str = "book"


class Caution(Struct, frozen=True, array_like=True):
    """A caution, shown before the steps of what it belongs to.

    ``grave`` marks systems of safety, what is sealed or under pressure, and what may not be run on: under it
    nothing is put right unproven.
    """

    id: str
    title: str
    text: str
    place: Place = NOWHERE
    layer: str = "book"
    grave: bool = False
    source: str = ""


class GlossaryTerm(Struct, frozen=True, array_like=True):
    """A word of the trade, explained to a layman.

    ``words`` are further spellings under which it is met, such as plurals and what the other side of the
    Atlantic says; ``text`` is two sentences.
    """

    id: str
    title: str
    text: str
    words: tuple[str, ...] = ()
    place: Place = NOWHERE
    layer: str = "book"


class CodeEntry(Struct, frozen=True, array_like=True):
    """A generic code of the catalogue.

    Attributes:
        id: the code, such as P0442.
        meaning: plain meaning in the project's own words.
        family: the system directory that treats it, such as evap.
        monitor: the readiness monitor that sets it, such as evap; empty where none.
        usually_with: codes often set together.
        does_not_mean: what people wrongly conclude from it.
        unweighed: why no rule weighs it, where none does.
        source: how sure.
    """

    id: str
    meaning: str
    family: str
    monitor: str = ""
    usually_with: tuple[str, ...] = ()
    does_not_mean: str = ""
    unweighed: str = ""
    source: str = ""
    place: Place = NOWHERE
    layer: str = "book"


class Vocabulary(Struct, frozen=True, array_like=True):
    """The plain vocabularies of the book, each by id."""

    symptoms: Mapping[str, Term] = field(default_factory=dict)
    circumstances: Mapping[str, Term] = field(default_factory=dict)
    recent_work: Mapping[str, Term] = field(default_factory=dict)
    findings: Mapping[str, Term] = field(default_factory=dict)
    components: Mapping[str, Component] = field(default_factory=dict)
    tools: Mapping[str, Tool] = field(default_factory=dict)
    access: Mapping[str, Access] = field(default_factory=dict)
    cautions: Mapping[str, Caution] = field(default_factory=dict)
    codes: Mapping[str, CodeEntry] = field(default_factory=dict)
    warranties: Mapping[str, Warranty] = field(default_factory=dict)
    programmes: Mapping[str, Programme] = field(default_factory=dict)
    places: Mapping[str, Whereabouts] = field(default_factory=dict)
    glossary: Mapping[str, GlossaryTerm] = field(default_factory=dict)
