"""Learning from closed cases: base rates and result frequencies for a layer laid over the book.

Base rates: the number of jobs with a cause is Poisson with a gamma prior whose mean is the book's rate and
whose weight is stated in jobs; frequencies are binomial with a beta prior, weighted in readings (both
conjugate: Gelman et al., Bayesian Data Analysis, 2.4 and 2.6). What is counted is how often a result comes or
a code is set, background included; the rule's frequency is what remains when the background is taken out. A
code's own background is a rate among jobs, often one in many thousands, and so is weighted as base rates are.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import exp, log1p
from typing import Any

from proveout.book.raw import RawBook
from proveout.book.rows import name_of
from proveout.learn.experience import Experience, Tally
from proveout.learn.intervals import beta_interval, gamma_interval
from proveout.model.atom import CODE, Observable
from proveout.model.book import Book
from proveout.record import layout
from proveout.text.node import plain

#: Frequencies and rates are kept away from 0 and 1, which no experience can show.
LEAST, MOST = 1e-6, 0.995

CAUSES_FILE, RULES_FILE = "learned.causes.yaml", "learned.rules.yaml"


@dataclass(frozen=True, slots=True)
class Weights:
    """How much the book's own figures count.

    Attributes:
        jobs: the book's base rates count as much as so many jobs.
        readings: its frequencies count as much as so many readings.
        least_jobs: base rates stay as they are below so many jobs.
        least_readings: a frequency stays as it is below so many readings.
    """

    jobs: float = 200.0
    readings: float = 20.0
    least_jobs: int = 30
    least_readings: int = 5

    def of(self, tally: Tally) -> tuple[float, int]:
        """Return what the book's figure counts as, and how much must have been counted for it to move."""
        if tally.cpt.observable.kind == CODE and not tally.cause:
            return self.jobs, self.least_jobs
        return self.readings, self.least_readings


@dataclass(frozen=True, slots=True)
class Change:
    """One figure that experience moved.

    Attributes:
        entry: id of the cause (for its base rate) or of the rule.
        cause: cause id; "" for a rule's ``otherwise``.
        state: result id or ``set`` of a code, or "" for a base rate.
        before, after: the figure.
        low, high: 95 % interval of what is counted: the rate, or how often the state comes.
        hits, trials: what was counted.
        weight: what the figure before counted as, in the same unit as ``trials``.
    """

    entry: str
    cause: str
    state: str
    before: float
    after: float
    low: float
    high: float
    hits: float
    trials: float
    weight: float

    def __str__(self) -> str:
        """Say the counts behind the figure, as the layer keeps them."""
        return (
            f"{self.hits:.4g} of {self.trials:.4g} (before {self.before:.3g}, counted as {self.weight:g}; "
            f"95 % {self.low:.3g}..{self.high:.3g})"
        )


@dataclass(frozen=True, slots=True)
class Learned:
    """What was learned.

    Attributes:
        jobs: cases that counted.
        left_out: why others did not, with their number.
        base_rates, frequencies: figures that moved, in order of ids.
        files: name to text of the files of the layer; none where nothing moved.
        warnings: what to be careful about.
    """

    jobs: int
    left_out: Mapping[str, int]
    base_rates: tuple[Change, ...]
    frequencies: tuple[Change, ...]
    files: Mapping[str, str]
    warnings: tuple[str, ...]


def learn(
    told: Experience, book: Book, raw: RawBook, weights: Weights = Weights(), schemas: str = "schemas"
) -> Learned:
    """Turn experience into a layer.

    Args:
        told: what the cases told.
        book: the book by which they were read.
        raw: its entries as nodes (``snapshot.entries``), which are written out again with other figures.
        weights: how much the book's own figures count.
        schemas: where the files say that the schemas lie.
    """
    rates = _base_rates(told, book, weights)
    frequencies = _frequencies(told, book, weights)
    files = {
        CAUSES_FILE: _file("causes", [_cause_entry(raw, change) for change in rates], schemas),
        RULES_FILE: _file("rules", _rule_entries(raw, frequencies), schemas),
    }
    warnings = _warnings(told, frequencies, weights)
    kept = {name: text for name, text in files.items() if text}
    return Learned(told.jobs, dict(told.left_out), rates, frequencies, kept, warnings)


