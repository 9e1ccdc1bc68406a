"""The book out of its texts: read, check, compile."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec.structs import replace

from proveout.book.checks import run_checks, run_slips
from proveout.book.digest import digest_of
from proveout.book.draft import Draft, build
from proveout.book.files import Layer, gather, passed_by
from proveout.book.layout import lay_out
from proveout.book.prose import (
    cause_in_both,
    driving_in_both,
    inspection_in_both,
    rule_in_both,
    words_in_both,
)
from proveout.book.raw import assemble
from proveout.book.strata import strata_of
from proveout.model.atom import Observable
from proveout.model.book import Book, OnlyFor
from proveout.model.problem import BadInputError, Problem
from proveout.model.specs import OwnFigures


def made(layers: tuple[Layer, ...]) -> Book:
    """Read, check and compile the layers.

    Raises:
        BadInputError: with every problem of every file.
    """
    book, problems = run(layers)
    if problems or book is None:
        raise BadInputError(*problems)
    return book


def made_without(layers: tuple[Layer, ...], rule: str) -> Book:
    """Read, check and compile the layers, and leave one rule out; checks that this breaks are not asked.

    Raises:
        BadInputError: the layers themselves cannot be used.
        KeyError: there is no such rule.
    """
    problems: list[Problem] = []
    draft = build(assemble([s for layer in layers for s in gather(layer, problems)], problems), problems)
    problems.extend(run_checks(draft))
    if problems:
        raise BadInputError(*problems)
    left = {name: entry for name, entry in draft.rules.items() if name != draft.rules[rule].id}
    return compile_book(replace(draft, rules=left), tuple(layer.name for layer in layers))


def run(layers: tuple[Layer, ...], *, slips: bool = False) -> tuple[Book | None, tuple[Problem, ...]]:
    """Read and check everything; compile where nothing stands in the way.

    Args:
        layers: lowest first.
        slips: also complain, as warnings, of what is most probably not meant.
    """
    draft, problems = checked(layers, slips=slips)
    return compile_book(draft, tuple(layer.name for layer in layers)) if draft else None, problems


def checked(layers: tuple[Layer, ...], *, slips: bool = False) -> tuple[Draft | None, tuple[Problem, ...]]:
    """Read and check everything; return the draft, or None where something stands in the way.

    The problems, sorted by place, are all that there are. Arguments as for ``run``.
    """
    problems: list[Problem] = []
    sources = [source for layer in layers for source in gather(layer, problems)]
    draft = build(assemble(sources, problems), problems)
    problems.extend(run_checks(draft))
    stopped = bool(problems)
    if slips:
        problems.extend(problem for layer in layers if layer.path.is_dir() for problem in passed_by(layer))
    if slips and not stopped:
        problems.extend(run_slips(draft))
    return None if stopped else draft, tuple(sorted(set(problems)))


def compile_book(draft: Draft, layers: tuple[str, ...]) -> Book:
    """Index a clean draft for use."""
    stratum = strata_of(draft.rules.values())
    rules = {name: rule_in_both(rule) for name, rule in draft.rules.items()}
    return Book(
        causes={name: cause_in_both(cause) for name, cause in draft.causes.items()},
        inspections={name: inspection_in_both(one) for name, one in draft.inspections.items()},
        rules=rules,
        words=words_in_both(draft.words),
        own_figures=_own_figures(draft, layers),
        driving=tuple(map(driving_in_both, draft.driving.values())),
        predicates=draft.predicates,
        stratum=stratum,
        layout=lay_out(rules, stratum),
        weighing=_weighing(draft),
        weighed_in=_weighed_in(draft),
        proved_by=_proved_by(draft),
        former=draft.raw.former.flat(),
        only_for=_only_for(draft),
        digest=digest_of(draft.raw),
        layers=layers,
    )


def _only_for(draft: Draft) -> tuple[OnlyFor, ...]:
    """List the causes and inspections that only some vehicles have."""
    kinds = (("causes", draft.causes), ("inspections", draft.inspections))
    return tuple(
        OnlyFor(kind, entry.id, entry.fits, entry.not_for)
        for kind, entries in kinds
        for entry in entries.values()
        if entry.fits or entry.not_for
    )


def _own_figures(draft: Draft, layers: tuple[str, ...]) -> tuple[OwnFigures, ...]:
    """Order the own figures: of several that hold for one inspection the last counts."""
    return tuple(
        sorted(draft.own_figures.values(), key=lambda f: (layers.index(f.layer), len(f.when.atoms), f.id))
    )


def _weighing(draft: Draft) -> Mapping[Observable, tuple[str, ...]]:
    """Index the weighing rules by what they observe."""
    found: dict[Observable, list[str]] = {}
    for rule in draft.rules.values():
        if rule.observable:
            found.setdefault(rule.observable, []).append(rule.id)
    return {observable: tuple(found[observable]) for observable in sorted(found)}


def _weighed_in(draft: Draft) -> Mapping[str, tuple[Observable, ...]]:
    """Index the observables by the causes that rules on them name."""
    found: dict[str, set[Observable]] = {name: set() for name in draft.causes}
    for rule in draft.rules.values():
        observable = rule.observable
        for cause in rule.weights if observable else ():
            found[cause].add(observable)  # type: ignore[arg-type]
    return {cause: tuple(sorted(seen)) for cause, seen in found.items()}


def _proved_by(draft: Draft) -> Mapping[str, tuple[str, ...]]:
    """Index the inspections by the causes that they prove."""
    found: dict[str, list[str]] = {name: [] for name in draft.causes}
    for inspection in draft.inspections.values():
        for cause in inspection.proves:
            found[cause].append(inspection.id)
    return {cause: tuple(names) for cause, names in found.items()}
