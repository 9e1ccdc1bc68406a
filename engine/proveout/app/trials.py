"""Gathers rule examples and expected cases, from the shipped directories and the given ones."""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path

from msgspec import Struct

from proveout.app.working import BookKey, Watch, held, hold, unseen, work
from proveout.book.shipped import cases_dir
from proveout.model.book import Book
from proveout.model.problem import BadInputError, Place, Problem
from proveout.spread.order import Lost
from proveout.text.compose import compose
from proveout.text.read import read_text
from proveout.trial.cases import try_case
from proveout.trial.coverage import speaking
from proveout.trial.examples import example_names, try_examples
from proveout.trial.outcome import ERROR, Outcome

#: Rules whose examples are tried in one piece of work; one takes a millisecond or two.
TOGETHER = 50


def case_files(directories: Sequence[Path]) -> list[Path]:
    """Return every YAML file below some directories, sorted.

    Raises:
        BadInputError: one is no directory.
    """
    missing = [
        Problem(Place(str(path)), "cases-missing", "no such directory", "a directory of case files")
        for path in directories
        if not path.is_dir()
    ]
    if missing:
        raise BadInputError(*missing)
    return sorted(path for directory in directories for path in directory.rglob("*.yaml"))


class Trial(Struct, frozen=True):
    """One piece of work: some rules whose examples are tried, or one expected case.

    Attributes:
        book: to try them with.
        engine: which chainer, or None for the default.
        pattern: a regular expression; only what it finds in its name is tried.
        rules: ids.
        case: file of an expected case.
    """

    book: BookKey
    engine: str | None
    pattern: str
    rules: tuple[str, ...] = ()
    case: Path | None = None


class Tried(Struct, frozen=True):
    """What trials came to, and the rules that spoke in them: concluded, or stood in a ledger."""

    outcomes: tuple[Outcome, ...]
    spoke: frozenset[str] = frozenset()


def all_tried(
    book: Book,
    layers: tuple[Path, ...],
    case_dirs: Sequence[Path],
    engine: str | None,
    pattern: str,
    jobs: int | None,
    watch: Watch = unseen,
) -> Tried:
    """Try the examples and expected cases in whose names a regular expression finds something.

    The shipped cases are tried with the shipped book only: a layer may change their answers on purpose.

    Raises:
        BadInputError: one of the directories is none.
    """
    key = hold(book, layers)
    wanted = re.compile(pattern).search
    directories = [*case_dirs] if layers else [cases_dir(), *case_dirs]
    rules = [rule.id for rule in book.rules.values() if any(map(wanted, example_names(rule)))]
    trials = [
        Trial(key, engine, pattern, rules=tuple(rules[at : at + TOGETHER]))
        for at in range(0, len(rules), TOGETHER)
    ] + [Trial(key, engine, pattern, case=path) for path in case_files(directories) if wanted(path.stem)]
    answers = work(try_one, trials, jobs=jobs, length=len(trials), watch=watch)
    tried = [_told(answer) for answer in answers]
    outcomes = tuple(outcome for one in tried for outcome in one.outcomes)
    return Tried(outcomes, frozenset().union(*(one.spoke for one in tried)))


def try_one(trial: Trial) -> Tried:
    """Return what one piece of work came to, in whichever process."""
    book = held(trial.book)
    spoke: set[str] = set()
    if trial.case is None:
        outcomes = try_examples(
            book,
            trial.engine,
            trial.rules,
            lambda name: bool(re.search(trial.pattern, name)),
            lambda chained: spoke.update(fired.rule for fired in chained.fired),
        )
        return Tried(tuple(outcomes), frozenset(spoke))
    try:
        node = compose(read_text(trial.case), str(trial.case))
    except BadInputError as error:
        return Tried((Outcome(trial.case.stem, error.problems[0].place, ERROR, str(error)),))
    outcome = try_case(
        trial.case.stem, node, book, trial.engine, lambda answer: spoke.update(speaking(answer))
    )
    return Tried((outcome,), frozenset(spoke))


def _told(answer: Tried | Lost) -> Tried:
    """Return what came, or that it came to none since the process ended."""
    if not isinstance(answer, Lost):
        return answer
    trial: Trial = answer.item
    name = trial.case.stem if trial.case else f"{trial.rules[0]} to {trial.rules[-1]}"
    return Tried((Outcome(name, Place(str(trial.case or "")), ERROR, answer.why),))
