"""The book as built but not yet checked: entries, and the nodes that they came from."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property
from itertools import chain

from msgspec import Struct

from proveout.book.causes import build_cause
from proveout.book.driving import build_driving
from proveout.book.entry import RawEntry
from proveout.book.inspections import build_inspection
from proveout.book.own import build_own_figures
from proveout.book.raw import RawBook
from proveout.book.references import Reference, references
from proveout.book.remembered import remembered
from proveout.book.rules import build_rule, weighed_findings
from proveout.book.safety_limits import SECTION
from proveout.book.state import following, with_steps_that_follow, with_what_follows
from proveout.book.words import build_words
from proveout.model.book import Predicate
from proveout.model.entries import Cause, Inspection, Vocabulary
from proveout.model.problem import Place, Problem
from proveout.model.rule import Rule
from proveout.model.specs import OwnFigures
from proveout.model.urgency import Driving
from proveout.text.node import find


class Draft(Struct, frozen=True, dict=True):
    """Built entries by id with their nodes.

    Attributes:
        raw: the nodes.
        causes, inspections, rules, words, own_figures, driving: what was built from them.
        weighed: ids of the findings that rules weigh.
        predicates: every threshold that a condition rests on.
    """

    raw: RawBook
    causes: Mapping[str, Cause]
    inspections: Mapping[str, Inspection]
    rules: Mapping[str, Rule]
    words: Vocabulary
    own_figures: Mapping[str, OwnFigures]
    driving: Mapping[str, Driving]
    weighed: frozenset[str]
    predicates: tuple[Predicate, ...]

    @cached_property
    def references(self) -> tuple[tuple[RawEntry, Reference], ...]:
        """Every reference in the book with the entry that makes it."""
        entries = (entry for kind in self.raw.entries.values() for entry in kind.values())
        return tuple(chain.from_iterable(map(_referring, entries)))

    def place(self, kind: str, name: str, *path: str | int) -> Place:
        """Return where an entry, or what stands at a path within it, begins."""
        return find(self.raw.of(kind)[name].node, path).place


def build(raw: RawBook, problems: list[Problem]) -> Draft:
    """Build all entries; what the schemas cannot express goes to ``problems``."""
    weighed = weighed_findings(raw.of("rules").values())
    causes = {name: build_cause(entry, problems) for name, entry in raw.of("causes").items()}
    rules = {name: build_rule(entry, problems, weighed) for name, entry in raw.of("rules").items()}
    follow = following(raw)
    limits = tuple(raw.of(SECTION).values())
    own = {name: build_own_figures(entry, problems) for name, entry in raw.of("own-figures").items()}
    driving = {name: build_driving(entry, problems) for name, entry in raw.of("driving-on").items()}
    built = (*causes.values(), *rules.values(), *own.values(), *driving.values())
    predicates = {p for _, found in built for p in found}
    return Draft(
        raw=raw,
        causes={name: with_what_follows(cause, follow) for name, (cause, _) in causes.items()},
        inspections={
            name: with_steps_that_follow(build_inspection(entry, problems, limits), follow)
            for name, entry in raw.of("inspections").items()
        },
        rules={name: rule for name, (rule, _) in rules.items()},
        words=build_words(raw, problems),
        own_figures={name: figures for name, (figures, _) in own.items()},
        driving={name: entry for name, (entry, _) in driving.items()},
        weighed=weighed,
        predicates=tuple(sorted(predicates, key=lambda p: p.atom)),
    )


@remembered
def _referring(entry: RawEntry) -> tuple[tuple[RawEntry, Reference], ...]:
    """Return the references of an entry, each with it."""
    return tuple((entry, reference) for reference in references(entry))
