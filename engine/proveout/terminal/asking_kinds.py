"""The one question about the vehicle, asked at a terminal."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

import click

from proveout.model.advice import Asked
from proveout.model.vehicle import EXCLUSIVE
from proveout.terminal.talk import tell
from proveout.text.visible import visible

_YES, _NO, _NEITHER = frozenset(("y", "yes")), frozenset(("n", "no")), "neither"


def answered(question: Asked, ask: Callable[[str, Iterable[str]], str]) -> dict[str, Any]:
    """Return the part of an intake document that the answer amounts to; empty where nobody knows.

    Args:
        question: what to ask.
        ask: asks for a line, given what may be answered.
    """
    group = frozenset(question.kinds) in EXCLUSIVE
    known = [*question.kinds, _NEITHER] if group else ["yes", "no"]
    text = f"{question.text} {question.why} ({', '.join(known)}; Enter if you do not know)"
    while True:
        said = ask(text, known).strip().casefold()
        if not said:
            return {}
        if not group and said in _YES | _NO:
            return {"vehicle": {"has" if said in _YES else "lacks": list(question.kinds)}}
        if group and (found := [kind for kind in question.kinds if kind.startswith(said)]):
            return {"vehicle": {"has": found[:1]}}
        if group and said == _NEITHER:
            return {"vehicle": {"lacks": list(question.kinds)}}


def plainly(text: str, answers: Iterable[str]) -> str:
    """Ask for a line at an intake, where ``no`` is an answer and skips nothing; ``?`` lists the answers."""
    while True:
        said = str(click.prompt(visible(text), default="", show_default=False, err=True)).strip()
        if said != "?":
            return said
        for answer in answers:
            tell(f"    {answer}")
