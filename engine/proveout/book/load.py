"""The book from its directories: read, check, compile."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

from proveout.book.checks import run_checks
from proveout.book.digest import digest_of
from proveout.book.draft import Draft, build
from proveout.book.files import Layer, gather, lay
from proveout.book.known import is_known, key_of, remember
from proveout.book.raw import assemble
from proveout.book.shipped import rules_dir
from proveout.book.strata import strata_of
from proveout.model.atom import Observable
from proveout.model.book import Book
from proveout.model.entries import OwnFigures
from proveout.model.problem import BadInputError, Problem
from proveout.text.shipped import is_installed

#: Stands for the rules that come with the program.
SHIPPED = Path("<shipped>")


def load_book(layers: Sequence[Path] = (), *, base: Path | None = SHIPPED, cache: Path | None = None) -> Book:
    """Read, check and compile the book.

    The rules of an installed release, with nothing laid over them, were checked before the release and are
    not checked again; ``check`` always checks.

    Args:
        layers: directories laid over the base, in order.
        base: the lowest directory; the shipped rules where left out, None for none.
        cache: a directory in which books found clean are remembered, or None to check every time.

    Raises:
        BadInputError: with every problem of every file.
    """
    released = base is SHIPPED and not layers and is_installed()
    book, problems = _run(_layers(layers, base), cache, released)
    if problems or book is None:
        raise BadInputError(*problems)
    return book


def check(layers: Sequence[Path] = (), *, base: Path | None = SHIPPED) -> tuple[Problem, ...]:
    """Check the book as ``load_book`` does and give every problem, sorted by place."""
    return _run(_layers(layers, base), None)[1]


def _layers(layers: Sequence[Path], base: Path | None) -> tuple[Layer, ...]:
    """Name the layers."""
    if base is SHIPPED:
        return lay(rules_dir(), layers, "rules")
    return lay(base, layers)


def _run(
    layers: tuple[Layer, ...], cache: Path | None, released: bool = False
) -> tuple[Book | None, tuple[Problem, ...]]:
    """Read and check everything; compile where there is nothing to complain of."""
    problems: list[Problem] = []
    sources = [source for layer in layers for source in gather(layer, problems)]
    key = key_of(sources) if cache and not released else ""
    trusted = not problems and (released or is_known(cache, key))
    raw = assemble(sources, problems, trusted=trusted)
    draft = build(raw, problems)
    if not trusted:
        problems.extend(run_checks(draft))
    if problems:
        return None, tuple(sorted(set(problems)))
    if not trusted:
        remember(cache, key)
    return compile_book(draft, tuple(layer.name for layer in layers)), ()


def compile_book(draft: Draft, layers: tuple[str, ...]) -> Book:
    """Index a clean draft for use."""
    return Book(
        causes=draft.causes,
        inspections=draft.inspections,
        rules=draft.rules,
        words=draft.words,
        own_figures=_own_figures(draft, layers),
        predicates=draft.predicates,
        stratum=strata_of(draft.rules.values()),
        weighing=_weighing(draft),
        proved_by=_proved_by(draft),
        digest=digest_of(draft.raw),
        layers=layers,
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


def _proved_by(draft: Draft) -> Mapping[str, tuple[str, ...]]:
    """Index the inspections by the causes that they prove."""
    found: dict[str, list[str]] = {name: [] for name in draft.causes}
    for inspection in draft.inspections.values():
        for cause in inspection.proves:
            found[cause].append(inspection.id)
    return {cause: tuple(names) for cause, names in found.items()}
