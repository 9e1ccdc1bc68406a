"""Questions at the terminal: each answer is checked at once; ? lists, Enter skips, back goes back."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import click

from proveout.model.problem import BadInputError
from proveout.text.visible import visible

#: What skips a question as Enter does, what lists the answers, and what goes back.
SKIPS = frozenset(("", "-", "none", "no", "nothing", "n/a", "don't know", "dont know", "skip"))
_LISTS = frozenset(("?", "help"))
_BACK = frozenset(("back", "b", "<"))
#: Lines of a list at most.
_LISTED = 60


class BackError(Exception):
    """The question before is wanted again."""


@dataclass(frozen=True, slots=True)
class Question:
    """One question.

    Attributes:
        key: its name in a draft.
        text: what is asked.
        read: turns an answer into a part of an intake document; may ask further. Raises ``BadInputError`` or
            ``ValueError`` for an answer that cannot be used.
        answers: what may be answered, listed at ``?``.
    """

    key: str
    text: str
    read: Callable[[str], dict[str, Any]]
    answers: Callable[[], Iterable[str]]


@dataclass(slots=True)
class Draft:
    """How far a conversation has come: the number of the next question and the part that each answer gave."""

    place: int = 0
    parts: dict[str, dict[str, Any]] = field(default_factory=dict)


def tell(text: str) -> None:
    """Say something to whom is asked."""
    click.echo(visible(text), err=True)


def line(text: str, answers: Callable[[], Iterable[str]], skips: Collection[str] = SKIPS) -> str:
    """Ask for a line until it is an answer; "" where it was skipped, be it by one of the words for that.

    Raises:
        BackError: the question before is wanted.
        click.Abort: it was broken off.
    """
    while True:
        answer = " ".join(str(click.prompt(visible(text), default="", show_default=False, err=True)).split())
        word = answer.casefold()
        if word in _BACK:
            raise BackError
        if word in _LISTS or word.startswith("? "):
            _list(answers(), word.removeprefix("?").removeprefix("help").strip())
        else:
            return "" if word in skips else answer


def _list(answers: Iterable[str], narrowed: str) -> None:
    found = [item for item in answers if narrowed in item.casefold()]
    for item in found[:_LISTED]:
        tell(f"    {item}")
    if not found:
        tell(f"    nothing with {narrowed!r}")
    elif len(found) > _LISTED:
        tell(f"    and {len(found) - _LISTED} more; narrow them with ? WORD")


def which(text: str, options: Sequence[tuple[str, str]]) -> str:
    """Ask which of some entries, given as id and title, is meant; "" where none is.

    Raises:
        BackError: the question before is wanted.
    """
    tell(f"  {text}")
    names = [f"{number}  {title}" for number, (_, title) in enumerate(options, start=1)]
    for name in names:
        tell(f"    {name}")
    while True:
        answer = line("  Its number, or Enter for none of them", lambda: names)
        known = {str(number): key for number, (key, _) in enumerate(options, start=1)}
        known |= {key: key for key, _ in options} | {title.casefold(): key for key, title in options}
        if not answer or answer.casefold() in known:
            return known.get(answer.casefold(), "")
        tell(f"  “{answer}” is none of these: a number from 1 to {len(options)}, or Enter.")


def converse(questions: Sequence[Question], draft: Draft, save: Callable[[Draft], None]) -> None:
    """Ask the questions from where a draft stands, saving it after each."""
    while draft.place < len(questions):
        question = questions[draft.place]
        try:
            _one(question, draft)
        except BackError:
            draft.place = max(draft.place - 1, 0)
            continue
        draft.place += 1
        save(draft)


def _one(question: Question, draft: Draft) -> None:
    """Ask one question until its answer can be used; skipped, it keeps the answer it had."""
    while True:
        answer = line(question.text, question.answers)
        if not answer:
            return
        try:
            draft.parts[question.key] = question.read(answer)
            return
        except BackError:
            continue
        except BadInputError as error:
            for problem in error.problems:
                tell(f"  {problem}")
        except ValueError as error:
            tell(f"  {error}")


def joined(parts: Iterable[Mapping[str, Any]]) -> dict[str, Any]:
    """Join parts of an intake document: lists grow, mappings are updated; what is there is not absent."""
    document: dict[str, Any] = {}
    for part in parts:
        for key, value in part.items():
            if isinstance(value, list):
                had = document.setdefault(key, [])
                had += [item for item in value if item not in had]
            elif isinstance(value, dict):
                document[key] = {**document.get(key, {}), **value}
            else:
                document[key] = value
    there = document.get("symptoms", [])
    document["symptoms_absent"] = [item for item in document.get("symptoms_absent", []) if item not in there]
    return {key: value for key, value in document.items() if value}
