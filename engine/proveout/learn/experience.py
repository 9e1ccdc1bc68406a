"""What closed cases tell: how often each cause was it, which results came, how good the forecasts were.

Only confirmed cases count, and cases that were closed with nothing wrong and a cause of the book for that. Of
these is counted what would be known whichever way it had come out, as else the figures would lean:

- results of inspections, as normal ones are recorded too. Of an inspection made more than once the first
  result counts: it is repeated where it may have missed something, so the last shows the fault too often;
- codes whose monitor is known to have run, set or not. A code that is set where nothing is said of the
  monitor is left out, as the same case without the code would not have counted;
- no reading of what comes and goes that was taken while it may have been away: it tells of the day, and not
  of how often the cause shows there;
- no symptoms: absent ones are seldom written down, and counting the others would teach that they always come.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from proveout.chain.closing import close
from proveout.intake.document import case_of
from proveout.intake.sheet import sheet_of
from proveout.model.atom import CANNOT_TELL, CODE, RESULT, Atom, Observation
from proveout.model.belief import CPT
from proveout.model.book import Book
from proveout.model.case import Case
from proveout.model.problem import BadInputError
from proveout.record.bodies import Advice, Close, body_of, last_body
from proveout.record.closing import CONFIRMED, NOTHING_WRONG, is_closed
from proveout.record.event import Event
from proveout.record.state import merged
from proveout.weigh.cpts import cpt
from proveout.weigh.presence import Presence

#: Chains the same facts as any other, and fastest.
_ENGINE = "reference"


@dataclass(slots=True)
class Tally:
    """How often an inspection gave which abnormal result, or a code was set, where one cause was it.

    Attributes:
        cpt: how the inspection or code answers to causes.
        cause: cause id, or "" for the cases of causes that the table does not name.
        trials: cases in which it was done, or the code's monitor had run.
        hits: state to the number of cases that gave it; a reading near a limit counts in parts.
    """

    cpt: CPT
    cause: str
    trials: float = 0.0
    hits: dict[str, float] = field(default_factory=dict)

    def count(self, weights: Iterable[tuple[str, float]]) -> None:
        """Count one observation."""
        self.trials += 1
        for state, weight in weights:
            if state in self.cpt.states:
                self.hits[state] = self.hits.get(state, 0.0) + weight


@dataclass(slots=True)
class Experience:
    """What a number of cases told.

    Attributes:
        jobs: cases that count.
        left_out: why others do not, with their number.
        causes: cause id to the number of cases in which it was it.
        tallies: (kind, inspection or code, cause, rules that speak) to its tally.
        forecasts: (family, confidence that was given, whether it was right) of the leading causes.
    """

    jobs: int = 0
    left_out: dict[str, int] = field(default_factory=dict)
    causes: dict[str, int] = field(default_factory=dict)
    tallies: dict[tuple[str, str, str, tuple[str, ...]], Tally] = field(default_factory=dict)
    forecasts: list[tuple[str, float, bool]] = field(default_factory=list)


def gather(cases: Iterable[Sequence[Event]], book: Book) -> Experience:
    """Go through cases and count.

    Args:
        cases: the events of each.
        book: the rules by which readings become results.
    """
    told = Experience()
    for events in cases:
        reason = _why_left_out(events, book)
        try:
            if not reason:
                _take(told, events, book)
        except BadInputError:
            reason = "names something that the book does not have"
        if reason:
            told.left_out[reason] = told.left_out.get(reason, 0) + 1
    return told


def true_cause(events: Sequence[Event]) -> str:
    """Return the cause that a closed case ended with where it counts as known, else ""."""
    if not is_closed(events):
        return ""
    last = last_body(events, Close)
    return last[1].cause if last and last[1].outcome in (CONFIRMED, NOTHING_WRONG) else ""


def _why_left_out(events: Sequence[Event], book: Book) -> str:
    if not is_closed(events):
        return "still open"
    cause = true_cause(events)
    if not cause:
        return "closed without a confirmed cause"
    return "" if cause in book.causes else "names something that the book does not have"


def _take(told: Experience, events: Sequence[Event], book: Book) -> None:
    """Count one case; nothing is counted of one that cannot be read."""
    cause = true_cause(events)
    document = _first_looks(merged(events, upto=_before_repair(events)))
    case = case_of(document, book)
    sheet = sheet_of(case, book)
    facts = close(book, sheet.atoms, _ENGINE).facts
    told.jobs += 1
    told.causes[cause] = told.causes.get(cause, 0) + 1
    presence = Presence(book, sheet)
    for seen in sheet.observations:
        away = seen.observable.kind == RESULT and presence.seen(seen.observable.key, cause) < 1.0
        if not away and _known_either_way(seen, case, book):
            _tally(told, book, facts, seen, cause)
    forecast = _forecast(events, cause)
    if forecast:
        told.forecasts.append((_family(document, book), *forecast))


def _before_repair(events: Sequence[Event]) -> int:
    """Return the number of the last event before the last repair or mending, or of the last at all."""
    repairs = [event.n for event in events if event.kind in ("repair", "mending")]
    return repairs[-1] - 1 if repairs else events[-1].n


def _first_looks(document: Mapping[str, Any]) -> dict[str, Any]:
    """Return an intake document with the first reading of each inspection that told something."""
    first: dict[str, Any] = {}
    for item in document.get("readings", ()):
        if item.get("result") != CANNOT_TELL:
            first.setdefault(item["inspection"], item)
    return {**document, "readings": list(first.values())}


def _known_either_way(seen: Observation, case: Case, book: Book) -> bool:
    """Say whether an observation would have been written down had it been another."""
    if seen.observable.kind == CODE:
        entry = book.words.codes.get(seen.observable.key)
        return entry is not None and entry.monitor in case.monitors_run
    return seen.observable.kind == RESULT


def _tally(told: Experience, book: Book, facts: frozenset[Atom], seen: Observation, cause: str) -> None:
    """Count one observation under the cause, or under none where it does not answer to it."""
    how = cpt(book, facts, seen.observable)
    if how is None or any(state == CANNOT_TELL for state, _ in seen.states):
        return
    named = cause if cause in how.given else ""
    key = (*seen.observable, named, how.spoke.get(named, ()))
    told.tallies.setdefault(key, Tally(how, named)).count(seen.states)


def _forecast(events: Sequence[Event], cause: str) -> tuple[float, bool] | None:
    """Return the confidence in the leading cause of the last advice before anything was bought or mended."""
    acts = [event.n for event in events if event.kind in ("purchase", "repair", "mending")]
    until = min(acts, default=events[-1].n + 1)
    advice = next((e for e in reversed(events) if e.kind == "advice" and e.n < until), None)
    hypotheses = body_of(advice, Advice).causes if advice else ()
    if not hypotheses:
        return None
    leading = max(hypotheses, key=lambda item: item.confidence)
    return leading.confidence, leading.id == cause


def _family(document: Mapping[str, Any], book: Book) -> str:
    """Return the family of the first code that has one, else ``none``."""
    for seen in case_of(document, book).codes:
        if seen.code in book.words.codes:
            return book.words.codes[seen.code].family
    return "none"
