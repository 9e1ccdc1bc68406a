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


def all_outcomes(
    book: Book,
    layers: tuple[Path, ...],
    case_dirs: Sequence[Path],
    engine: str | None,
    pattern: str,
    jobs: int | None,
    watch: Watch = unseen,
) -> list[Outcome]:
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
    return [outcome for answer in answers for outcome in _told(answer)]


def try_one(trial: Trial) -> tuple[Outcome, ...]:
    """Return the outcomes of one piece of work, in whichever process."""
    book = held(trial.book)
    if trial.case is None:
        wanted = re.compile(trial.pattern).search
        return tuple(try_examples(book, trial.engine, trial.rules, lambda name: bool(wanted(name))))
    try:
        node = compose(read_text(trial.case), str(trial.case))
    except BadInputError as error:
        return (Outcome(trial.case.stem, error.problems[0].place, ERROR, str(error)),)
    return (try_case(trial.case.stem, node, book, trial.engine),)


def _told(answer: tuple[Outcome, ...] | Lost) -> tuple[Outcome, ...]:
    """Return the outcomes, or that it came to none since the process ended."""
    if not isinstance(answer, Lost):
        return answer
    trial: Trial = answer.item
    name = trial.case.stem if trial.case else f"{trial.rules[0]} to {trial.rules[-1]}"
    return (Outcome(name, Place(str(trial.case or "")), ERROR, answer.why),)
