"""Advice: the next inspection, the verdict and everything a report needs to show for it."""

from __future__ import annotations

from msgspec import Struct

from proveout.model.atom import RESULT
from proveout.model.belief import Ledger, Sensitivity
from proveout.model.case import Sheet
from proveout.model.chained import Chained
from proveout.model.trace import Silent, Spoken
from proveout.model.urgency import DrivingOn

#: The verdicts. ``mend``: put right what is plainly broken, though it is not proven to be the cause;
#: ``watch``: that was done, and what shows since is to be recorded.
INSPECT, REPAIR, REFER, NONE, MEND, WATCH = "inspect", "repair", "refer", "none", "mend", "watch"


class Expected(Struct, frozen=True):
    """One possible result of a proposed inspection: its probability and the cause it would point to.

    ``leads_to`` is the id of the cause that would then lead, or "" when it would be none in the book.
    """

    result: str
    probability: float
    leads_to: str


class Next(Struct, frozen=True):
    """A proposed inspection.

    Attributes:
        inspection: id.
        minutes: time, opening access included.
        cost: minutes at the user's rate plus consumables.
        expected_saving: expected cost of going on without it less the expected cost with it.
        opens: access ids that it opens.
        outcomes: in the order of the book.
        again: whether it was made before and should be made once more.
        apart: the causes that its results tell apart, those that they move most first.
        worth: by how much its results alone make going on cheaper; ``expected_saving`` is the whole plan's.
        why: why it comes now, in a sentence.
        bring_on: what to bring the fault on with while it is made, of ``presence.WAYS``.
    """

    inspection: str
    minutes: float
    cost: float
    expected_saving: float
    opens: tuple[str, ...]
    outcomes: tuple[Expected, ...]
    again: bool = False
    apart: tuple[str, ...] = ()
    worth: float = 0.0
    why: str = ""
    bring_on: tuple[str, ...] = ()


class ToolAdvice(Struct, frozen=True):
    """A tool that is not at hand and would save more than it costs (price midpoint)."""

    tool: str
    price: float
    saving: float
    inspection: str


class Hypothesis(Struct, frozen=True):
    """How one cause stands.

    Attributes:
        cause: id.
        confidence: probability that it is present.
        direct: ``failed``, ``passed`` or ``none``: what the inspections that prove it showed.
        missing: inspections that proof asks for, not yet done: those before buying, and what a look could be
            a consequence of.
        replaced: the component was already replaced, so only a failed direct inspection can name it.
        part: probability that its part is bad: that it is present or another one of ``counted``.
        counted: further causes that the same new part ends, as far as everything before buying it for them
            is inspected with this one's.
        roots: causes of which what was seen could be a consequence, to be inspected first.
        mended: it was put right since.
    """

    cause: str
    confidence: float
    direct: str
    missing: tuple[str, ...]
    replaced: bool = False
    part: float = 0.0
    counted: tuple[str, ...] = ()
    roots: tuple[str, ...] = ()
    mended: bool = False


class Verdict(Struct, frozen=True):
    """What to do now.

    Attributes:
        kind: inspect, repair, refer, none, mend or watch.
        cause: the cause to repair or mend, that was mended, the one shown to be "nothing wrong", or "".
        reasons: sentences, the deciding one first.
    """

    kind: str
    cause: str
    reasons: tuple[str, ...]


class WithoutRules(Struct, frozen=True):
    """A code that no rule weighs, so that it counts for nothing.

    Attributes:
        code: as read.
        meaning: that of the catalogue, or "".
        nearest: the codes nearest to it that have rules, the nearest first.
    """

    code: str
    meaning: str
    nearest: tuple[str, ...]


class Asked(Struct, frozen=True):
    """What to ask about the vehicle.

    Attributes:
        kinds: of vehicle, one of which it is or is not.
        text: the question.
        why: what hangs on it, in a sentence.
    """

    kinds: tuple[str, ...]
    text: str
    why: str


class Triage(Struct, frozen=True):
    """The whole answer for one case.

    Attributes:
        book_digest: of the book used.
        engine: name of the chainer that ran.
        sheet: the facts it rests on.
        chained: the trace.
        hypotheses: every cause in play, the most likely first (ties by id).
        not_in_book: probability that none of the causes in play is present.
        ledgers: one a cause, in the order of ``hypotheses``.
        sensitivity: what the answer hangs on.
        next: the proposed inspection, or None.
        others: further inspections worth doing, best first.
        tool: a tool worth buying, or None.
        verdict: what to do now.
        spoken: the rules that stand in the ledgers.
        silent: the rules that hold and of whose figures some do not count, with by what.
        driving_on: what the case means for driving on.
        left_out: probability of the sets of causes that the plan left out, as unlikely together.
        without_rules: the codes given that no rule weighs.
        ask: what to ask about the vehicle, or None.
        currency: of all amounts, as the user calls it; "" where he did not say.
    """

    book_digest: str
    engine: str
    sheet: Sheet
    chained: Chained
    hypotheses: tuple[Hypothesis, ...]
    not_in_book: float
    ledgers: tuple[Ledger, ...]
    sensitivity: Sensitivity
    next: Next | None
    others: tuple[Next, ...]
    tool: ToolAdvice | None
    verdict: Verdict
    spoken: tuple[Spoken, ...] = ()
    silent: tuple[Silent, ...] = ()
    left_out: float = 0.0
    driving_on: DrivingOn = DrivingOn()
    without_rules: tuple[WithoutRules, ...] = ()
    ask: Asked | None = None
    currency: str = ""

    @property
    def is_blank(self) -> bool:
        """Whether nothing was given that the book weighs, so that nothing is known of the vehicle."""
        looked = any(seen.observable.kind == RESULT for seen in self.sheet.observations)
        return self.verdict.kind == NONE and not (self.verdict.cause or looked or self.sheet.mended)