def difference(old: Mapping[str, str], new: Mapping[str, str]) -> str:
    """Show what would change in a layer's files, as a unified difference; "" where nothing would."""
    lines: list[str] = []
    for name in sorted({*old, *new}):
        before, after = (
            old.get(name, "").splitlines(keepends=True),
            new.get(name, "").splitlines(keepends=True),
        )
        lines += difflib.unified_diff(before, after, f"{name} (now)", f"{name} (learned)")
    return "".join(lines)


def _base_rates(told: Experience, book: Book, weights: Weights) -> tuple[Change, ...]:
    """Update every cause's rate by gamma and Poisson."""
    if told.jobs < weights.least_jobs:
        return ()
    found = []
    for cause in book.causes.values():
        hits = told.causes.get(cause.id, 0)
        shape, rate = weights.jobs * cause.base_rate + hits, weights.jobs + told.jobs
        low, high = gamma_interval(shape, rate)
        after = min(max(shape / rate, 1e-6), 0.5)
        found.append(
            Change(cause.id, cause.id, "", cause.base_rate, after, low, high, hits, told.jobs, weights.jobs)
        )
    return tuple(found)


def _frequencies(told: Experience, book: Book, weights: Weights) -> tuple[Change, ...]:
    """Update frequencies by beta and binomial; of two tallies for one figure the larger counts.

    Backgrounds come first, as what a cause does is what remains when the background is taken out.
    """
    enough = [tally for _, tally in sorted(told.tallies.items()) if tally.trials >= weights.of(tally)[1]]
    backgrounds: dict[Observable, list[float]] = {}
    found: dict[tuple[str, str], Change] = {}
    for tally in sorted(enough, key=lambda tally: (tally.cause != "", -tally.trials)):
        background = backgrounds.get(tally.cpt.observable, list(tally.cpt.background))
        weight, _ = weights.of(tally)
        seen = _seen(tally, weight)
        if not tally.cause:
            backgrounds.setdefault(tally.cpt.observable, seen)
        figures = _without_background(seen, background) if tally.cause else seen
        for change in _changes(tally, book, seen, figures, weight):
            found.setdefault((change.entry, change.cause), change)
    return tuple(found[key] for key in sorted(found))


def _seen(tally: Tally, weight: float) -> list[float]:
    """Return how often each result comes, background included: the mean of the beta distribution."""
    expected = _expected(tally.cpt.background, tally.cpt.given.get(tally.cause))
    hits = (tally.hits.get(state, 0.0) for state in tally.cpt.states)
    return [(weight * p + n) / (weight + tally.trials) for p, n in zip(expected, hits, strict=True)]


def _changes(
    tally: Tally, book: Book, seen: list[float], figures: list[float], weight: float
) -> Iterator[Change]:
    """Return the figures that one tally moves, each of the rule that states it."""
    before = tally.cpt.given.get(tally.cause, tally.cpt.background)
    whole = weight + tally.trials
    for i, state in enumerate(tally.cpt.states):
        rule = _speaker(tally, book, state)
        if not rule or not 0 < seen[i] < 1:
            continue
        low, high = beta_interval(whole * seen[i], whole * (1 - seen[i]))
        hits = tally.hits.get(state, 0.0)
        after = _within(figures, i)
        yield Change(rule, tally.cause, state, before[i], after, low, high, hits, tally.trials, weight)


def _within(figures: list[float], i: int) -> float:
    """Return one of several frequencies in 3 digits, so that none is 0 and all together stay below 1."""
    scale = min(1.0, MOST / max(sum(figures), LEAST))
    return max(float(f"{figures[i] * scale:.3g}"), LEAST)


def _speaker(tally: Tally, book: Book, state: str) -> str:
    """Return the rule that states the figure for one state, or ""."""
    for name in tally.cpt.spoke.get(tally.cause, ()):
        rule = book.rules[name]
        states_it = tally.cause in rule.weights if tally.cause else rule.otherwise is not None
        if rule.observes and rule.observes.value == state and states_it:
            return name
    return ""


def _rates(frequencies: Sequence[float]) -> list[float]:
    """Split the rate -ln(1 - sum) in proportion to the frequencies."""
    whole = sum(frequencies)
    return [-log1p(-whole) * part / whole if whole else 0.0 for part in frequencies]


def _frequencies_of(rates: list[float]) -> list[float]:
    """Undo ``_rates``."""
    whole = sum(rates)
    return [(1 - exp(-whole)) * part / whole if whole else 0.0 for part in rates]


def _expected(background: tuple[float, ...], given: tuple[float, ...] | None) -> list[float]:
    """Return how often each result comes by the book where the cause is it, background included."""
    if given is None:
        return list(background)
    return _frequencies_of([a + b for a, b in zip(_rates(background), _rates(given), strict=True)])


def _without_background(seen: list[float], background: list[float]) -> list[float]:
    """Return the frequencies of the cause alone from how often each result comes."""
    kept = [min(part, MOST) for part in seen]
    scale = min(1.0, MOST / max(sum(kept), LEAST))
    pairs = zip(_rates([part * scale for part in kept]), _rates(background), strict=True)
    return _frequencies_of([max(a - b, 0.0) for a, b in pairs])


def _cause_entry(raw: RawBook, change: Change) -> dict[str, Any]:
    entry = _entry(raw, "causes", change.entry)
    entry["base_rate"] = f"{max(change.after * 1000, 0.001):.3f}".rstrip("0").rstrip(".") + " per 1000"
    entry["base_rate_source"] = f"learned from this shop's closed cases: {change}"
    return entry


def _rule_entries(raw: RawBook, changes: tuple[Change, ...]) -> list[dict[str, Any]]:
    """Write out every rule or row of which a figure moved."""
    entries = []
    for name in sorted({change.entry for change in changes}):
        entry = _entry(raw, "rules", name)
        entry["seen_with"] = entry.pop("weigh")
        if name_of(raw.of("rules")[name].node.get("when")) == name:
            # A row goes by what it observes.
            del entry["id"], entry["when"]
        told = [change for change in changes if change.entry == name]
        for change in told:
            if change.cause:
                entry["seen_with"] = {**entry["seen_with"], change.cause: change.after}
            else:
                entry["otherwise"] = change.after
        counts = "; ".join(f"{change.cause or 'otherwise'} {change}" for change in told)
        entry["source"] = f"learned from this shop's closed cases: {counts}"
        entries.append(entry)
    return entries


def _entry(raw: RawBook, kind: str, name: str) -> dict[str, Any]:
    """Return an entry of the book as plain data that takes its own place."""
    content: dict[str, Any] = plain(raw.of(kind)[name].node)
    return {"id": name, "replaces": name, **{k: v for k, v in content.items() if k not in ("id", "replaces")}}


def _file(kind: str, entries: list[dict[str, Any]], schemas: str) -> str:
    """Write a file of the layer, or "" where it would be empty."""
    if not entries:
        return ""
    return (
        f"# yaml-language-server: $schema={schemas}/book.schema.json\n{kind}:\n{layout.render_list(entries)}"
    )


def _warnings(told: Experience, frequencies: tuple[Change, ...], weights: Weights) -> tuple[str, ...]:
    found = []
    if told.jobs < weights.least_jobs:
        found.append(
            f"{told.jobs} closed cases are too few; base rates stay until there are {weights.least_jobs}."
        )
    elif told.jobs < weights.jobs:
        found.append(
            f"{told.jobs} closed cases still count less than the book, which counts as {weights.jobs:g}."
        )
    few = sum(change.trials < change.weight for change in frequencies)
    if few:
        found.append(f"{few} of {len(frequencies)} frequencies still count less than the book's own.")
    return tuple(found)
